"""The flange in flat tabs: where it is slit, and the plane that each tab lies in.

Every tab bends about a straight line, so it is flat where the hull's inside is curved. Its plane is
laid through the solid's flange by least squares; the tabs are made so short that the solid lies
within a stated band of every plane.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from geomgen.errors import GeometryError
from geomgen.handoff.sheet_solid import MeasuredSheet

Floats = NDArray[np.float64]
# How far [mm] a tab may lie inside of the curved flange, and at most outside of it; of the gap to
# the hull it takes no more than this share.
INSIDE = 0.15
OUTSIDE = 0.15
SHARE = 0.5
FEWEST = 6
ACROSS = 17
LEAST_ANGLE = 15.0
TRIES = 30
MORE = 1.06
# Half the length [mm] over which the outline's bend is taken.
WINDOW = 6.0


@dataclass(frozen=True)
class Plan:
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
        """Return the unit direction of the mould line, counter-clockwise round the sheet."""
        return (-self.out[1], self.out[0])


@dataclass(frozen=True)
class Slit:
    """The middle of the slit ahead of a tab: root u, v, h [mm], its way along the flange, normal.

    `across` is the unit normal of the slit's plane, towards the tab that follows.
    """

    root: tuple[float, float, float]
    way: tuple[float, float, float]
    across: tuple[float, float, float]


@dataclass(frozen=True)
class Division:
    """Tabs counter-clockwise round the sheet; slit i stands before tab i. `band` [mm] as met."""

    plans: tuple[Plan, ...]
    slits: tuple[Slit, ...]
    outward: float
    inward: float


def divided(sheet: MeasuredSheet, pitch: float, width: float, gap: float) -> Division:
    """Divide the flange into tabs, a slit of `width` before each, at most `pitch` [mm] apart.

    `gap` [mm] is the room to the hull. Raises GeometryError where no number of tabs lies near
    enough to the flange.
    """
    room = min(OUTSIDE, SHARE * gap)
    s, total = _run(sheet.outline)
    chord = np.sqrt(8 * (INSIDE + room) / np.maximum(_bend(sheet.outline, s), 1e-9))
    need = 1.0 / np.minimum(pitch, chord + width)
    worth = np.r_[0.0, np.cumsum(0.5 * (need + np.roll(need, -1)) * np.diff(np.r_[s, total]))]
    count = max(FEWEST, math.ceil(worth[-1]))
    rings = _rings(sheet, s, total)
    for _ in range(TRIES):
        corners = np.interp(np.linspace(0.0, worth[-1], count + 1), worth, np.r_[s, total])
        if np.diff(corners).min() <= 2 * width:
            break
        spans = [(a + width / 2, b - width / 2) for a, b in pairwise(corners.tolist())]
        fits = [_fitted(sheet, rings, span, room) for span in spans]
        plans = [plan for plan, _, _ in fits]
        outward, inward = max(fit[1] for fit in fits), max(fit[2] for fit in fits)
        if outward <= room + 1e-6 and inward <= INSIDE + 1e-6:
            slits = _slits(rings, corners[:-1], plans)
            return Division(tuple(plans), tuple(slits), outward, inward)
        count = math.ceil(MORE * count)
    raise GeometryError(
        f"its outline bends too tightly for flat tabs between relief cuts {width:g} mm wide",
        part="firewall",
        step="relief cuts",
        look_at=["handoff.sheet.relief_width", "handoff.sheet.relief_pitch", "firewall.gap"],
    )


def _run(loop: Floats) -> tuple[Floats, float]:
    """Return the length run at each point of a loop (n,) and the whole length [mm]."""
    steps = np.linalg.norm(np.roll(loop, -1, axis=0) - loop, axis=1)
    return np.r_[0.0, np.cumsum(steps)[:-1]], float(steps.sum())


def _around(s: Floats, loop: Floats, total: float, at: Floats) -> Floats:
    """Return points (k, 2) at lengths (k,) round a loop."""
    return np.stack([np.interp(at, s, loop[:, i], period=total) for i in (0, 1)], axis=-1)


def _bend(loop: Floats, s: Floats) -> Floats:
    """Return how much a loop bends at its points (n,) [1/mm], over a window."""
    total = _run(loop)[1]
    behind, here, ahead = (_around(s, loop, total, s + d) for d in (-WINDOW, 0.0, WINDOW))
    a, b = here - behind, ahead - here
    turn = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], np.sum(a * b, axis=1))
    return np.asarray(np.abs(turn) / WINDOW)


@dataclass(frozen=True)
class _Ring:
    """A section of the flange's outside: height, points (m, 2), their lengths along the outline."""

    h: float
    points: Floats
    s: Floats
    total: float

    def at(self, lengths: Floats) -> Floats:
        """Return u, v, h (k, 3) at lengths (k,) along the outline."""
        return np.column_stack(
            [_around(self.s, self.points, self.total, lengths), np.full(len(lengths), self.h)]
        )


def _rings(sheet: MeasuredSheet, s: Floats, total: float) -> list[_Ring]:
    """Return the mid plane's outline and all sections, each point with its nearest length."""
    found = [_Ring(0.0, sheet.outline, s, total)]
    for h, points in sheet.rings:
        near = _nearest_lengths(sheet.outline, s, total, points)
        order = np.argsort(near)
        found.append(_Ring(h, points[order], near[order], total))
    return found


def _nearest_lengths(loop: Floats, s: Floats, total: float, points: Floats) -> Floats:
    """Return the lengths (m,) along a loop where it is nearest to points (m, 2)."""
    nearest = cKDTree(loop).query(points)[1]
    best, found = np.full(len(points), np.inf), np.zeros(len(points))
    steps = np.diff(np.r_[s, total])
    for first in (nearest - 1, nearest):
        i = first % len(loop)
        a = loop[i]
        side = loop[(i + 1) % len(loop)] - a
        share = np.sum((points - a) * side, axis=1) / np.maximum(np.sum(side**2, axis=1), 1e-18)
        share = np.clip(share, 0.0, 1.0)
        off = np.linalg.norm(points - a - share[:, None] * side, axis=1)
        found = np.where(off < best, s[i] + share * steps[i], found)
        best = np.minimum(off, best)
    return np.asarray(np.mod(found, total))


def _fitted(
    sheet: MeasuredSheet, rings: list[_Ring], between: tuple[float, float], room: float
) -> tuple[Plan, float, float]:
    """Return the tab between two lengths, how far it lies outside of the flange and how far in."""
    rows = [ring.at(np.linspace(*between, ACROSS)) for ring in rings]
    points = np.concatenate(rows)
    middle = points.mean(axis=0)
    normal = np.linalg.svd(points - middle)[2][2]
    along = rows[0][-1] - rows[0][0]
    if normal[0] * along[1] - normal[1] * along[0] < 0:
        normal = -normal
    off = (points - middle) @ normal
    low, high = float(off.min()), float(off.max())
    level = low + (high - low) * room / (room + INSIDE)
    plan = _laid(sheet, normal, float(middle @ normal) + level, middle)
    return plan, level - low, high - level


def _laid(sheet: MeasuredSheet, normal: Floats, distance: float, near: Floats) -> Plan:
    """Return the tab in a plane: where it meets the sheet's outer face, its angle, its width."""
    assert sheet.rim is not None
    flat = float(np.hypot(normal[0], normal[1]))
    angle = float(np.degrees(np.arctan2(flat, -normal[2])))
    if not LEAST_ANGLE < angle < 180.0 - LEAST_ANGLE:
        raise GeometryError(
            f"a flange bent by {angle:.0f} deg is none",
            part="firewall",
            step="flange",
            look_at=["firewall.station", "firewall.tilt", "firewall.flange"],
        )
    out = normal[:2] / flat
    reach = (distance - normal[2] * sheet.mould) / flat
    mould = near[:2] + (reach - float(near[:2] @ out)) * out
    width = (sheet.rim - sheet.mould) / float(np.sin(np.radians(angle)))
    return Plan(
        (float(normal[0]), float(normal[1]), float(normal[2])),
        distance,
        (float(mould[0]), float(mould[1])),
        (float(out[0]), float(out[1])),
        angle,
        width,
    )


def _slits(rings: list[_Ring], corners: Floats, plans: list[Plan]) -> list[Slit]:
    """Return the slits at lengths (k,) along the outline: each square to its flange."""
    roots, ends = rings[0].at(corners), rings[-1].at(corners)
    found = []
    for i, (root, end) in enumerate(zip(roots, ends, strict=True)):
        way = (end - root) / np.linalg.norm(end - root)
        face = np.array(plans[i - 1].normal) + np.array(plans[i].normal)
        across = np.cross(face, way)
        across *= np.sign(across[:2] @ np.array(plans[i].along)) / np.linalg.norm(across)
        rows = [(float(x), float(y), float(z)) for x, y, z in (root, way, across)]
        found.append(Slit(*rows))
    return found
