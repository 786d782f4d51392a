"""The line of a ring's rivets round the sheet: places along it, edges of segments, rivets.

Everything of the ring's leg on the sheet is measured along this line and square to it.
"""

import math
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.parameters.rules.shops import EDGE, PITCH
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.flange_rings import around, run_of
from geomgen.shops.sheet_metal.ring.joggle import Joggle, joggle_of

# Points on the line [mm]; room between the end of a joggle and the segment that it is lifted over.
STEP, CLEAR = 0.5, 1.0
# A rivet's hole is so much larger (common practice: a number 30 drill for 1/8 in).
HOLE = 0.1
# Rivets stand so much further from a segment's ends: along a curve is further than across.
CURVED = 1.01
LEAST_ROOT = 1.0


@dataclass(frozen=True)
class RingWish:
    """What is asked of a ring [mm]: width of its leg on the sheet, rivets, gap or lap of segments.

    `lap` None: the segments butt, `gap` apart. Where the width is not `fixed` it may grow to what
    bend, relief cuts and rivets need.
    """

    width: float
    segments: int
    rivet: float
    pitch: float
    gap: float
    lap: float | None = None
    fixed: bool = True

    @property
    def edge(self) -> float:
        """Return the distance [mm] of a rivet from an edge."""
        return EDGE * self.rivet

    @property
    def end(self) -> float:
        """Return the distance [mm] along the line of a rivet from a segment's end."""
        return CURVED * self.edge


@dataclass(frozen=True)
class RivetLine:
    """A closed line (n, 2) counter-clockwise [mm], each point with its length along it."""

    points: Floats
    s: Floats
    total: float

    def at(self, lengths: Floats | list[float], inward: float = 0.0) -> Floats:
        """Return points (k, 2) at lengths, moved `inward` square to the line, all [mm]."""
        where = np.asarray(lengths, dtype=float)
        here = around(self.s, self.points, self.total, where)
        return np.asarray(here + inward * self.square(where))

    def along(self, lengths: Floats | list[float]) -> Floats:
        """Return the line's unit direction (k, 2) at lengths [mm]."""
        where = np.asarray(lengths, dtype=float)
        ahead = around(self.s, self.points, self.total, where + 2 * STEP)
        behind = around(self.s, self.points, self.total, where - 2 * STEP)
        return np.asarray((ahead - behind) / np.linalg.norm(ahead - behind, axis=1)[:, None])

    def square(self, lengths: Floats | list[float]) -> Floats:
        """Return the unit normal (k, 2) to the inside at lengths [mm]."""
        way = self.along(lengths)
        return np.stack([-way[:, 1], way[:, 0]], axis=-1)

    def length_at(self, point: Floats) -> float:
        """Return the length [mm] along the line where it is nearest to a point (2,)."""
        closed = shapely.LineString(np.vstack([self.points, self.points[:1]]))
        return float(shapely.line_locate_point(closed, shapely.Point(point)))


def line_inside(outline: Floats, depth: float) -> RivetLine:
    """Return the line that runs a depth [mm] inside of an outline (n, 2)."""
    inner = shapely.buffer(shapely.Polygon(outline), -depth, quad_segs=32)
    if not isinstance(inner, shapely.Polygon) or inner.is_empty:
        raise too_wide()
    points = np.array(shapely.geometry.polygon.orient(inner, 1.0).exterior.coords)[:-1]
    s, total = run_of(points)
    return RivetLine(points, s, total)


def too_wide() -> GeometryError:
    """Return the refusal of a ring that does not go round inside of the outline."""
    return GeometryError(
        "the sheet's outline bends too tightly for a ring so wide",
        part="firewall",
        step="flange ring",
        look_at=["handoff.sheet.ring_width", "handoff.sheet.rivet_diameter"],
    )


@dataclass(frozen=True)
class LegSpan:
    """Where a segment's leg begins and ends along the rivet line [mm], and its rivets there.

    `begin` is its own edge, `end` where its flange ends; a tongue runs on from there to `tip`, over
    the next segment that begins at `lapped`; `rivets` go through its leg, `shared` through its
    tongue and the next one's leg. Without a tongue `tip` and `lapped` are None.
    """

    begin: float
    end: float
    rivets: tuple[float, ...]
    tip: float | None = None
    lapped: float | None = None
    shared: tuple[float, ...] = ()


def root_radius(bending: Bending) -> float:
    """Return the radius [mm] in the corner of a tongue: the sheet's thickness at least."""
    return max(bending.thickness, LEAST_ROOT)


def spans_of(ring: RingWish, bending: Bending, joints: list[float], total: float) -> list[LegSpan]:
    """Return the spans of segments between joints (lengths along the line [mm], rising)."""
    ends = [*joints[1:], joints[0] + total]
    if ring.lap is None:
        found = []
        for joint, after in zip(joints, ends, strict=True):
            begin, end = joint + ring.gap / 2, after - ring.gap / 2
            found.append(LegSpan(begin, end, _row(ring, begin + ring.end, end - ring.end, True)))
        return found
    ahead = _overhang(ring, joggle_of(bending), root_radius(bending))
    found = []
    for joint, after in zip(joints, ends, strict=True):
        begin, end = joint + ahead, after - ring.gap / 2
        first = _lap_row(ring, begin)
        rest = _row(ring, first[-1], end - ring.end, False)
        lapped = after + ahead
        found.append(
            LegSpan(
                begin,
                end,
                (*first, *rest),
                lapped + ring.lap,
                lapped,
                _lap_row(ring, lapped),
            )
        )
    return found


def _overhang(ring: RingWish, joggle: Joggle, root: float) -> float:
    """Return how far [mm] behind a joint the leg begins that a tongue is lifted over."""
    return -ring.gap / 2 + root + joggle.run + CLEAR


def _spaces(ring: RingWish, length: float) -> int:
    """Return into how many spaces of the pitch at most a length [mm] is divided.

    Fewer, and wider than the pitch, where they would be less than three diameters.
    """
    most = int(length / (PITCH * ring.rivet * CURVED) + 1e-9)
    return min(math.ceil(length / ring.pitch - 1e-9), most)


def _lap_row(ring: RingWish, begin: float) -> tuple[float, ...]:
    """Return the rivets of a lap [mm]: by the pitch, one at least."""
    assert ring.lap is not None
    low, high = begin + ring.end, begin + ring.lap - ring.end
    many = 1 + _spaces(ring, max(0.0, high - low))
    rows = [(low + high) / 2] if many == 1 else np.linspace(low, high, many).tolist()
    return tuple(float(s) for s in rows)


def _row(ring: RingWish, low: float, high: float, both: bool) -> tuple[float, ...]:
    """Return rivets [mm] from one place to another, the first left out unless `both`."""
    if high - low < PITCH * ring.rivet * CURVED:
        raise GeometryError(
            f"a segment of the ring has {max(0.0, high - low):.1f} mm for its rivets between its "
            "ends, or beside its lap",
            part="firewall",
            step="flange ring",
            look_at=["handoff.sheet.ring_segments", "handoff.sheet.lap"],
        )
    rows = np.linspace(low, high, _spaces(ring, high - low) + 1)
    return tuple(float(s) for s in (rows if both else rows[1:]))
