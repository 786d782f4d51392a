"""The flange in flat tabs: where it is slit, and the plane that each tab lies in.

Every tab bends about a straight line, so it is flat where the hull's inside is curved, and tabs of
one zone are bent to one angle. Each is laid as far out as the gap to the hull allows; what stays
between it and the skin has to be filled by the sealant.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend_zones import angles_in
from geomgen.shops.sheet_metal.flat_pattern.flange_rings import Ring, rings_of
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet

# How far [mm] a tab may lie outside of the curved flange; of the gap no more than this share.
OUTSIDE = 0.15
SHARE = 0.5
FEWEST = 6
# Between so many places along a tab its bulge is missed by 1 in 4,000 of itself at most.
ACROSS = 65
LEAST_ANGLE = 15.0
# How the number of relief cuts grows when a pitch is looked for.
TRIES, MORE = 40, 1.06


@dataclass(frozen=True)
class Reliefs:
    """What is asked for [mm, deg]: width and pitch of the relief cuts, room between sheet and hull.

    `sealant` is the widest gap that the sealant fills, `angles` how many bend angles there may be,
    `over` how much further a tab may be bent than drawn.
    """

    width: float
    pitch: float
    gap: float
    sealant: float = 3.0
    angles: int = 4
    over: float = 0.5


@dataclass(frozen=True)
class TabPlane:
    """A tab [mm]: its plane by outward normal (u, v, h) and distance, the angle of its bend [deg].

    `mould` is the point of its mould line (where sheet and flange would meet outside) amid the tab,
    `out` the unit normal to that line in the sheet, outward; `width` reaches from it to the edge.
    """

    normal: tuple[float, float, float]
    distance: float
    mould: tuple[float, float]
    out: tuple[float, float]
    angle: float
    width: float

    @property
    def along(self) -> tuple[float, float]:
        """Return the unit direction [1] of the mould line, counter-clockwise round the sheet."""
        return (-self.out[1], self.out[0])


@dataclass(frozen=True)
class ReliefSlit:
    """The middle of the slit ahead of a tab: root u, v, h [mm], its way along the flange, normal.

    `across` is the unit normal of the slit's plane, towards the tab that follows.
    """

    root: tuple[float, float, float]
    way: tuple[float, float, float]
    across: tuple[float, float, float]


@dataclass(frozen=True)
class Division:
    """Tabs counter-clockwise round the sheet; slit i stands before tab i.

    `inward` is how far [mm] the solid's flange lies outside of the tabs at most; `widest` is the
    gap to the hull that follows, the tabs bent too far as well as they may be.
    """

    plans: tuple[TabPlane, ...]
    slits: tuple[ReliefSlit, ...]
    inward: float
    widest: float


def divided(sheet: MeasuredSheet, reliefs: Reliefs) -> Division:
    """Divide the flange into tabs of one length, a slit before each, as many as the pitch asks for.

    Of all numbers of bend angles up to the most allowed, the fewest that keep the sealant's gap; if
    none does, the one with the least gap. Raises GeometryError where no tab is left between slits.
    """
    rings = rings_of(sheet)
    return _divided(sheet, rings, reliefs, _count(rings, reliefs.pitch))


def longest_pitch(sheet: MeasuredSheet, reliefs: Reliefs) -> float | None:
    """Return a pitch [mm] at which the sealant's gap is kept; None where none was found."""
    rings = rings_of(sheet)
    count = _count(rings, reliefs.pitch)
    for _ in range(TRIES):
        count = math.ceil(MORE * count)
        try:
            if _divided(sheet, rings, reliefs, count).widest <= reliefs.sealant:
                return rings[0].total / count
        except GeometryError:
            return None
    return None


def angles_needed(sheet: MeasuredSheet, reliefs: Reliefs, most: int) -> int | None:
    """Return how many bend angles keep the sealant's gap at the pitch; None: not even `most`."""
    division = divided(sheet, replace(reliefs, angles=most))
    if division.widest > reliefs.sealant:
        return None
    return len({plan.angle for plan in division.plans})


def _count(rings: list[Ring], pitch: float) -> int:
    return max(FEWEST, math.ceil(rings[0].total / pitch - 1e-9))


def _divided(sheet: MeasuredSheet, rings: list[Ring], reliefs: Reliefs, count: int) -> Division:
    corners = np.linspace(0.0, rings[0].total, count + 1)
    half = reliefs.width / 2
    if corners[1] <= 4 * half:
        raise GeometryError(
            f"relief cuts {reliefs.width:g} mm wide leave no tabs {corners[1]:.1f} mm apart",
            part="firewall",
            step="relief cuts",
            look_at=["handoff.sheet.relief_width", "handoff.sheet.relief_pitch"],
        )
    spots = [_spots(rings, (a + half, b - half)) for a, b in pairwise(corners.tolist())]
    normals = [_normal(rows) for rows in spots]
    ideal = np.array([_angle(normal) for normal in normals])
    room = min(OUTSIDE, SHARE * reliefs.gap)
    best: tuple[float, list[TabPlane], float] | None = None
    for many in range(1, reliefs.angles + 1):
        rows = [
            _placed(sheet, points, normal, angle, room)
            for points, normal, angle in zip(spots, normals, angles_in(ideal, many), strict=True)
        ]
        inward = max(inward for _, inward in rows)
        over = max(plan.width for plan, _ in rows) * math.sin(math.radians(reliefs.over))
        widest = reliefs.gap + inward + over
        if best is None or widest < best[0] - 1e-6:
            best = (widest, [plan for plan, _ in rows], inward)
        if widest <= reliefs.sealant:
            break
    assert best is not None
    widest, plans, inward = best
    return Division(tuple(plans), tuple(_slits(rings, corners[:-1], plans)), inward, widest)


def _spots(rings: list[Ring], between: tuple[float, float]) -> Floats:
    """Return points (rings, across, 3) of the flange's outside between two lengths."""
    return np.stack([ring.at(np.linspace(*between, ACROSS)) for ring in rings])


def _normal(rows: Floats) -> Floats:
    """Return the outward normal of a tab's plane: along its chord, and up its flange on average."""
    chord = (rows[:, -1] - rows[:, 0]).mean(axis=0)
    up = (rows[-1] - rows[0]).mean(axis=0)
    normal = np.cross(chord, up)
    return np.asarray(normal / np.linalg.norm(normal))


def _angle(normal: Floats) -> float:
    return float(np.degrees(np.arctan2(np.hypot(normal[0], normal[1]), -normal[2])))


def _placed(
    sheet: MeasuredSheet, rows: Floats, normal: Floats, angle: float, room: float
) -> tuple[TabPlane, float]:
    """Return the tab bent to an angle, as far out as `room`, and how far inside it lies at most.

    The sheet's own outline counts for how far out it may come; what the bend leaves open at its
    inside is no part of the flange.
    """
    if not LEAST_ANGLE < angle < 180.0 - LEAST_ANGLE:
        raise GeometryError(
            f"the flange would be bent by {angle:.0f} deg; bends of {LEAST_ANGLE:g} to "
            f"{180.0 - LEAST_ANGLE:g} deg can be made",
            part="firewall",
            step="flange",
            look_at=["firewall.station", "firewall.tilt", "firewall.flange"],
        )
    turn = math.radians(angle)
    out = normal[:2] / np.hypot(normal[0], normal[1])
    leaning = np.array([*(math.sin(turn) * out), -math.cos(turn)])
    off = rows @ leaning
    distance = float(off.min()) + room
    plan = _laid(sheet, out, angle, distance, rows[0].mean(axis=0))
    return plan, float(off[1:].max()) - distance


def _laid(
    sheet: MeasuredSheet, out: Floats, angle: float, distance: float, near: Floats
) -> TabPlane:
    """Return the tab in a plane: where it meets the sheet's outer face, its width."""
    assert sheet.rim is not None
    sine, cosine = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    reach = (distance + cosine * sheet.mould) / sine
    x, y = (near[:2] + (reach - float(near[:2] @ out)) * out).tolist()
    u, v = out.tolist()
    width = (sheet.rim - sheet.mould) / sine
    return TabPlane((sine * u, sine * v, -cosine), distance, (x, y), (u, v), angle, width)


def _slits(rings: list[Ring], corners: Floats, plans: list[TabPlane]) -> list[ReliefSlit]:
    """Return the slits at lengths (k,) along the outline: each square to its flange."""
    roots, ends = rings[0].at(corners), rings[-1].at(corners)
    found = []
    for i, (root, end) in enumerate(zip(roots, ends, strict=True)):
        way = (end - root) / np.linalg.norm(end - root)
        face = np.array(plans[i - 1].normal) + np.array(plans[i].normal)
        across = np.cross(face, way)
        across *= np.sign(across[:2] @ np.array(plans[i].along)) / np.linalg.norm(across)
        rows = [(float(x), float(y), float(z)) for x, y, z in (root, way, across)]
        found.append(ReliefSlit(*rows))
    return found
