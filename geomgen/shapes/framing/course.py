"""How a stringer runs: the corners of its section at stations along the inside of the skin."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.offsets import offset_outlines
from geomgen.parameters.records.structure.framing import Stringer
from geomgen.shapes.hull import PodLines

# The chord of a section is made as long as the strip is wide in so many steps.
STEPS = 3
FLAT = 1e-9


@dataclass(frozen=True)
class SectionCorners:
    """Sections of a stringer at stations: corners (m, 4, 3) [mm], ways in and along the skin.

    The corners: at the skin towards the keel, at the skin towards the crown, and those inside.
    `inward` (m, 2) points in, y and z [1].
    """

    corners: Floats
    inward: Floats


def sections(
    stringer: Stringer, pod: PodLines, stations: Floats, room: float = 0.0
) -> SectionCorners:
    """Return sections at stations (m,) [mm], larger by `room` [mm] at both sides and inside.

    Both corners at the skin stand off it by the stringer's gap; the strip between them is flat.
    Width and depth count across its run. GeometryError where it is not on the skin.
    """
    part = f"stringer_{stringer.name}"
    outlines = offset_outlines(pod.lines, pod.wall + stringer.gap, stations, part)
    rows = [_Outline(points[:, 1:]) for points in outlines]
    at = [_middle(stringer, row, float(x)) for row, x in zip(rows, stations, strict=True)]
    middles = np.array([row.at(s) for row, s in zip(rows, at, strict=True)])
    slopes = np.gradient(middles, stations, axis=0) if len(rows) > 1 else np.zeros_like(middles)
    corners, inward = [], []
    for row, s, slope, x in zip(rows, at, slopes, stations, strict=True):
        placed, inside = _corners(stringer, row, s, slope, room)
        corners.append(np.c_[np.full(4, x), placed])
        inward.append(inside)
    return SectionCorners(np.array(corners), np.array(inward))


class _Outline:
    """An outline of the inside by the way along it [mm] from the keel, run on over both ends."""

    def __init__(self, half: Floats) -> None:
        self.points = half
        steps = np.hypot(*np.diff(half, axis=0).T)
        self.way = np.r_[0.0, np.cumsum(steps)]
        mirror = half * [-1.0, 1.0]
        length = self.way[-1]
        self._way = np.r_[-self.way[:0:-1], self.way, 2 * length - self.way[-2::-1]]
        self._points = np.vstack([mirror[:0:-1], half, mirror[-2::-1]])

    @property
    def length(self) -> float:
        return float(self.way[-1])

    def at(self, way: float) -> Floats:
        return np.array([np.interp(way, self._way, self._points[:, i]) for i in (0, 1)])


def _middle(stringer: Stringer, row: _Outline, x: float) -> float:
    if stringer.girth is not None:
        return stringer.girth * row.length
    level = float(stringer.waterline or 0.0)
    heights = row.points[:, 1]
    up = np.maximum.accumulate(heights)
    if not heights[0] < level < heights[-1]:
        raise GeometryError(
            f"at station {x:.0f} mm the inside of the skin reaches from WL {heights[0]:.0f} to "
            f"{heights[-1]:.0f} mm: waterline {level:.0f} mm is not on it",
            part=f"stringer_{stringer.name}",
            step="course",
            look_at=[f"stringers.{stringer.name}.waterline"],
        )
    return float(np.interp(level, up + FLAT * np.arange(len(up)), row.way))


def _corners(
    stringer: Stringer, row: _Outline, s: float, slope: Floats, room: float
) -> tuple[Floats, Floats]:
    wide, half = stringer.width, stringer.width / 2
    for _ in range(STEPS):
        low, high = row.at(s - half), row.at(s + half)
        chord = float(np.hypot(*(high - low)))
        along = (high - low) / chord
        # Across a run that slopes the strip is as wide as asked; in the station's plane wider.
        wanted = wide * float(np.hypot(1.0, slope @ along))
        half *= wanted / chord
    inside = np.array([-along[1], along[0]])
    deep = (stringer.depth + room) * float(np.hypot(1.0, slope @ inside))
    side = room * float(np.hypot(1.0, slope @ along))
    low, high = low - side * along, high + side * along
    return np.array([low, high, high + deep * inside, low + deep * inside]), inside
