"""What stands before a point: the triangles that face the eye, sorted into square cells.

A point counts as hidden when triangles stand before it in every one of six places: at the point
and `slip` beside it, five ways. So a line on the very outline of a body stays seen, though the
triangles run beside the true surface by their mesh tolerance; where a line dives behind something
it does so within `slip`.
"""

from collections.abc import Iterable

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.visibility.look import Look

# Triangles a cell on average, if they were spread evenly; how many cells one may reach across.
SHARE, REACH = 0.7, 6
# Cells along the longer side of a mesh at most.
MOST = 400
# Pairs of points and triangles that are looked at in one go.
PAIRS = 100_000
ROUND = [(np.cos(t), np.sin(t)) for t in np.arange(5) * 0.4 * np.pi]
# Triangles seen from the edge hide nothing [share of the cell's area].
THIN = 1e-9
# A point this far beside a triangle still counts as on it [mm].
EDGE = 1e-9


class Cover:
    """The front sides of meshes seen along `look`, ready to be asked what they hide."""

    def __init__(self, meshes: Iterable[Mesh], look: Look) -> None:
        made = (_Screen(look.seen(m.corners.reshape(-1, 3)).reshape(-1, 3, 3)) for m in meshes)
        self.screens = sorted(made, key=lambda screen: -len(screen.triangles))

    def hidden(self, points: Floats, margin: float, slip: float) -> np.ndarray:
        """Return which points (n, 3), as `Look.seen` gives them, can't be seen.

        What stands before a point by less than `margin` [mm] does not hide it.
        """
        found = self._before(points, margin)
        for x, y in ROUND:
            left = np.nonzero(found)[0]
            aside = points[left] + np.array([x * slip, y * slip, 0.0])
            found[left] = self._before(aside, margin)
        return found

    def _before(self, points: Floats, margin: float) -> np.ndarray:
        found = np.zeros(len(points), dtype=bool)
        for screen in self.screens:
            left = np.nonzero(~found)[0]
            found[left] = screen.before(points[left], margin)
        return found


class _Screen:
    """One mesh's front side in square cells, sized by how many triangles it has."""

    def __init__(self, corners: Floats) -> None:
        flat = corners[..., :2].reshape(-1, 2)
        self.low, span = flat.min(axis=0), np.ptp(flat, axis=0)
        area = _doubled_area(corners)
        even = float(span.prod()) / max(1, int((area > 0).sum()))
        self.cell = max(float(np.sqrt(SHARE * even)), float(span.max()) / MOST, 1e-9)
        self.many = np.floor(span / self.cell).astype(np.int64) + 1
        self._lay(_split(corners[area > THIN * self.cell**2], REACH * self.cell))

    def _lay(self, front: Floats) -> None:
        """Sort triangles into cells, with their edges and planes as linear functions."""
        self.edges = _edge_functions(front)
        self.plane = _planes(front)
        first = self._cell_of(front[..., :2].min(axis=1))
        last = self._cell_of(front[..., :2].max(axis=1))
        wide = last - first + 1
        owner = np.repeat(np.arange(len(front)), wide.prod(axis=1))
        place = _counted(wide.prod(axis=1))
        column = first[owner, 0] + place % wide[owner, 0]
        row = first[owner, 1] + place // wide[owner, 0]
        key = row * self.many[0] + column
        order = np.argsort(key, kind="stable")
        self.triangles = owner[order]
        total = int(self.many.prod())
        self.starts = np.searchsorted(key[order], np.arange(total + 1))
        self.highest = front[..., 2].max(axis=1)
        self.top = np.full(total, -np.inf)
        np.maximum.at(self.top, key, self.highest[owner])

    def _cell_of(self, flat: Floats) -> Ints:
        cells = np.floor((flat - self.low) / self.cell).astype(np.int64)
        return np.asarray(np.clip(cells, 0, self.many - 1))

    def before(self, points: Floats, margin: float) -> np.ndarray:
        """Return for which points a triangle stands nearer to the eye by more than `margin`."""
        found = np.zeros(len(points), dtype=bool)
        spot = np.floor((points[:, :2] - self.low) / self.cell).astype(np.int64)
        inside = np.all((spot >= 0) & (spot < self.many), axis=1)
        key = np.where(inside, spot[:, 1] * self.many[0] + spot[:, 0], 0)
        asked = np.nonzero(inside & (self.top[key] > points[:, 2] + margin))[0]
        many = (self.starts[1:] - self.starts[:-1])[key[asked]]
        ends = np.cumsum(many)
        start = 0
        while start < len(asked):
            done = ends[start - 1] if start else 0
            stop = max(start + 1, int(np.searchsorted(ends, done + PAIRS)))
            some = slice(start, stop)
            found[asked[some]] = self._some(
                points[asked[some]], key[asked[some]], many[some], margin
            )
            start = stop
        return found

    def _some(self, points: Floats, key: Ints, many: Ints, margin: float) -> np.ndarray:
        point = np.repeat(np.arange(len(points)), many)
        triangle = self.triangles[self.starts[key][point] + _counted(many)]
        near = self.highest[triangle] > points[point, 2] + margin
        point, triangle = point[near], triangle[near]
        u, v = points[point, 0], points[point, 1]
        for a, b, c in self.edges:
            kept = a[triangle] * u + b[triangle] * v + c[triangle] >= -EDGE
            point, triangle, u, v = point[kept], triangle[kept], u[kept], v[kept]
        a, b, c = self.plane
        depth = a[triangle] * u + b[triangle] * v + c[triangle]
        found = np.zeros(len(points), dtype=bool)
        found[point[depth > points[point, 2] + margin]] = True
        return found


def _counted(many: Ints) -> Ints:
    """Return 0, 1, ... many - 1 for each entry, end to end."""
    total = int(many.sum())
    return np.arange(total) - np.repeat(np.cumsum(many) - many, many)


def _doubled_area(corners: Floats) -> Floats:
    a, b = corners[:, 1, :2] - corners[:, 0, :2], corners[:, 2, :2] - corners[:, 0, :2]
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])


def _split(corners: Floats, longest: float) -> Floats:
    """Halve the longest sides of triangles (n, 3, 3) until none is longer than `longest`."""
    done = []
    while len(corners):
        sides = np.linalg.norm(np.roll(corners, -1, axis=1)[..., :2] - corners[..., :2], axis=2)
        long = sides.max(axis=1) > longest
        done.append(corners[~long])
        place = sides[long].argmax(axis=1)
        rest, rows = corners[long], np.arange(int(long.sum()))
        a, b, c = (rest[rows, (place + i) % 3] for i in range(3))
        half = 0.5 * (a + b)
        corners = np.concatenate([np.stack([a, half, c], axis=1), np.stack([half, b, c], axis=1)])
    return np.concatenate(done) if done else np.zeros((0, 3, 3))


def _edge_functions(corners: Floats) -> Floats:
    """Return (side, 3, n): a, b, c of a u + b v + c, the distance [mm] inside of each side."""
    start, end = corners[..., :2], np.roll(corners, -1, axis=1)[..., :2]
    along = end - start
    long = np.maximum(np.linalg.norm(along, axis=2), 1e-300)
    a, b = -along[..., 1] / long, along[..., 0] / long
    c = -(a * start[..., 0] + b * start[..., 1])
    return np.ascontiguousarray(np.stack([a, b, c]).transpose(2, 0, 1))


def _planes(corners: Floats) -> Floats:
    """Return (3, n): a, b, c of a u + b v + c, the depth of each triangle's plane."""
    one, two = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    a = (one[:, 2] * two[:, 1] - two[:, 2] * one[:, 1]) / area
    b = (two[:, 2] * one[:, 0] - one[:, 2] * two[:, 0]) / area
    c = corners[:, 0, 2] - a * corners[:, 0, 0] - b * corners[:, 0, 1]
    return np.stack([a, b, c])
