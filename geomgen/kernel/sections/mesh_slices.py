"""Where planes square to an axis cut a proven mesh, for what needs many cuts."""

from copy import copy
from functools import cached_property

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.mesh import Mesh

# So many lines are cut together; sides are looked at so much farther out, for the rounding [mm].
AT_ONCE, SPARE = 32, 1e-6


def passed(points: Floats, height: Floats) -> Floats:
    """Return where the sides of polygons (n, k, d) [mm] pass height nought, of corners' (n, k).

    >>> square = np.array([[[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]])
    >>> passed(square, square[..., 1] - 0.5).tolist()
    [[2.0, 0.5], [0.0, 0.5]]
    """
    start, before = points.swapaxes(0, 1), height.T
    end, after = np.roll(start, -1, axis=0), np.roll(before, -1, axis=0)
    passes = (before < 0.0) != (after < 0.0)
    share = before[passes] / (before[passes] - after[passes])
    return np.asarray(start[passes] + share[:, None] * (end[passes] - start[passes]))


class MeshSlices:
    """A mesh that is cut at many stations, buttock lines or waterlines (`axis` 0, 1, 2)."""

    def __init__(self, mesh: Mesh, axis: int = 1) -> None:
        self._axis, self._mesh = axis, mesh
        self._corners = mesh.corners
        self._low = self._corners[..., axis].min(axis=1)
        self._high = self._corners[..., axis].max(axis=1)

    def at(self, line: float) -> Floats:
        """Return the points (k, 3) [mm] where the sides of the mesh pass a line [mm].

        They lie as near to the solid as the mesh does; straight edges of the solid are met exactly.
        """
        corners = self._corners[(self._low < line) & (self._high >= line)]
        return passed(corners, corners[..., self._axis] - line)

    def ends(self, line: float, direction: tuple[float, float, float]) -> Floats | None:
        """Return the foremost and the aftmost of those points (2, 3) [mm] along a direction.

        None where the line passes no side. It takes a quarter of the time of `at`.
        """
        low, start, way = self._sides
        passes = slice(int(np.searchsorted(low, line)))
        share = (line - low[passes]) / way[passes, self._axis]
        held = share <= 1.0
        if not held.any():
            return None
        points = start[passes][held] + share[held, None] * way[passes][held]
        reach = points @ np.array(direction)
        return points[[int(reach.argmin()), int(reach.argmax())]]

    def all_ends(self, lines: Floats, direction: tuple[float, float, float]) -> Floats:
        """Return the ends (n, 2, 3) [mm] of `ends` at lines (n,) [mm]; NaN where one passes none.

        Of many lines each takes a tenth of the time.

        >>> from geomgen.kernel.brep.primitives import box
        >>> from geomgen.kernel.meshing.proven import mesh
        >>> slices = MeshSlices(mesh(box((10, 0, 5), (40, 20, 9)), 0.1))
        >>> slices.all_ends(np.array([3.0, 30.0]), (1.0, 0.0, 0.0))[..., 0].tolist()
        [[10.0, 40.0], [nan, nan]]
        """
        found, order = np.full((len(lines), 2, 3), np.nan), np.argsort(lines)
        for i in range(0, len(lines), AT_ONCE):
            rows = order[i : i + AT_ONCE]
            at = lines[rows]
            low, start, way = self.between(float(at[0]), float(at[-1]))._sides
            if not len(low):
                continue
            share = (at[:, None] - low) / way[:, self._axis]
            reach = start @ np.array(direction) + share * (way @ np.array(direction))
            held = (share > 0.0) & (share <= 1.0)
            for k, side in enumerate((1.0, -1.0)):
                pick = np.where(held, side * reach, np.inf).argmin(axis=1)
                told = np.flatnonzero(held[np.arange(len(rows)), pick])
                pick = pick[told]
                found[rows[told], k] = start[pick] + share[told, pick][:, None] * way[pick]
        return found

    def between(self, low: float, high: float) -> "MeshSlices":
        """Return it with no more sides than lines between two [mm] pass, for its `ends` there."""
        found, (start, _, way) = copy(self), self._sides
        held = (start < high) & (start + way[:, self._axis] >= low - SPARE)
        found.__dict__["_sides"] = tuple(each[held] for each in self._sides)
        return found

    @cached_property
    def _sides(self) -> tuple[Floats, Floats, Floats]:
        """The sides that lines can pass, each once: lower end's place, that end, way to the other.

        Sorted by the first.
        """
        points, count = self._mesh.vertices, len(self._mesh.vertices)
        pairs = np.sort(self._mesh.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
        keys = np.unique(pairs[:, 0] * count + pairs[:, 1])
        one, other = points[keys // count], points[keys % count]
        up = (one[:, self._axis] <= other[:, self._axis])[:, None]
        start, end = np.where(up, one, other), np.where(up, other, one)
        start, end = (p[start[:, self._axis] < end[:, self._axis]] for p in (start, end))
        order = np.argsort(start[:, self._axis], kind="stable")
        return start[order, self._axis], start[order], (end - start)[order]


def ends(points: Floats, direction: tuple[float, float, float]) -> tuple[Floats, Floats]:
    """Return the foremost and the aftmost of some points (k, 3) [mm] along a direction."""
    reach = points @ np.array(direction)
    return points[int(reach.argmin())], points[int(reach.argmax())]
