"""The drawing of one slab: a template for its front and its aft face, side by side, full size."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geomgen.drawings.arcs import fitted
from geomgen.drawings.record import CUT, REF, Drawing, Label, Path, circle, line
from geomgen.handoff.foam_holes import Pair

Floats = NDArray[np.float64]
ASIDE = 50.0
# Where reference lines are drawn: waterlines and buttock lines at whole multiples of this [mm].
GRID = 100.0
LARGE, SMALL = 7.0, 4.0


@dataclass(frozen=True)
class Face:
    """One face of a slab: its station [mm], outline (n, 2) y, z, the other face's outline."""

    word: str
    station: float
    outline: Floats
    other: Floats
    pair: Pair | None


def slab_drawing(
    number: int, faces: list[Face], half: bool, hole: float, notes: tuple[str, ...]
) -> Drawing:
    """Return the templates of a slab; `half` outlines are of the right side, to the centre plane.

    Seen from aft, looking forward: right-hand side to the right, up is up.
    """
    paths: list[Path] = []
    labels: list[Label] = []
    aside = 0.0
    for face in faces:
        made = _template(number, face, half, hole)
        (x0, _), (x1, _) = made.box()
        moved = made.moved(aside - x0, 0.0)
        paths += moved.paths
        labels += moved.labels
        aside += x1 - x0 + ASIDE
    return Drawing(f"slab {number}", tuple(paths), tuple(labels), notes)


def halved(outline: Floats) -> Floats:
    """Return the right half (m, 2) of a symmetrical outline, closed along the centre plane."""
    right = outline[outline[:, 0] >= -1e-9]
    order = np.argsort(np.arctan2(right[:, 1] - right[:, 1].mean(), right[:, 0]), kind="stable")
    right = right[order]
    top, bottom = right[-1, 1], right[0, 1]
    inner = right[(right[:, 0] > 1e-9)]
    return np.vstack([[0.0, bottom], inner, [0.0, top]])


def _template(number: int, face: Face, half: bool, hole: float) -> Drawing:
    outline = halved(face.outline) if half else face.outline
    corners = (0, len(outline) - 1) if half else ()
    paths = [fitted(outline, corners=corners, name=f"face at STA {face.station:.1f}")]
    inner = _inside(face)
    if inner is not None:
        drawn = halved(inner) if half else inner
        paths.append(fitted(drawn, corners=corners, layer=REF, name="sanding limit"))
    low, high = outline.min(axis=0), outline.max(axis=0)
    lines, names = _grid(low, high)
    paths += [*lines, *_arrow(low)]
    if face.pair is not None:
        for z in (face.pair.low, face.pair.high):
            paths.append(circle((face.pair.buttock_line, z), hole / 2, CUT, "alignment hole"))
    return Drawing("", tuple(paths), (*names, *_texts(number, face, half, low, high)))


def _inside(face: Face) -> Floats | None:
    """Return the other face's outline where it lies inside this one: the sanding limit."""
    if len(face.other) == 0:
        return None
    from shapely import Polygon

    mine, other = Polygon(face.outline), Polygon(face.other)
    return face.other if mine.buffer(1e-6).contains(other) and other.area < mine.area else None


def _grid(low: Floats, high: Floats) -> tuple[list[Path], list[Label]]:
    """Return waterlines and buttock lines that cross the template, named below and beside it."""
    paths, labels = [], []
    for z in np.arange(np.ceil(low[1] / GRID), np.floor(high[1] / GRID) + 1) * GRID:
        a, b = (float(low[0]) - 6.0, float(z)), (float(high[0]) + 6.0, float(z))
        paths.append(line(a, b, REF, f"WL {z:.0f}"))
        labels.append(Label((b[0] + 1.5, b[1] - 1.5), f"WL {z:.0f}", SMALL))
    for y in np.arange(np.ceil(low[0] / GRID), np.floor(high[0] / GRID) + 1) * GRID:
        a, b = (float(y), float(low[1]) - 6.0), (float(y), float(high[1]) + 6.0)
        paths.append(line(a, b, REF, f"BL {y:.0f}"))
        labels.append(Label((b[0], b[1] + 1.5), f"BL {y:.0f}", SMALL, anchor="middle"))
    return paths, labels


def _arrow(low: Floats) -> list[Path]:
    """Return the arrow beside the texts that points up."""
    x, foot = float(low[0]) + 112.0, float(low[1]) - 44.0
    tip = (x, foot + 30.0)
    sides = (Path((tip, (x + dx, foot + 20.0)), (), False, REF, "up") for dx in (-4.0, 4.0))
    return [line((x, foot), tip, REF, "up"), *sides]


def _texts(number: int, face: Face, half: bool, low: Floats, high: Floats) -> list[Label]:
    """Return what is written below a template."""
    hand = "RIGHT HALF, turn over for LEFT" if half else "RIGHT is to the right"
    rows = [
        (f"SLAB {number} {face.word.upper()}", LARGE),
        (f"STA {face.station:.1f}", LARGE),
        (hand, SMALL),
        ("seen from aft, the arrow points up", SMALL),
    ]
    if face.pair is None:
        rows.append(("no alignment holes", SMALL))
    x, y = float(low[0]), float(low[1]) - 12.0
    made = []
    for words, height in rows:
        y -= 1.6 * height
        made.append(Label((x, y), words, height))
    return made
