"""Pod, exit and booms of a new file."""

from itertools import pairwise
from typing import Any

from geomgen.starting.proportions import POD_LENGTH, Proportions

# Stations of the pod: share of its length; crown, keel, breadth, height of the breadth [mm].
POD = (
    (0.0, 740, 740, 0, 740),
    (0.018, 834, 648, 208, 742),
    (0.075, 950, 544, 396, 750),
    (0.18, 1112, 448, 548, 775),
    (0.344, 1245, 386, 622, 810),
    (0.463, 1241, 412, 600, 836),
    (0.6, 1204, 482, 540, 864),
    (0.837, 1103, 639, 386, 890),
    (1.0, 1012, 788, 224, 900),
)
# Behind this share a longer pod has what it is longer.
LONGER = 0.4
# Fuller between these shares, for the pilot's shoulders; ellipses elsewhere.
SHOULDERS, FULL = (0.3, 0.5), 0.44
# Stations of the fairing: ahead of the rim's front [mm], diameter [mm].
FAIRING = ((216, 86), (114, 124), (0, 150), (-112, 158))
# A boom inside the wing: share of the chord, height above its leading edge [mm], diameter [mm].
IN_WING = ((0.25, 20, 90), (0.6, -6, 100), (1.0, -32, 100))
# Behind it: share of the way to the tail, diameter [mm]; then level to the end, diameter there.
BEHIND = ((0.25, 97), (0.5, 93), (0.75, 89), (1.0, 86))
LEVEL, LAST = 720.0, 80
# Fall of a boom's centre line where it leaves the wing.
FALL = -0.05


def pod(q: Proportions) -> dict[str, Any]:
    """Return the pod: a round nose, lines through control stations, an open tail."""
    return {"wall": q.wall, "stations": [_station(q, *row) for row in POD]}


def _station(
    q: Proportions, share: float, crown: float, keel: float, breadth: float, height: float
) -> dict[str, Any]:
    full: str | float = FULL if SHOULDERS[0] < share < SHOULDERS[1] else "ellipse"
    return {
        "station": station_of(q, share),
        "crown": crown,
        "keel": keel,
        "breadth": breadth,
        "breadth_height": height,
        "fullness_upper": full,
        "fullness_lower": full,
    }


def station_of(q: Proportions, share: float) -> float:
    """Return where a share [1] of the pod's length stands [mm]; what is longer is behind the pilot.

    Between its broadest station and the next one the pod is straight.
    """
    return share * POD_LENGTH + (q.stretch if share > LONGER else 0.0)


def keel_at(q: Proportions, station: float) -> float:
    """Return the waterline of the pod's keel at a station [mm], straight between the stations."""
    rows = [(station_of(q, row[0]), float(row[2])) for row in POD]
    for (x, low), (end, next_low) in pairwise(rows):
        if x <= station <= end:
            return low + (station - x) / (end - x) * (next_low - low)
    raise ValueError(f"STA {station} is not on the pod")


def exit_rim(q: Proportions) -> dict[str, Any]:
    """Return the rim, with a round fairing about the shaft in it."""
    rows = [{"station": q.rim - ahead, "diameter": wide} for ahead, wide in FAIRING]
    fairing = {"waterline": q.thrust_line, "bore": 50.0, "stations": rows}
    return {"rim_station": q.rim, "gap": q.gap, "tail_fairing": fairing}


def booms(q: Proportions) -> dict[str, Any]:
    """Return the booms: buried in the wing, then one sweep to the tail."""
    rows = [
        (q.leading_edge + share * q.chord, q.wing_waterline + up, wide)
        for share, up, wide in IN_WING
    ]
    for share, wide in BEHIND:
        rows.append((*_sweep(q, share), wide))
    rows.append((q.boom_end, q.boom_tail, LAST))
    names = ("station", "waterline", "width", "height")
    stations = [dict(zip(names, (*row, row[2]), strict=True)) for row in rows]
    return {"buttock_line": q.boom_line, "stations": stations}


def _sweep(q: Proportions, share: float) -> tuple[float, float]:
    """Return a point of the way from the wing's trailing edge to the tail, level there.

    The quintic has no curvature at its ends, so that the lines run on smoothly.
    """
    start, height = q.trailing_edge, q.wing_waterline + IN_WING[-1][1]
    along = q.boom_end - LEVEL - start
    rise = share**3 * (10 - 15 * share + 6 * share**2)
    fall = share - share**3 * (6 - 8 * share + 3 * share**2)
    return start + share * along, height + rise * (q.boom_tail - height) + fall * FALL * along
