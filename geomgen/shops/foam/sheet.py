"""The drawing of one slab: a template for its front and its aft face, side by side, full size."""

from dataclasses import dataclass, field

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.arcs import fitted
from geomgen.drafting.lettering import LINE, block_size, extent
from geomgen.drafting.record import CUT, REF, Drawing, Label, Path, Point, circle, line
from geomgen.drafting.text_room import Room
from geomgen.shops.figures import sta
from geomgen.shops.foam.holes import Pair
from geomgen.shops.layout_lines import names_of

ASIDE = 85.0
# Where reference lines are drawn: waterlines and buttock lines at whole multiples of this [mm].
GRID = 100.0
# Heights of text tried on the template, large and small [mm]; below it where none fits.
SIZES = ((6.5, 3.5), (5.0, 3.0), (4.0, 2.5))
BELOW = 14.0
# What texts keep from lines [mm].
CLEAR = 2.0
# How far the waterlines and the buttock lines reach past the outline [mm]; names never meet.
PAST_SIDE, PAST_TOP = 6.0, 12.0
# Room for the arrow: how far the text stands off, how high it is [mm].
ARROW = (12.0, 30.0)


@dataclass(frozen=True)
class SlabFace:
    """One face of a slab: its station [mm], outline as it is cut, what else its template shows.

    `other` is the other face's outline, `limit` whether that is the sanding limit; `words` are
    further lines of text; `title` stands in place of the slab's number and face; `cuts` are the
    outlines that other parts take out, `laid` those of parts that stand there inside.
    """

    word: str
    station: float
    outline: Path
    other: Path | None
    limit: bool
    pairs: tuple[Pair, ...] = ()
    words: tuple[str, ...] = field(default=())
    title: tuple[str, ...] = field(default=())
    cuts: tuple[Path, ...] = field(default=())
    laid: tuple[Path, ...] = field(default=())


def outline_path(outline: Floats, half: bool, name: str = "") -> Path:
    """Return an outline (n, 2) [mm] as lines and arcs, or its right half closed along BL 0."""
    points = halved(outline) if half else outline
    return fitted(points, corners=(0, len(points) - 1) if half else (), name=name)


def halved(outline: Floats) -> Floats:
    """Return the right half (m, 2) [mm] of a symmetrical outline, closed along the centre plane."""
    right = outline[outline[:, 0] >= -1e-9]
    order = np.argsort(np.arctan2(right[:, 1] - right[:, 1].mean(), right[:, 0]), kind="stable")
    right = right[order]
    top, bottom = right[-1, 1], right[0, 1]
    inner = right[(right[:, 0] > 1e-9)]
    return np.vstack([[0.0, bottom], inner, [0.0, top]])


def slab_drawing(
    number: int,
    faces: list[SlabFace],
    half: bool,
    hole: float,
    reference: float,
    notes: tuple[str, ...],
) -> Drawing:
    """Return the templates of a slab, holes of diameter `hole` [mm], its notes.

    `half` outlines are of the right side, to the centre plane; `reference` is the waterline [mm]
    that most templates share. Seen from aft, looking forward: right-hand side to the right, up is
    up.
    """
    paths: list[Path] = []
    labels: list[Label] = []
    aside = 0.0
    for face in faces:
        made = _template(number, face, half, hole, reference)
        (x0, _), (x1, _) = made.box()
        moved = made.moved(aside - x0, 0.0)
        paths += moved.paths
        labels += moved.labels
        # Names in two units may reach further than the lines that they stand at.
        (left, _), (right, _) = extent(made)
        aside += max(x1 - x0 + ASIDE, right - left + CLEAR)
    return Drawing(f"slab {number}", tuple(paths), tuple(labels), notes)


def _template(number: int, face: SlabFace, half: bool, hole: float, reference: float) -> Drawing:
    around = np.array(face.outline.dense(0.1))
    low, high = around.min(axis=0), around.max(axis=0)
    lines, names = _grid(low, high, reference)
    holes = [
        circle(place, hole / 2, CUT, "alignment hole")
        for pair in face.pairs
        for place in pair.holes
    ]
    other = [] if face.other is None else [face.other]
    drawn = [*lines, *holes, *face.cuts, *other, *face.laid]
    room = Room(_free(face.outline, drawn), 0.0)
    told = names_of(face.laid, room)
    arrow, words = _written(number, face, half, room.free, low)
    paths = (face.outline, *face.cuts, *other, *lines, *holes, *face.laid, *arrow)
    return Drawing("", paths, (*names, *told, *words))


def _levels(low: float, high: float) -> Floats:
    """Return the whole multiples between two values, of a finer step where there is none."""
    for step in (GRID, 10.0, 1.0):
        levels = np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step
        if len(levels):
            return levels if step == GRID else levels[len(levels) // 2 :][:1]
    return np.zeros(0)


def _grid(low: Floats, high: Floats, reference: float) -> tuple[list[Path], list[Label]]:
    """Return waterlines and buttock lines across the template, named beside and above it."""
    paths, labels = [], []
    for z in _levels(float(low[1]), float(high[1])):
        a, b = (float(low[0]) - PAST_SIDE, float(z)), (float(high[0]) + PAST_SIDE, float(z))
        name = f"WL {z:.0f} REFERENCE" if z == reference else f"WL {z:.0f}"
        paths.append(line(a, b, REF, name))
        labels.append(Label((b[0] + 1.5, b[1] - 1.5), name, 4.0))
    for y in _levels(float(low[0]), float(high[0])):
        a, b = (float(y), float(low[1]) - PAST_SIDE), (float(y), float(high[1]) + PAST_TOP)
        paths.append(line(a, b, REF, f"BL {y:.0f}"))
        labels.append(Label((b[0], b[1] + 1.5), f"BL {y:.0f}", 4.0, anchor="middle"))
    return paths, labels


def _written(
    number: int, face: SlabFace, half: bool, free: shapely.Geometry, low: Floats
) -> tuple[list[Path], list[Label]]:
    """Return arrow and texts, on the template where there is room between its lines, or below."""
    title, rows = _texts(number, face, half)
    for large, small in SIZES:
        width = max(block_size(title, large)[0], block_size(rows, small)[0])
        height = LINE * (large * len(title) + small * len(rows))
        size = (ARROW[0] + width, max(height, ARROW[1]))
        middle = _placed(free, size)
        if middle is not None:
            corner = (middle[0] - size[0] / 2, middle[1] + size[1] / 2)
            return _block(title, rows, (large, small), corner)
    arrow, labels = _block(title, rows, SIZES[0], (float(low[0]), float(low[1]) - BELOW))
    return arrow, [*_mark(f"{number}{face.word[0].upper()}", free), *labels]


def _mark(text: str, free: shapely.Geometry) -> list[Label]:
    """Return the slab's number and face in short, so that a small template still carries them."""
    for height in (large for large, _ in SIZES):
        width, _ = block_size((text,), height)
        middle = _placed(free, (width, height))
        if middle is not None:
            return [Label((middle[0] - width / 2, middle[1] - height / 2), text, height)]
    return []


def _free(outline: Path, lines: list[Path]) -> shapely.Geometry:
    """Return where text may stand on a template: clear of its rim, lines and holes."""
    taken = []
    for path in lines:
        dense = path.dense(0.1)
        hole = path.closed and path.layer == CUT
        taken.append(shapely.Polygon(dense) if hole else shapely.LineString(dense))
    inner = shapely.Polygon(outline.dense(0.1)).buffer(-CLEAR)
    return inner.difference(shapely.union_all(taken).buffer(CLEAR)).simplify(0.2)


def _placed(free: shapely.Geometry, size: Point) -> Point | None:
    """Return the middle of a rectangle inside a free area, as near its centroid as it fits."""
    middle = free.centroid
    return None if free.is_empty else Room(free, 0.0).place(size, (middle.x, middle.y))


def _block(
    title: tuple[str, ...], rows: tuple[str, ...], heights: Point, corner: Point
) -> tuple[list[Path], list[Label]]:
    """Return the arrow that points up and the lines of text beside it, from the upper left."""
    x, y = corner
    tip = (x + 5.0, y)
    barbs = (Path((tip, (tip[0] + dx, y - 10.0)), (), False, REF, "up") for dx in (-4.0, 4.0))
    arrow = [line((tip[0], y - ARROW[1]), tip, REF, "up"), *barbs]
    labels = []
    large, small = heights
    for text, height in [*((t, large) for t in title), *((t, small) for t in rows)]:
        y -= LINE * height
        labels.append(Label((x + ARROW[0], y + 0.3 * height), text, height))
    return arrow, labels


def _texts(number: int, face: SlabFace, half: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return what is written on a template, in large and in small letters."""
    title = face.title or (f"SLAB {number} {face.word.upper()}", f"STA {sta(face.station)}")
    hand = ("RIGHT HALF", "turn over for LEFT") if half else ("RIGHT is to the right",)
    rows = (*hand, "seen from aft", "arrow points up", *face.words)
    return title, rows if face.pairs else (*rows, "no alignment holes")
