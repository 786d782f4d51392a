"""A core's template read from its drawing alone, as the shop that gets the drawing reads it."""

from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.record import CUT, REF, Drawing, Path
from geomgen.errors import GeometryError
from geomgen.shops.hotwire_cores.printed_face import Face, across, face_of
from geomgen.shops.product import Hand

# A tick's foot lies as near as this to the edge [mm]; outlines are read within `SAGITTA` [mm].
FOOT = 0.1
SAGITTA = 0.002
# Points laid along an edge.
FINE = 3000


@dataclass(frozen=True)
class Edge:
    """One edge of a template from nose to tail: points (n, 2) [mm], and how far along they lie.

    `marks` (k,) is how far along the ticks stand [mm]; `numbers` are what is printed at them.
    """

    points: Floats
    run: Floats
    marks: Floats
    numbers: tuple[int, ...]

    def at(self, along: Floats) -> Floats:
        """Return points (k, 2) [mm] at lengths [mm] along the edge."""
        return np.stack([np.interp(along, self.run, self.points[:, i]) for i in (0, 1)], axis=-1)

    def between_ticks(self, count: int) -> Floats:
        """Return lengths [mm] along the edge, `count` to each interval between ticks and ends."""
        ends = np.r_[0.0, self.marks, self.run[-1]]
        share = np.arange(count) / count
        inner = ends[:-1, None] + share * np.diff(ends)[:, None]
        return np.asarray(np.r_[inner.ravel(), ends[-1]])


@dataclass(frozen=True)
class Reading:
    """What a template says: its edges in the chord's frame, the angle of the chord, the hand.

    `angle` is that of the chord to the level line [deg], nose up positive; `face` is the one that
    the print says it shows, `hand` is told from the way in which the printed numbers run on it.
    """

    name: str
    upper: Edge
    lower: Edge
    angle: float
    hand: Hand
    face: Face
    words: tuple[str, ...]

    def chord_angle(self) -> float:
        """Return the angle [deg] of the line from nose to tail, as cut, to the level line."""
        nose, tail = (0.5 * (self.upper.points[i] + self.lower.points[i]) for i in (0, -1))
        lean = np.degrees(np.arctan2(tail[1] - nose[1], tail[0] - nose[0]))
        return float(self.angle - lean)


def read_template(drawing: Drawing, hand: Hand) -> Reading:
    """Return what a template says when it is held as one of `hand`, its printed face outward.

    GeometryError when the drawing does not say which face it shows, has no outline with run-in and
    run-out, no ticks or no level line.
    """
    words = tuple(label.text for label in drawing.labels)
    face = face_of(words)
    if face is None:
        raise _unreadable(drawing, "it does not say whether it is seen from outboard or inboard")
    flip = np.array([float(across(1 if hand == "right" else -1, face)), 1.0])
    outlines = [path for path in drawing.paths if path.closed and path.layer == CUT]
    if not outlines:
        raise _unreadable(drawing, "no closed outline")
    whole = max(outlines, key=lambda path: abs(path.area()))
    sides = [_fine(points * flip) for points in _edges(drawing, whole, flip)]
    sides.sort(key=lambda points: -float(points[:, 1].mean()))
    strokes = [
        np.array(path.points) * flip
        for path in drawing.paths
        if path.layer == REF and not path.closed and len(path.points) == 2
    ]
    feet = [_feet(points, strokes) for points in sides]
    edges = [_edge(drawing, points, feet[i], flip) for i, points in enumerate(sides)]
    off = np.min([foot.off for foot in feet], axis=0)
    level = [stroke for stroke, far in zip(strokes, off, strict=True) if far > FOOT]
    if len(level) != 1:
        raise _unreadable(drawing, f"{len(level)} lines that might be level in flight, not one")
    a, b = level[0] if level[0][0, 0] < level[0][1, 0] else level[0][::-1]
    angle = float(np.degrees(np.arctan2(b[1] - a[1], b[0] - a[0])))
    told = _hand(edges[0], flip, face)
    return Reading(drawing.name, edges[0], edges[1], angle, told, face, words)


def _edges(drawing: Drawing, whole: Path, flip: Floats) -> list[Floats]:
    """Return the outline's two runs between the tangs, each from the nose to the tail."""
    points = np.array(whole.points)
    ahead = points[:, 0] * flip[0]
    many = len(points)
    corners = []
    for tip in (ahead.min(), ahead.max()):
        ends = np.nonzero(np.abs(ahead - tip) < 1e-6)[0]
        if len(ends) != 2 or (ends[1] - ends[0]) % many not in (1, many - 1):
            raise _unreadable(drawing, "an outline without run-in or run-out")
        first, last = ends if ends[1] - ends[0] == 1 else ends[::-1]
        corners.append(((first - 1) % many, (last + 1) % many))
    (front_in, front_out), (rear_in, rear_out) = corners
    return [_part(whole, front_out, rear_in), _part(whole, rear_out, front_in)[::-1]]


def _part(whole: Path, first: int, last: int) -> Floats:
    """Return points along a closed path from one of its corners to another one."""
    many = len(whole.points)
    count = (last - first) % many + 1
    pick = [(first + i) % many for i in range(count)]
    bulges = tuple(whole.bulges[i] for i in pick) if whole.bulges else ()
    run = Path(tuple(whole.points[i] for i in pick), bulges, False, whole.layer)
    return np.array(run.dense(SAGITTA))


def _fine(points: Floats) -> Floats:
    """Return an edge laid out anew in equal steps of its length, its own corners kept."""
    run = np.r_[0.0, np.cumsum(np.hypot(*np.diff(points, axis=0).T))]
    keep = np.r_[True, np.diff(run) > 1e-9]
    at = np.union1d(run[keep], np.linspace(0.0, run[-1], FINE))
    return np.stack([np.interp(at, run[keep], points[keep, i]) for i in (0, 1)], axis=-1)


@dataclass(frozen=True)
class _Feet:
    """Of strokes: how far the nearer end is off an edge, how far along, and the other end."""

    off: Floats
    along: Floats
    inner: Floats


def _feet(points: Floats, strokes: list[Floats]) -> _Feet:
    ends = np.array(strokes).reshape(-1, 2, 2)
    edge = shapely.LineString(points)
    off = shapely.distance(edge, shapely.points(ends))
    near = off.argmin(axis=1) if len(ends) else np.zeros(0, dtype=int)
    pick = np.arange(len(ends))
    along = shapely.line_locate_point(edge, shapely.points(ends[pick, near]))
    return _Feet(off[pick, near], along, ends[pick, 1 - near])


def _edge(drawing: Drawing, points: Floats, feet: _Feet, flip: Floats) -> Edge:
    run = np.r_[0.0, np.cumsum(np.hypot(*np.diff(points, axis=0).T))]
    names = [label for label in drawing.labels if label.text.isdigit()]
    spots = np.array([(t.at[0], t.at[1] + 0.5 * t.height) for t in names]).reshape(-1, 2) * flip
    ticks = np.nonzero(feet.off <= FOOT)[0]
    if not len(ticks) or not len(names):
        raise _unreadable(drawing, "no numbered ticks on one of its edges")
    ticks = ticks[np.argsort(feet.along[ticks])]
    nearest = [int(np.hypot(*(spots - feet.inner[i]).T).argmin()) for i in ticks]
    return Edge(points, run, feet.along[ticks], tuple(int(names[i].text) for i in nearest))


def _hand(edge: Edge, flip: Floats, face: Face) -> Hand:
    """Return the hand of which the numbers count from nose to tail on a face."""
    places = edge.at(edge.marks)[:, 0] * flip[0]
    slope = float(np.polyfit(np.array(edge.numbers, dtype=float), places, 1)[0])
    return "right" if slope * across(1, face) > 0 else "left"


def _unreadable(drawing: Drawing, problem: str) -> GeometryError:
    return GeometryError(
        f"template {drawing.name} can't be read: {problem}",
        part="wing",
        step="core proof",
        look_at=["handoff.cores"],
    )
