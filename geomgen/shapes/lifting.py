"""Wing, tailplane, fins and pylon: aerofoil sections ruled from one to the next."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from math import cos, radians, sin, tan

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.lofting.halves import doubled
from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.kernel.plain import Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.lifting import Wing
from geomgen.shapes.aerofoil import angles, grown, naca, through, with_edge
from geomgen.shapes.hull import MARGIN
from geomgen.shapes.piece import Cutter, Knife, NamedSolid


@dataclass(frozen=True)
class AerofoilSection:
    """One section: leading edge [mm], chord [mm], nose-up angle [deg], outline [chord].

    It turns about its leading edge, which stands where `nose` says. `span` is the unit vector
    across the section, `up` the one across the chord at no angle.
    """

    nose: Vec3
    chord: float
    angle: float
    outline: Floats
    edge: float
    up: Vec3
    span: Vec3

    def points(self, gap: float = 0.0) -> Floats:
        """Return the outline in space (k, 3) [mm], grown by `gap` [mm]."""
        flat = with_edge(self.outline, self.edge / self.chord)
        if gap:
            flat = grown(flat, gap / self.chord)
        flat = flat * self.chord
        c, s = cos(radians(self.angle)), sin(radians(self.angle))
        along, across = c * flat[:, 0] + s * flat[:, 1], c * flat[:, 1] - s * flat[:, 0]
        aft = np.array([1.0, 0.0, 0.0])
        return np.asarray(
            np.array(self.nose) + along[:, None] * aft + across[:, None] * np.array(self.up)
        )

    def trailing_edge(self) -> Vec3:
        """Return the middle of the blunt edge [mm]."""
        points = self.points()
        x, y, z = 0.5 * (points[0] + points[-1])
        return (float(x), float(y), float(z))


def outline_of(aerofoil: str, p: Parameters) -> Floats:
    """Return the outline (k, 2) [chord] of an aerofoil by its NACA digits or its point file."""
    if aerofoil.lower().startswith("naca"):
        return naca(aerofoil.split()[-1])
    return through(p.aerofoils[aerofoil])


def wing_sections(p: Parameters, w: Wing) -> list[AerofoilSection]:
    """Return the right-hand sections of a wing or tailplane, from the centre out.

    The root's leading edge stands where the file says. Sweep and dihedral run from the root's
    quarter chord, as it stands at its incidence, to those of the other sections.
    """
    sections: list[AerofoilSection] = []
    for row in w.sections:
        turn = radians(w.incidence - row.washout)
        ahead = row.chord / 4 * np.array([cos(turn), 0.0, -sin(turn)])
        if not sections:
            nose = np.array([w.leading_edge, row.buttock_line, w.waterline])
        else:
            out = row.buttock_line - sections[-1].nose[1]
            ways = [tan(radians(row.sweep)), 1.0, tan(radians(row.dihedral))]
            nose = _quarter(sections[-1]) + out * np.array(ways) - ahead
        sections.append(
            AerofoilSection(
                nose=(float(nose[0]), row.buttock_line, float(nose[2])),
                chord=row.chord,
                angle=w.incidence - row.washout,
                outline=outline_of(row.aerofoil, p),
                edge=w.trailing_edge_thickness,
                up=(0.0, 0.0, 1.0),
                span=(0.0, 1.0, 0.0),
            )
        )
    return sections


def _left(section: AerofoilSection) -> AerofoilSection:
    x, y, z = section.nose
    return replace(section, nose=(x, -y, z))


def _grown(sections: Sequence[AerofoilSection], gap: float) -> list[Floats]:
    """Return the outlines grown by a gap [mm], the ends moved out along their panels by as much."""
    rows = [section.points(gap) for section in sections]
    for end, inner in ((0, 1), (-1, -2)):
        along = _quarter(sections[end]) - _quarter(sections[inner])
        rows[end] = rows[end] + gap * along / abs(float(along @ np.array(sections[end].span)))
    return rows


def _quarter(section: AerofoilSection) -> Floats:
    """Return the quarter-chord point (3,) of a section [mm]."""
    turn = radians(section.angle)
    along = cos(turn) * np.array([1.0, 0.0, 0.0]) - sin(turn) * np.array(section.up)
    return np.asarray(np.array(section.nose) + 0.25 * section.chord * along)


def _solid(sections: Sequence[AerofoilSection], part: str) -> TopoDS_Solid:
    return ruled_solid(_grown(sections, 0.0), angles(), part)


def _knife(sections: Sequence[AerofoilSection], part: str) -> Knife:
    return lambda gap, near: ruled_solid(_near(sections, gap, near), angles(), part)


def _near(sections: Sequence[AerofoilSection], gap: float, near: Box) -> list[Floats]:
    """Return the grown outlines, ends moved out by the gap, no further along than near a box."""
    rows = _grown(sections, gap)
    along = 1 if sections[0].span[1] else 2
    at = [float(row[0, along]) for row in rows]
    low = max(at[0], near.low[along] - MARGIN)
    high = min(at[-1], near.high[along] + MARGIN)
    if low >= high:
        return rows
    inner = [row for row, y in zip(rows, at, strict=True) if low + 1e-6 < y < high - 1e-6]
    return [_between(rows, at, low), *inner, _between(rows, at, high)]


def _between(rows: list[Floats], at: list[float], place: float) -> Floats:
    i = min(max(int(np.searchsorted(at, place)) - 1, 0), len(at) - 2)
    share = (place - at[i]) / (at[i + 1] - at[i])
    return np.asarray((1 - share) * rows[i] + share * rows[i + 1])


def outline_at(sections: Sequence[AerofoilSection], buttock_line: float) -> Floats:
    """Return the outline (k, 3) [mm] of a wing at a buttock line [mm] on the right."""
    rows = [section.points() for section in sections]
    return _between(rows, [section.nose[1] for section in sections], buttock_line)


def wing(p: Parameters) -> NamedSolid:
    """Return the wing, tip to tip in one solid."""
    made = _both_sides(wing_sections(p, p.wing), "wing", (0.80, 0.82, 0.86))
    return reduce(NamedSolid.noted, _signs_to_look_at(p.wing), made)


def _signs_to_look_at(w: Wing) -> list[str]:
    """Return what is seldom meant and easily written by a wrong sign."""
    told = []
    for number, row in enumerate(w.sections):
        key = f"wing.sections.{number}"
        if row.washout < min(w.sections[max(number - 1, 0)].washout, 0.0):
            told.append(
                f"{key}.washout: the section stands {-row.washout:g} deg nose up against the root: "
                "such a tip stalls first; is the sign meant?"
            )
        if number and row.dihedral < 0.0:
            told.append(
                f"{key}.dihedral: the panel inboard of the section hangs down by "
                f"{-row.dihedral:g} deg; is the sign meant?"
            )
    return told


def tailplane(p: Parameters) -> NamedSolid | None:
    """Return the tailplane between the booms."""
    if p.tailplane is None:
        return None
    return _both_sides(wing_sections(p, p.tailplane), "tailplane", (0.80, 0.76, 0.62))


def _both_sides(
    right: list[AerofoilSection], name: str, colour: tuple[float, float, float]
) -> NamedSolid:
    half = _solid(right, name)
    return NamedSolid(name, name, doubled(half, name), colour, half)


def _tip_to_tip(right: list[AerofoilSection]) -> list[AerofoilSection]:
    return [_left(section) for section in reversed(right[1:])] + right


def wing_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the wing."""
    return [Cutter("wing", _knife(_tip_to_tip(wing_sections(p, p.wing)), "wing"))]


def tailplane_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the tailplane."""
    if p.tailplane is None:
        return []
    sections = _tip_to_tip(wing_sections(p, p.tailplane))
    return [Cutter("tailplane", _knife(sections, "tailplane"))]


def fins(p: Parameters) -> list[NamedSolid]:
    """Return the right and the left fin."""
    if p.fins is None:
        return []
    sections = fin_sections(p)
    solid = _solid(sections, "fins")
    right = NamedSolid("fin_right", "fin", solid, (0.80, 0.76, 0.62))
    return [right, right.on_the_left()]


def fin_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the fins."""
    if p.fins is None:
        return []
    right = Cutter("fin_right", _knife(fin_sections(p), "fins"))
    return [right, right.on_the_left()]


def fin_sections(p: Parameters) -> list[AerofoilSection]:
    """Return the sections of the right-hand fin from the bottom up; none without fins."""
    sections: list[AerofoilSection] = []
    if p.fins is None:
        return sections
    f = p.fins
    for row in f.sections:
        if not sections:
            quarter, height = f.leading_edge + row.chord / 4, f.waterline + row.height
        else:
            rise = f.waterline + row.height - height
            quarter, height = quarter + rise * tan(radians(row.sweep)), height + rise
        sections.append(
            AerofoilSection(
                nose=(quarter - row.chord / 4, f.buttock_line, height),
                chord=row.chord,
                angle=0.0,
                outline=outline_of(row.aerofoil, p),
                edge=f.trailing_edge_thickness,
                up=(0.0, -1.0, 0.0),
                span=(0.0, 0.0, 1.0),
            )
        )
    return sections


def pylon(p: Parameters) -> NamedSolid | None:
    """Return the strut fairing between pod and wing, on the centre plane."""
    if p.pylon is None:
        return None
    sections = pylon_sections(p)
    solid = _solid(sections, "pylon")
    return NamedSolid("pylon", "pylon", solid, (0.60, 0.66, 0.60))


def pylon_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the pylon."""
    if p.pylon is None:
        return []
    return [Cutter("pylon", _knife(pylon_sections(p), "pylon"))]


def pylon_sections(p: Parameters) -> list[AerofoilSection]:
    """Return the lower and the upper section of the pylon; none without one."""
    y = p.pylon
    if y is None:
        return []
    return [
        AerofoilSection(
            nose=(y.leading_edge, 0.0, z),
            chord=y.chord,
            angle=0.0,
            outline=outline_of(y.aerofoil, p),
            edge=y.trailing_edge_thickness,
            up=(0.0, -1.0, 0.0),
            span=(0.0, 0.0, 1.0),
        )
        for z in (y.waterline_low, y.waterline_high)
    ]


def trailing_edge_at(p: Parameters, buttock_line: float) -> tuple[float, float]:
    """Return station of the wing's trailing edge and the chord [mm] at a buttock line [mm]."""
    sections = wing_sections(p, p.wing)
    y = [section.nose[1] for section in sections]
    x = [section.trailing_edge()[0] for section in sections]
    return (
        float(np.interp(abs(buttock_line), y, x)),
        float(np.interp(abs(buttock_line), y, [section.chord for section in sections])),
    )
