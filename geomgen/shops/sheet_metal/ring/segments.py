"""The flange as a ring of its own: a flat sheet, and segments of angle that are riveted to it.

A segment is flat a piece of a ring: one leg lies on the sheet, the other is the flange in tabs, as
those that are bent from the sheet itself, but laid out from the face that the ring lies on.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import Polygon

from geomgen.arrays import Floats
from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import BEND, CUT, Path, Point, circle, line
from geomgen.errors import GeometryError
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, Tab, flat_pattern
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs
from geomgen.shops.sheet_metal.ring.joggle import joggle_of
from geomgen.shops.sheet_metal.ring.rivet_line import (
    HOLE,
    STEP,
    LegSpan,
    RingWish,
    RivetLine,
    line_inside,
    root_radius,
    spans_of,
    too_wide,
)
from geomgen.shops.sheet_metal.ring.width import at_bend, least_width, tongue_width, too_narrow

# How near lines and arcs follow the ring's inner edge [mm].
FIT = 0.005


@dataclass(frozen=True)
class Segment:
    """A segment flat, where it lies on the sheet [mm]: cut, rivet holes, lines of its joggle.

    Its tongue lies further along by `excess`, the length that its joggle takes up; of the holes the
    last `shared` are in the tongue. `inner` is the edge away from the flange.
    """

    number: int
    cut: Path
    inner: Path
    holes: tuple[Path, ...]
    tabs: tuple[Tab, ...]
    joggles: tuple[Path, ...] = ()
    shared: int = 0
    excess: tuple[float, float] = (0.0, 0.0)

    def area(self) -> float:
        """Return its area flat [mm2], holes taken out."""
        return self.cut.area() - sum(hole.area() for hole in self.holes)


@dataclass(frozen=True)
class RingFlange:
    """A flat sheet with its rivet holes, the flange's pattern as one, and the segments of it."""

    wish: RingWish
    flat: FlatPattern
    whole: FlatPattern
    line: RivetLine
    spans: tuple[LegSpan, ...]
    segments: tuple[Segment, ...]
    rivets: tuple[Point, ...]


def ring_flange(
    sheet: MeasuredSheet, bending: Bending, reliefs: Reliefs, wish: RingWish
) -> RingFlange:
    """Return the flat sheet and the ring of a measured firewall with a flange.

    Raises GeometryError where tabs, rivets or laps don't fit.
    """
    on_it = replace(sheet, mould=sheet.inside, inside=sheet.inside + sheet.thickness, holes=())
    whole = flat_pattern(on_it, bending, reliefs)
    many = len(whole.tabs)
    if many < wish.segments:
        raise GeometryError(
            f"{wish.segments} segments of {many} tabs in all: each segment has one at least",
            part="firewall",
            step="flange ring",
            look_at=["handoff.sheet.ring_segments", "handoff.sheet.relief_pitch"],
        )
    if not wish.fixed:
        wish = replace(wish, width=max(wish.width, least_width(whole, wish)))
    round_ = line_inside(sheet.outline, wish.width - wish.edge)
    firsts = [i * many // wish.segments for i in range(wish.segments)]
    at = [round_.length_at(_joint(whole.tabs, first)) for first in firsts]
    joints = [at[0] + (s - at[0]) % round_.total for s in at]
    spans = spans_of(wish, bending, joints, round_.total)
    needed = _needed_width(whole, wish, round_, spans, [*firsts[1:], many])
    if needed > wish.width:
        if wish.fixed:
            raise too_narrow(wish.width, needed)
        return ring_flange(sheet, bending, reliefs, replace(wish, width=needed, fixed=True))
    segments = tuple(
        _segment(whole, wish, round_, span, (first, last), i + 1)
        for i, (span, first, last) in enumerate(
            zip(spans, firsts, [*firsts[1:], many], strict=True)
        )
    )
    rivets = tuple(
        (float(x), float(y)) for span in spans for x, y in round_.at(list(span.rivets)).tolist()
    )
    return RingFlange(
        wish, _flat(sheet, bending, wish, rivets), whole, round_, tuple(spans), segments, rivets
    )


def _needed_width(
    whole: FlatPattern,
    wish: RingWish,
    along: RivetLine,
    spans: Sequence[LegSpan],
    ends: Sequence[int],
) -> float:
    """Return the width [mm] of a leg that leaves the corners of its tongues room, or its own."""
    if wish.lap is None:
        return wish.width
    widths = [
        tongue_width(whole, wish, along, span, whole.tabs[end - 1])
        for span, end in zip(spans, ends, strict=True)
    ]
    most = max(widths)
    return most if most <= wish.width else max(most, least_width(whole, wish))


def _joint(tabs: tuple[Tab, ...], first: int) -> Floats:
    """Return the middle between the bends of a tab and the one before it."""
    ends = np.array([tabs[first - 1].bend[1], tabs[first].bend[0]])
    return np.asarray(ends.mean(axis=0))


def _flat(
    sheet: MeasuredSheet, bending: Bending, wish: RingWish, rivets: Sequence[Point]
) -> FlatPattern:
    plain = flat_pattern(replace(sheet, rim=None), bending, Reliefs(1.0, 1.0, 0.0))
    holes = tuple(
        circle(point, (wish.rivet + HOLE) / 2, CUT, f"rivet {i + 1}")
        for i, point in enumerate(rivets)
    )
    return replace(plain, holes=(*plain.holes, *holes))


def _segment(
    whole: FlatPattern,
    wish: RingWish,
    along: RivetLine,
    span: LegSpan,
    between: tuple[int, int],
    number: int,
) -> Segment:
    tabs = whole.tabs[between[0] : between[1]]
    run, bulges = _flange(whole, tabs)
    shift = np.zeros(2)
    end = span.end
    joggles: tuple[Path, ...] = ()
    if span.tip is not None:
        shift = joggle_of(whole.bending).excess * along.along([span.end])[0]
        corner, bent = _corner(along, wish, span, np.array(run[-1]), root_radius(whole.bending))
        outer = fitted(
            _between(along, span.end + root_radius(whole.bending), span.tip, -wish.edge) + shift,
            FIT, closed=False,
        )  # fmt: skip
        run += [*corner, *outer.points]
        bulges += [bent, 0.0, *outer.bulges]
        end = span.tip
        joggles = _joggles(along, wish, whole.bending, span)
    edge = fitted(_between(along, span.begin, end, wish.edge), FIT, closed=False)
    inner = Path(edge.points, edge.bulges, False, CUT, f"inner edge {number}")
    if span.tip is not None:
        inner = replace(inner, points=(*edge.points[:-1], _moved(edge.points[-1], shift)))
    back = inner.points[::-1]
    run += list(back)
    bulges += [*(-bulge for bulge in inner.bulges[-2::-1]), 0.0]
    if span.tip is not None:
        x, y = along.at([span.begin], -wish.edge)[0].tolist()
        run.append((x, y))
        bulges.append(0.0)
    cut = Path(tuple(run), tuple(bulges), True, CUT, f"ring {number}")
    if not Polygon(cut.dense(0.01)).is_valid:
        raise too_wide()
    own = along.at(list(span.rivets))
    tongue = along.at(list(span.shared)) + shift if span.shared else np.zeros((0, 2))
    holes = tuple(
        circle((float(x), float(y)), (wish.rivet + HOLE) / 2, CUT, f"rivet {i + 1}")
        for i, (x, y) in enumerate(np.vstack([own, tongue]).tolist())
    )
    return Segment(
        number, cut, inner, holes, tabs, joggles, len(tongue), (float(shift[0]), float(shift[1]))
    )


def _moved(point: Point, shift: Floats) -> Point:
    return point[0] + float(shift[0]), point[1] + float(shift[1])


def _between(along: RivetLine, low: float, high: float, inward: float) -> Floats:
    many = max(2, math.ceil((high - low) / STEP) + 1)
    return along.at(np.linspace(low, high, many), inward)


def _flange(whole: FlatPattern, tabs: tuple[Tab, ...]) -> tuple[list[Point], list[float]]:
    """Return the run from the beginning of the first tab's bend round the edge to the last one's.

    The roots of relief cuts within it are those of the whole pattern.
    """
    cut = whole.cut
    points: list[Point] = [_point(at_bend(whole, tabs[0], 0))]
    bulges = [0.0]
    for tab in tabs:
        first = 4 * (tab.number - 1)
        many = 2 if tab is tabs[-1] else 4
        points += cut.points[first : first + many]
        bulges += cut.bulges[first : first + many]
    points.append(_point(at_bend(whole, tabs[-1], 1)))
    bulges[-1] = 0.0
    return points, [*bulges, 0.0]


def _point(at: Floats) -> Point:
    return float(at[0]), float(at[1])


def _corner(
    along: RivetLine, wish: RingWish, span: LegSpan, start: Floats, radius: float
) -> tuple[list[Point], float]:
    """Return both ends of the round corner where a tongue leaves the flange, and its bulge."""
    corner = along.at([span.end], -wish.edge)[0]
    inward = (corner - start) / np.linalg.norm(corner - start)
    onward = along.along([span.end])[0]
    turn = math.acos(float(np.clip(inward @ onward, -1.0, 1.0)))
    long = radius * math.tan(turn / 2)
    (ax, ay), (bx, by) = (corner - long * inward).tolist(), (corner + long * onward).tolist()
    return [(ax, ay), (bx, by)], -math.tan(turn / 4)


def _joggles(along: RivetLine, wish: RingWish, bending: Bending, span: LegSpan) -> tuple[Path, ...]:
    """Return the lines in the middle of both bends of a joggle, flat."""
    made = joggle_of(bending)
    half = math.radians(made.angle) * made.radius / 2
    first = span.end + root_radius(bending)
    at = (first + half, first + made.run + made.excess - half)
    found = []
    for i, s in enumerate(at):
        rows = np.vstack([along.at([s], -wish.edge), along.at([s], wish.edge)]).tolist()
        (ax, ay), (bx, by) = rows
        found.append(line((ax, ay), (bx, by), BEND, f"joggle {i + 1}"))
    return tuple(found)
