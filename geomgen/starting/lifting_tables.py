"""Wing, pylon, tailplane, fins and the joints of a new file."""

from math import radians, tan
from typing import Any

from geomgen.starting.proportions import PYLON, Proportions

STEEP = -30.0


def wing(q: Proportions) -> dict[str, Any]:
    """Return the wing: a centre panel past the booms, a tapered panel outboard."""
    root, tip = ("NACA 23015", "NACA 23012") if q.choices.through else ("NACA 4415", "NACA 4412")
    plain: dict[str, Any] = {"chord": q.chord, "aerofoil": root}
    return {
        "leading_edge": q.leading_edge,
        "waterline": q.wing_waterline,
        "incidence": q.incidence,
        "trailing_edge_thickness": 2.0,
        "sections": [
            {"buttock_line": 0.0, **plain},
            {"buttock_line": q.panel, **plain},
            {
                "buttock_line": q.half_span,
                "chord": q.tip_chord,
                "aerofoil": tip,
                "washout": 2.0,
                "dihedral": 2.5,
            },
        ],
    }


def pylon(q: Proportions) -> dict[str, Any] | None:
    """Return the pylon between pod and wing, where there is one."""
    if not q.pylon_chord:
        return None
    return {
        "leading_edge": q.leading_edge + PYLON[0] * q.chord,
        "waterline_low": 1080.0,
        "waterline_high": q.wing_waterline + 30.0,
        "chord": q.pylon_chord,
        "aerofoil": "NACA 0018",
        "trailing_edge_thickness": 2.0,
    }


def fins(q: Proportions) -> dict[str, Any] | None:
    """Return the fins on the booms; an inverted V has none."""
    if q.choices.tail == "inverted-v":
        return None
    edge = fin_edge(q, 0.0)
    return {
        "leading_edge": edge,
        "waterline": q.boom_tail,
        "buttock_line": q.boom_line,
        "sections": [
            {"height": 0.0, "chord": q.fin_chord, "aerofoil": "NACA 0008"},
            {
                "height": q.fin_height,
                "chord": q.fin_tip,
                "aerofoil": "NACA 0008",
                "sweep": q.fin_sweep,
            },
        ],
    }


def fin_edge(q: Proportions, height: float) -> float:
    """Return the station of a fin's leading edge [mm], `height` [mm] above the fin's waterline."""
    quarter = q.boom_end - 80.0 - 0.75 * q.fin_chord + height * tan(radians(q.fin_sweep))
    return quarter - fin_chord(q, height) / 4


def fin_chord(q: Proportions, height: float) -> float:
    """Return the chord of a fin [mm] at a height [mm] above the fin's waterline."""
    return q.fin_chord + height / q.fin_height * (q.fin_tip - q.fin_chord)


def tailplane(q: Proportions) -> dict[str, Any]:
    """Return the tailplane: it ends on the centre planes of booms or fins."""
    place = {"between": _between, "high": _high, "inverted-v": _inverted}[q.choices.tail](q)
    edge, waterline, chord, incidence, dihedral = place
    row: dict[str, Any] = {"chord": chord, "aerofoil": "NACA 0008"}
    return {
        "leading_edge": edge,
        "waterline": waterline,
        "incidence": incidence,
        "sections": [
            {"buttock_line": 0.0, **row},
            {"buttock_line": q.boom_line, **row, "dihedral": dihedral},
        ],
    }


# Leading edge, waterline, chord, incidence, dihedral.
Place = tuple[float, float, float, float, float]


def _between(q: Proportions) -> Place:
    edge = q.boom_end - 120.0 - q.tail_chord
    return edge, q.boom_tail, q.tail_chord, -1.0, 0.0


def _high(q: Proportions) -> Place:
    """Stand between the fins with a margin, so that their sides take both ends whole."""
    height, margin = 0.86 * q.fin_height, 25.0
    chord = fin_chord(q, height) - 2 * margin
    return fin_edge(q, height) + margin, q.boom_tail + height, chord, -1.0, 0.0


def _inverted(q: Proportions) -> Place:
    edge, waterline, chord, _, _ = _between(q)
    return edge, waterline - q.boom_line * tan(radians(STEEP)), chord, 0.0, STEEP


def joints(q: Proportions) -> list[dict[str, Any]]:
    """Return which parts are trimmed to which."""
    pairs = [("pod", "wing")] if q.choices.through else []
    pairs += [("wing", "boom")]
    pairs += [("tailplane", "fin" if q.choices.tail == "high" else "boom")]
    pairs += [("fin", "boom")] if q.choices.tail != "inverted-v" else []
    pairs += [("pylon", "pod"), ("pylon", "wing")] if q.pylon_chord else []
    return [{"trim": trim, "to": to, "gap": q.gap} for trim, to in pairs]
