"""What a mesh of a shape is: triangles that still know where on the solid they lie."""

from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints


def cross(a: Floats, b: Floats) -> Floats:
    """Return the cross products of vectors (n, 3) [any unit]; numpy's own spends its time on axes.

    >>> cross(np.array([[1.0, 0.0, 0.0]]), np.array([[0.0, 1.0, 0.0]])).tolist()
    [[0.0, 0.0, 1.0]]
    """
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


def sizes(vectors: Floats) -> Floats:
    """Return the sizes (n,) of vectors (n, 3) [any unit]; numpy's own takes three times as long.

    >>> sizes(np.array([[2.0, 3.0, 6.0]])).tolist()
    [7.0]
    """
    x, y, z = vectors.T
    return np.asarray(np.sqrt(x * x + y * y + z * z))


@dataclass(frozen=True)
class EdgeLine:
    """The polyline that stands for one edge of the solid: vertices (k,) at parameters (k,)."""

    edge: int
    vertices: Ints
    parameters: Floats


@dataclass(frozen=True, eq=False)
class Mesh:
    """A closed triangle mesh of a shape [mm]; each is equal to itself alone.

    `vertices` (n, 3) hold values that a 32-bit float holds exactly, so a file changes nothing.
    `triangles` (m, 3) are counter-clockwise seen from outside; `face` (m,) is the place of the
    solid's face in `faces_of(shape)` and `uv` (m, 3, 2) each corner's parameters on it.
    `collapsed_*` are triangles of the parameter plane that a pole shrinks to a line; no file holds
    them, the proof of the deviation does. `edges` are the solid's edges, numbered as the kernel
    maps them. `method` is "grid" or "kernel"; `tries` how often it was meshed until it held.
    """

    vertices: Floats
    triangles: Ints
    face: Ints
    uv: Floats
    collapsed_triangles: Ints
    collapsed_face: Ints
    collapsed_uv: Floats
    edges: tuple[EdgeLine, ...]
    mesh_tolerance: float
    method: str = "grid"
    tries: int = 1

    def __getstate__(self) -> dict[str, Any]:
        """Return what is sent to another process: what is worked out again there is left out."""
        return {field.name: getattr(self, field.name) for field in fields(self)}

    @cached_property
    def corners(self) -> Floats:
        """The corners of the triangles, (m, 3, 3) [mm]; nobody may write into them."""
        found = np.asarray(self.vertices[self.triangles])
        found.flags.writeable = False
        return found

    @property
    def volume(self) -> float:
        """Return the volume inside [mm3], negative when the mesh is inside out."""
        middle = self.vertices.mean(axis=0) if len(self.vertices) else np.zeros(3)
        a, b, c = (self.corners - middle).transpose(1, 0, 2)
        return float(np.einsum("ij,ij->", a, cross(b, c)) / 6.0)


def renumbered_of(triangles: Ints, count: int) -> tuple[Ints, Ints]:
    """Return which of `count` vertices triangles (m, 3) use, and the triangles numbered by these.

    >>> used, triangles = renumbered_of(np.array([[7, 2, 5], [2, 7, 3]]), 9)
    >>> used.tolist(), triangles.tolist()
    ([2, 3, 5, 7], [[3, 0, 2], [0, 3, 1]])
    """
    used = np.zeros(count, dtype=bool)
    used[triangles.reshape(-1)] = True
    return np.nonzero(used)[0], (np.cumsum(used) - 1)[triangles]


def _once(points: Floats) -> tuple[Floats, Ints]:
    """Return points (n, 3) in order, each once, and the place (n,) of each given one there."""
    order = np.lexsort(points.T[::-1])
    rows = points[order]
    new = np.r_[True, np.any(rows[1:] != rows[:-1], axis=1)][: len(rows)]
    place = np.empty(len(points), dtype=np.int64)
    place[order] = np.cumsum(new) - 1
    return rows[new], place


def assembled(
    points: Floats,
    triangles: Ints,
    face: Ints,
    uv: Floats,
    edges: list[EdgeLine],
    mesh_tolerance: float,
    method: str,
) -> Mesh:
    """Round points [mm] to 32 bits, merge what then coincides, set collapsed triangles aside."""
    rounded = points.astype(np.float32).astype(np.float64) + 0.0
    vertices, place = _once(rounded)
    corners = place[triangles]
    a, b, c = corners.T
    gone = (a == b) | (b == c) | (c == a)
    used, renumbered = renumbered_of(corners[~gone], len(vertices))
    # An edge's line may end in vertices that no triangle uses only if the mesh has a hole.
    new = np.full(len(vertices), -1, dtype=np.int64)
    new[used] = np.arange(len(used))
    lines = tuple(EdgeLine(e.edge, new[place[e.vertices]], e.parameters) for e in edges)
    return Mesh(
        vertices[used],
        renumbered,
        face[~gone],
        uv[~gone],
        new[corners[gone]],
        face[gone],
        uv[gone],
        lines,
        mesh_tolerance,
        method,
    )
