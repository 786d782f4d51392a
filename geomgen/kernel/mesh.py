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
    vertices, place = np.unique(rounded, axis=0, return_inverse=True)
    place = place.reshape(-1)
    corners = place[triangles]
    a, b, c = corners.T
    gone = (a == b) | (b == c) | (c == a)
    used, renumbered = np.unique(corners[~gone], return_inverse=True)
    # An edge's line may end in vertices that no triangle uses only if the mesh has a hole.
    new = np.full(len(vertices), -1, dtype=np.int64)
    new[used] = np.arange(len(used))
    lines = tuple(EdgeLine(e.edge, new[place[e.vertices]], e.parameters) for e in edges)
    return Mesh(
        vertices[used],
        renumbered.reshape(-1, 3).astype(np.int64),
        face[~gone],
        uv[~gone],
        new[corners[gone]],
        face[gone],
        uv[gone],
        lines,
        mesh_tolerance,
        method,
    )
