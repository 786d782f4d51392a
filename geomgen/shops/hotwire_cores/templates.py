"""The template of one end of a wing core as a drawing at full size.

The printed face looks out of the foam, so that its numbers can be read while the core is cut: the
template at the tip is drawn as seen from outboard, the one at the root as seen from inboard. Seen
from outboard the tail of a right-hand core points to the left, that of a left-hand one to the
right; seen from inboard it is the other way round. The top is up on all of them.
"""

from dataclasses import dataclass, field

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.arcs import fitted
from geomgen.drafting.lettering import block_size
from geomgen.drafting.record import (
    CAP,
    CUT,
    REF,
    TEXT,
    Dimension,
    Drawing,
    Label,
    Path,
    Point,
    line,
)
from geomgen.drafting.text_room import Room
from geomgen.errors import GeometryError
from geomgen.shops.hotwire_cores.outline import Guide, Outline
from geomgen.shops.hotwire_cores.printed_face import FACE_WORDS, Face, across

Way = tuple[Floats, Floats]

# Sizes of ticks and numbers [mm], where the section is thick enough for them.
TICK, NUMBER = 6.0, 3.0
HEIGHTS = (5.0, 4.5, 4.0, 3.5, 3.0, 2.5, 2.0, 1.6)
CLEAR = 0.8
# Letters of dimensions, and from one row of them to the next [mm].
DIM_HEIGHT, ROW = 3.5, 10.0
# How near lines and arcs follow the points [mm].
FIT = 0.01


@dataclass(frozen=True)
class Template:
    """One end of a core: its guide, the troughs' ways and what is printed at them, more words.

    `side` is 1 on the right, -1 on the left; `face` says from where its printed face is seen;
    `angle` is that of the chord to the waterlines [deg], nose up positive; `laid` are outlines
    (n, 2) [mm] of parts that stand in the plane, in the chord's frame, `slots` the wire's ways
    (4, 2) [mm] through it, each with its name and the words beside it.
    """

    name: str
    side: int
    face: Face
    core: Outline
    guide: Guide
    troughs: tuple[Way, ...]
    trough_words: tuple[str, ...]
    angle: float
    ticks: int
    words: tuple[str, ...]
    notes: tuple[str, ...] = ()
    laid: tuple[tuple[str, Floats], ...] = ()
    slots: tuple[tuple[str, str, Floats], ...] = ()

    @property
    def printed(self) -> tuple[str, ...]:
        """Return the lines printed on it, with the way in which its face looks."""
        return (*self.words[:1], FACE_WORDS[self.face], *self.words[1:])


def template_drawing(template: Template) -> Drawing:
    """Return the drawing of a template; GeometryError when its labels find no room.

    The chord lies level with the leading edge of the wing at x = 0; on layer CUT the outline with
    run-in and run-out, on CAP troughs and slots, on REF the ticks and the line that is level in
    flight, on DIM chord, length and height.
    """
    return _Drawing(template).drawing()


@dataclass
class _Drawing:
    """A template being drawn, in the drawing's coordinates."""

    template: Template
    paths: list[Path] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    boxes: list[shapely.Geometry] = field(default_factory=list)

    def drawing(self) -> Drawing:
        self._outline()
        self._troughs()
        self._laid()
        ticks = self._ticks()
        self._level()
        self._numbers(ticks)
        self._words()
        t = self.template
        paths, labels = tuple(self.paths), tuple(self.labels)
        return Drawing(t.name, paths, labels, t.notes, self._dimensions())

    def _dimensions(self) -> tuple[Dimension, ...]:
        """Return chord and whole length above the template, its height beside the lead-out."""
        t, g = self.template, self.template.guide
        high, low = float(g.ring[:, 1].max()), float(g.ring[:, 1].min())
        over = [(x, float(np.interp(x, g.upper[:, 0], g.upper[:, 1]))) for x in (0.0, t.core.chord)]
        ends = [(g.front, float(g.upper[0, 1])), (g.rear, float(g.upper[-1, 1]))]
        tops = [
            tuple(side[at])
            for side, at in ((g.upper, g.upper[:, 1].argmax()), (g.lower, g.lower[:, 1].argmin()))
        ]
        rows = (
            (over, (0.0, high + ROW), 0.0, "chord "),
            (ends, (0.0, high + 2 * ROW), 0.0, "length "),
            (tops, (g.rear + ROW, (high + low) / 2), 90.0, "height "),
        )
        found = []
        for ends_of, at, angle, words in rows:
            a, b, through = (_tuple(self._placed(np.array(point))) for point in (*ends_of, at))
            found.append(Dimension(a, b, through, angle, DIM_HEIGHT, words, 1, words.strip()))
        return tuple(found)

    def _placed(self, points: Floats) -> Floats:
        """Return points of the chord's frame as they are seen on the printed face."""
        return np.asarray(points * np.array([across(self.template.side, self.template.face), 1]))

    def _fitted(self, points: Floats, layer: str) -> Path:
        return fitted(_tuples(self._placed(points)), FIT, closed=False, layer=layer)

    def _closed(self, runs: list[Path | Floats], layer: str, name: str) -> None:
        """Add a closed path through runs of lines and arcs and single points between them."""
        points: list[Point] = []
        bulges: list[float] = []
        for run in runs:
            if isinstance(run, Path):
                points += run.points
                bulges += (*(run.bulges or (0.0,) * len(run.points))[:-1], 0.0)
            else:
                points += _tuples(self._placed(run))
                bulges += [0.0] * len(run)
        self.paths.append(Path(tuple(points), tuple(bulges), True, layer, name))

    def _outline(self) -> None:
        g = self.template.guide
        upper, lower = self._fitted(g.upper, CUT), self._fitted(g.lower[::-1], CUT)
        front = np.array([[g.front, g.lower[0, 1]], [g.front, g.upper[0, 1]]])
        rear = np.array([[g.rear, g.upper[-1, 1]], [g.rear, g.lower[-1, 1]]])
        self._closed([front, upper, rear, lower], CUT, "outline")
        self.area = shapely.Polygon(self._placed(g.ring))
        self.thick = float(np.ptp(g.ring[:, 1]))

    def _troughs(self) -> None:
        self.cut: list[shapely.Polygon] = []
        for bottom, ends in self.template.troughs:
            self._closed([ends[:1], self._fitted(bottom, CAP), ends[1:]], CAP, "trough")
            around = shapely.Polygon(self._placed(np.concatenate([ends[:1], bottom, ends[1:]])))
            if any(shapely.intersects(around, other) for other in self.cut):
                raise GeometryError(
                    "two spar cap troughs run into each other",
                    part="wing",
                    step="spar cap troughs",
                    look_at=["handoff.cores.caps"],
                )
            self.cut.append(around)
        for name, _, way in self.template.slots:
            self._closed([way], CAP, name)
            self.cut.append(shapely.Polygon(self._placed(way)))

    def _laid(self) -> None:
        for name, points in self.template.laid:
            self._closed([points], REF, name)

    def _ticks(self) -> list[tuple[int, Floats, Floats, float]]:
        """Draw the ticks; return number, foot, direction inward and length of each."""
        made = []
        t = self.template
        size = min(TICK, self.thick / 10)
        for upper in (True, False):
            for k in range(1, t.ticks + 1):
                at, inward = t.guide.tick(upper, k / (t.ticks + 1))
                at, inward = self._placed(at), self._placed(inward)
                length = min(size, 0.25 * self._through(at, inward))
                self.paths.append(line(_tuple(at), _tuple(at + length * inward), REF, f"tick {k}"))
                made.append((k, at, inward, length))
        return made

    def _through(self, at: Floats, inward: Floats) -> float:
        """Return how thick [mm] the template is at a place of its edge."""
        ray = shapely.LineString([at + 0.01 * inward, at + 2 * self.thick * inward])
        inside = shapely.intersection(ray, self.area)
        return max((float(piece.length) for piece in shapely.get_parts(inside)), default=0.0)

    def _level(self) -> None:
        """Draw the longest piece of the level line that keeps off edge, numbers and troughs."""
        t = self.template
        angle = np.radians(t.angle)
        way = np.array([np.cos(angle), np.sin(angle)]) * t.core.chord
        middle = np.array([0.25 * t.core.chord, 0.0])
        whole = shapely.LineString([self._placed(middle - way), self._placed(middle + way)])
        keep_off = min(TICK + NUMBER + 4, self.thick / 5)
        room = shapely.difference(
            shapely.buffer(self.area, -keep_off), shapely.buffer(self._standing(), 3)
        )
        pieces = shapely.get_parts(shapely.intersection(whole, room))
        if not len(pieces) or max(piece.length for piece in pieces) < 0.15 * t.core.chord:
            raise GeometryError(
                f"template {t.name} has no room for its level line",
                part="wing",
                step="core templates",
                look_at=["wing.sections", "handoff.cores.caps"],
            )
        a, b = max(pieces, key=lambda piece: float(piece.length)).coords
        self.paths.append(line((a[0], a[1]), (b[0], b[1]), REF, "level in flight"))

    def _standing(self) -> shapely.Geometry:
        """Return what troughs and parts inside take up."""
        laid = [shapely.Polygon(self._placed(points)) for _, points in self.template.laid]
        return shapely.union_all([*self.cut, *(shapely.make_valid(area) for area in laid)])

    def _lines(self) -> list[shapely.LineString]:
        return [
            shapely.LineString([*path.dense(0.05), *([path.points[0]] if path.closed else [])])
            for path in self.paths
        ]

    def _numbers(self, ticks: list[tuple[int, Floats, Floats, float]]) -> None:
        tree = shapely.STRtree(self._lines())
        for number, at, inward, length in ticks:
            label, box = self._number(tree, str(number), at, inward, length)
            self.labels.append(label)
            self.boxes.append(box)

    def _number(
        self, tree: shapely.STRtree, text: str, at: Floats, inward: Floats, length: float
    ) -> tuple[Label, shapely.Geometry]:
        """Return the number of a tick where nothing runs into it, inside if there is room."""
        aside = np.array([-inward[1], inward[0]])
        for height in (NUMBER, 0.8 * NUMBER, 0.6 * NUMBER):
            wide, _ = block_size((text,), height)
            need = 0.5 * (abs(inward[0]) * wide + abs(inward[1]) * height) + CLEAR
            steps = np.arange(0.0, 0.2 * self.thick + 2, 0.5)
            spots = [length + need + step for step in steps] + [-need - step for step in steps]
            for along in spots:
                for shift in (0.0, 2.0, -2.0, 4.0, -4.0):
                    x, y = at + along * inward + shift * aside
                    box = shapely.box(
                        x - wide / 2 - CLEAR / 2,
                        y - height / 2 - CLEAR / 2,
                        x + wide / 2 + CLEAR / 2,
                        y + height / 2 + CLEAR / 2,
                    )
                    free = not len(tree.query(box, predicate="intersects"))
                    if free and not any(shapely.intersects(box, other) for other in self.boxes):
                        foot = (float(x), float(y - height / 2))
                        return Label(foot, text, height, 0.0, "middle", TEXT), box
        raise self._full()

    def _full(self) -> GeometryError:
        return GeometryError(
            f"template {self.template.name} has no room for its numbers and labels",
            part="wing",
            step="core templates",
            look_at=["handoff.cores.ticks", "wing.sections"],
        )

    def _words(self) -> None:
        t = self.template
        room = Room(shapely.buffer(self.area, -2.0), 1.5)
        room.block(shapely.union_all([*self._lines(), *self.boxes]))
        chord = t.core.chord
        for words, (bottom, _) in zip(t.trough_words, t.troughs, strict=True):
            spot = _tuple(self._placed(bottom.mean(axis=0)))
            any(room.write((words,), height, spot) for height in HEIGHTS[3:])
        for _, words, way in t.slots:
            spot = _tuple(self._placed(way.mean(axis=0)))
            any(room.write((words,), height, spot) for height in HEIGHTS[3:])
        for name, points in t.laid:
            any(room.write((name,), height, _tuple(self._placed(points[0]))) for height in HEIGHTS)
        near = self._placed(np.array([0.45 * chord, 0.0]))
        if not any(room.write(t.printed, height, _tuple(near)) for height in HEIGHTS):
            self.labels += room.labels
            room = self._below()
            room.write(t.printed, HEIGHTS[-3], _tuple(near))
        for text, x in (("LE", 0.08), ("TE", 0.85), ("LEVEL IN FLIGHT", 0.3), ("TOP", 0.2)):
            high = self.area.bounds[3]
            at = self._placed(np.array([x * chord, high if text == "TOP" else 0.0]))
            any(room.write((text,), height, _tuple(at)) for height in HEIGHTS)
        self.labels += room.labels

    def _below(self) -> Room:
        """Return the room under a template that is too small to be written on."""
        x0, y0, x1, _ = self.area.bounds
        wide, high = block_size(self.template.printed, HEIGHTS[-3])
        wide, high = max(x1 - x0, wide + 20), high + 20
        return Room(shapely.box(x0, y0 - 15 - high, x0 + wide, y0 - 15), 1.5)


def _tuple(point: Floats) -> Point:
    return (float(point[0]), float(point[1]))


def _tuples(points: Floats) -> list[Point]:
    return [_tuple(point) for point in points]
