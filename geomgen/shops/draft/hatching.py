"""Lines of a picture of draft: hatching, borders, where a value is nil; and places in words."""

from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats, Ints
from geomgen.drafting.record import DIM, HATCH, SECTION, Path, Point, line
from geomgen.kernel.plain import Vec3
from geomgen.shops.draft.cells import Cells

# Cells of an undercut that are outlined one by one; beyond that, the mesh's own triangles.
OUTLINED = 4000


@dataclass(frozen=True)
class StandingUndercut:
    """Undercut that something else brings: its cells, the share of each (m,), what it is."""

    cells: Cells
    share: Floats
    name: str


def crossings(flat: Floats, value: Floats) -> Floats:
    """Return where a linear value (m, 3) is nil on triangles (m, 3, 2): segments (m, 2, 2) [mm]."""
    below = value < 0
    alone = np.where(below.sum(axis=1) == 1, below.argmax(axis=1), (~below).argmax(axis=1))
    row = np.arange(len(flat))
    ends = []
    for turn in (1, 2):
        other = (alone + turn) % 3
        a, b = value[row, alone], value[row, other]
        share = (a / (a - b))[:, None]
        ends.append(flat[row, alone] * (1 - share) + flat[row, other] * share)
    return np.stack(ends, axis=1)


def merged(segments: Floats, snap: float, name: str, layer: str = HATCH) -> list[Path]:
    """Return segments (k, 2, 2) as few lines, their ends snapped to a grid [mm]."""
    if not len(segments):
        return []
    rounded = np.round(segments / snap) * snap
    rounded = rounded[np.any(rounded[:, 0] != rounded[:, 1], axis=1)]
    if not len(rounded):
        return []
    joined = shapely.line_merge(shapely.union_all(shapely.linestrings(rounded)))
    lines = shapely.simplify(shapely.get_parts(joined), snap)
    lines = lines[shapely.length(lines) > 4 * snap]
    return [
        Path(tuple((float(x), float(y)) for x, y in one.coords), (), False, layer, name)
        for one in lines
    ]


def hatched(
    flat: Floats, pitch: float, ways: tuple[int, ...], name: str, least: float = 0.0
) -> list[Path]:
    """Return hatch lines over triangles (m, 3, 2), rising (1) or falling (-1), overlaps joined.

    A line shorter than `least` [mm] is lengthened: a strip seen edge-on shows by its strokes.
    """
    paths: list[Path] = []
    for way in ways if len(flat) else ():
        along = np.array([1.0, way]) / np.sqrt(2)
        across = np.array([-way, 1.0]) / np.sqrt(2)
        s, t = flat @ along, flat @ across / pitch
        for number, start, end in _joined(*_chords(s, t), 0.2 * pitch, least):
            a, b = (start * along + number * pitch * across, end * along + number * pitch * across)
            paths.append(line(_point(a), _point(b), DIM, name))
    return paths


def _chords(s: Floats, t: Floats) -> tuple[Ints, Floats, Floats]:
    """Return hatch number, start and end (k,) of each chord that a hatch line cuts of triangles."""
    first = np.ceil(t.min(axis=1)).astype(np.int64)
    count = np.maximum(np.floor(t.max(axis=1)).astype(np.int64) - first + 1, 0)
    owner = np.repeat(np.arange(len(t)), count)
    number = first[owner] + np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    start, end = np.full(len(owner), np.inf), np.full(len(owner), -np.inf)
    for i in range(3):
        a, b = t[owner, i], t[owner, (i + 1) % 3]
        crossed = (np.minimum(a, b) <= number) & (number <= np.maximum(a, b)) & (a != b)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = s[owner, i] + (number - a) / (b - a) * (s[owner, (i + 1) % 3] - s[owner, i])
        start = np.where(crossed, np.minimum(start, at), start)
        end = np.where(crossed, np.maximum(end, at), end)
    return number, start, end


def _joined(
    number: Ints, start: Floats, end: Floats, gap: float, least: float
) -> list[tuple[int, float, float]]:
    found: list[tuple[int, float, float]] = []
    for i in np.lexsort((start, number)):
        n, a, b = int(number[i]), float(start[i]), float(end[i])
        if found and found[-1][0] == n and a <= found[-1][2] + gap:
            found[-1] = (n, found[-1][1], max(found[-1][2], b))
        elif b > a:
            found.append((n, a, b))
    return [(n, *_at_least(a, b, least)) for n, a, b in found if least or b - a > gap]


def _at_least(start: float, end: float, length: float) -> tuple[float, float]:
    more = max(0.0, length - (end - start)) / 2
    return start - more, end + more


def edge(flat: Floats, snap: float, name: str) -> list[Path]:
    """Return the outline of an undercut's cells (m, 3, 2) [mm], within about `snap` [mm]."""
    if not len(flat):
        return []
    a, b, c = flat.transpose(1, 0, 2)
    wide = np.abs(
        (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    )
    seen = flat[wide > snap**2]
    seen = seen[np.argsort(-wide[wide > snap**2])[:OUTLINED]]
    whole = shapely.union_all(shapely.polygons(seen))
    closed = shapely.buffer(shapely.buffer(whole, 4 * snap), -4 * snap)
    rings = [
        np.asarray(ring.coords)[:-1]
        for part in shapely.get_parts(shapely.simplify(closed, snap))
        if part.area > (16 * snap) ** 2
        for ring in (part.exterior, *part.interiors)
    ]
    return [Path(tuple(_point(p) for p in ring), (), True, SECTION, name) for ring in rings]


def cm2(area: float) -> str:
    """Return an area [mm2] in square centimetres.

    >>> cm2(1234.0)
    '12.3 cm²'
    """
    return f"{area / 100:.1f} cm²"


def spoken(at: Vec3) -> str:
    """Return a place [mm] in the words of the loft.

    >>> spoken((1200.0, -30.04, 700.0))
    'STA 1200.0, BL 30.0 left, WL 700.0'
    """
    hand = " right" if at[1] > 0.05 else " left" if at[1] < -0.05 else ""
    return f"STA {at[0]:.1f}, BL {abs(at[1]):.1f}{hand}, WL {at[2]:.1f}"


def _point(p: Floats) -> Point:
    return (float(p[0]), float(p[1]))
