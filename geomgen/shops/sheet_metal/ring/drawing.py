"""The ring's segments at full size, one above the other, each turned with its flange up."""

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.lettering import width_of
from geomgen.drafting.record import TEXT, Drawing, Label, Path, Point
from geomgen.drafting.text_room import Room
from geomgen.shops.sheet_metal.drawing.full_size import direction, tab_labels, written
from geomgen.shops.sheet_metal.ring.segments import RingFlange, Segment

NAME = "firewall_ring"
# Room between two segments, and what is tried for it [mm].
BETWEEN, TRY = 8.0, 1.0
WORDS, SMALL, BESIDE = 4.0, 3.0, 1.5


@dataclass(frozen=True)
class SegmentPlace:
    """How a segment lies on the page: turned by `turn` [rad], then moved by `shift` [mm]."""

    turn: float
    shift: Point

    def of(self, points: Floats) -> Floats:
        """Return points (n, 2) [mm] as they lie on the page."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]) + self.shift)

    def point(self, point: Point) -> Point:
        """Return one point as it lies on the page."""
        x, y = self.of(np.array([point]))[0].tolist()
        return (x, y)

    def path(self, path: Path) -> Path:
        """Return a path as it lies on the page."""
        return replace(path, points=tuple(self.point(point) for point in path.points))


def laid(ring: RingFlange) -> tuple[SegmentPlace, ...]:
    """Return the places of all segments, the first on top, as near below it as the room allows."""
    found: list[SegmentPlace] = []
    above: shapely.Polygon | None = None
    for segment in ring.segments:
        outs = np.array([plan.out for plan in ring.whole.plans])
        way = outs[[tab.number - 1 for tab in segment.tabs]].sum(axis=0)
        turn = math.pi / 2 - math.atan2(way[1], way[0])
        plain = SegmentPlace(turn, (0.0, 0.0))
        shape = shapely.Polygon(plain.of(np.array(segment.cut.dense(0.2))))
        x0, _, x1, y1 = shape.bounds
        down = 0.0 if above is None else above.bounds[3] - y1
        move = (-(x0 + x1) / 2, down)
        while above is not None and _near(shape, move, above):
            move = (move[0], move[1] - TRY)
        above = shapely.affinity.translate(shape, *move)
        found.append(SegmentPlace(turn, move))
    return tuple(found)


def _near(shape: shapely.Polygon, move: Point, above: shapely.Polygon) -> bool:
    return bool(shapely.affinity.translate(shape, *move).distance(above) < BETWEEN)


def ring_drawing(ring: RingFlange, notes: tuple[str, ...]) -> Drawing:
    """Return the full-size drawing of all segments, each with its number, bends and way up."""
    paths: list[Path] = []
    labels: list[Label] = []
    for segment, place in zip(ring.segments, laid(ring), strict=True):
        bends = [path for path in ring.whole.bends if path.name in _bends_of(segment)]
        paths += [place.path(p) for p in (segment.cut, *segment.holes, *bends, *segment.joggles)]
        labels += _words(ring, segment, place)
        for tab in segment.tabs:
            there = replace(
                tab,
                bend=(place.point(tab.bend[0]), place.point(tab.bend[1])),
                ends=(place.point(tab.ends[0]), place.point(tab.ends[1])),
            )
            labels += tab_labels(there, direction(ring.flat))
    return Drawing(NAME, tuple(paths), tuple(labels), notes)


def _bends_of(segment: Segment) -> set[str]:
    return {f"bend {tab.number}" for tab in segment.tabs}


def leg_of(ring: RingFlange, segment: Segment) -> shapely.Geometry:
    """Return the part of a segment's leg that lies flat on the sheet, as it lies on the sheet."""
    flat = shapely.Polygon([point for tab in ring.whole.tabs for point in tab.bend])
    deep = max(ring.whole.bending.allowance(tab.angle) / 2 for tab in ring.whole.tabs)
    return shapely.intersection(
        shapely.Polygon(segment.cut.dense(0.05)), shapely.buffer(flat, -deep)
    )


def _words(ring: RingFlange, segment: Segment, place: SegmentPlace) -> list[Label]:
    """Return a segment's number, and what its joggle is, as large as they fit on its leg."""
    leg = leg_of(ring, segment)
    room = Room(shapely.Polygon(place.of(np.array(_whole(leg).exterior.coords))), 0.6)
    for hole in segment.holes:
        room.block(shapely.Polygon(place.of(np.array(hole.dense(0.05)))))
    for path in segment.joggles:
        room.block(shapely.LineString([place.point(point) for point in path.points]))
    x0, _, x1, y1 = room.free.bounds
    written(room, (f"RING {segment.number} OF {len(ring.segments)}",), WORDS, ((x0 + x1) / 2, y1))
    if not segment.joggles:
        return room.labels
    return [*room.labels, _on_tongue(ring, segment, place)]


def _on_tongue(ring: RingFlange, segment: Segment, place: SegmentPlace) -> Label:
    """Return what is done to a tongue, along its edge towards the flange."""
    span = ring.spans[segment.number - 1]
    assert span.tip is not None
    middle = (span.end + span.tip) / 2
    places = ring.line.at([span.end, middle, span.tip], -ring.wish.edge - BESIDE)
    root, (x, y), tip = place.of(places + segment.excess)
    turn = math.degrees(math.atan2(root[1] - tip[1], root[0] - tip[0]))
    text = f"JOGGLE {direction(ring.flat)}"
    height = min(SMALL, 0.9 * float(np.linalg.norm(tip - root)) / width_of(text, 1.0))
    return Label((float(x), float(y)), text, height, turn, "middle", TEXT)


def _whole(shape: shapely.Geometry) -> shapely.Polygon:
    pieces = [g for g in getattr(shape, "geoms", [shape]) if isinstance(g, shapely.Polygon)]
    return max(pieces, key=lambda piece: piece.area)
