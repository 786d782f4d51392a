"""The closed rings in which a plane cuts a proven mesh; each piece knows its triangle."""

from dataclasses import dataclass

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plane_frame import Frame, signed_area


@dataclass(frozen=True)
class MeshRing:
    """A closed ring of a cut, the material on its left as seen by the plane's viewer.

    Node i lies on the side between the vertices `sides[i]` (low, high). Triangle `triangles[i]`
    leads from node i to the next; `ends[i]` are the parameters (2, 2) of its two nodes on its face.
    `points` (n, 2) are the nodes in the plane's coordinates [mm].
    """

    points: Floats
    sides: Ints
    triangles: Ints
    ends: Floats

    @property
    def area(self) -> float:
        """Return the area inside [mm2]; negative when the material is outside, round a hole."""
        return signed_area(self.points)


def mesh_rings(mesh: Mesh, frame: Frame) -> list[MeshRing] | None:
    """Return the rings in which a plane cuts a closed mesh; None where sides are not shared by two.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> from geomgen.kernel.meshing.proven import mesh
    >>> from geomgen.kernel.plane_frame import at_station
    >>> box = mesh(BRepPrimAPI_MakeBox(2.0, 3.0, 4.0).Shape(), 0.1)
    >>> [round(ring.area, 9) for ring in mesh_rings(box, at_station(1.0))]
    [12.0]
    """
    height = frame.height(mesh.vertices)
    # A vertex in the plane counts as above it, in each of its triangles alike.
    above = height >= 0.0
    first, second, third = (above[corner] for corner in mesh.triangles.T)
    cut = np.nonzero((first != second) | (second != third))[0]
    corners = mesh.triangles[cut]
    here, after = above[corners], above[np.roll(corners, -1, axis=1)]
    start = _crossing(mesh, cut, np.argmax(here & ~after, axis=1), height)
    end = _crossing(mesh, cut, np.argmax(~here & after, axis=1), height)
    following = _following(start.keys(len(height)), end.keys(len(height)))
    if following is None:
        return None
    flat = frame.flat(start.points)
    ends = np.stack([start.uv, end.uv], axis=1)
    return [
        MeshRing(flat[ring], start.sides[ring], cut[ring], ends[ring]) for ring in _walks(following)
    ]


@dataclass(frozen=True)
class _Crossing:
    """Where one side of each cut triangle passes the plane."""

    sides: Ints
    points: Floats
    uv: Floats

    def keys(self, count: int) -> Ints:
        return np.asarray(self.sides[:, 0] * count + self.sides[:, 1])


def _crossing(mesh: Mesh, cut: Ints, first: Ints, height: Floats) -> _Crossing:
    """Return where the sides that begin at corner `first` (n,) of triangles `cut` (n,) pass."""
    rows, second = np.arange(len(cut)), (first + 1) % 3
    a, b = mesh.triangles[cut, first], mesh.triangles[cut, second]
    turned = a > b
    first, second = np.where(turned, second, first), np.where(turned, first, second)
    a, b = np.minimum(a, b), np.maximum(a, b)
    # From the lower to the higher number, so that both triangles of a side get the same point.
    share = (height[a] / (height[a] - height[b]))[:, None]
    uv = mesh.uv[cut]
    return _Crossing(
        np.stack([a, b], axis=1),
        mesh.vertices[a] + share * (mesh.vertices[b] - mesh.vertices[a]),
        uv[rows, first] + share * (uv[rows, second] - uv[rows, first]),
    )


def _following(start: Ints, end: Ints) -> Ints | None:
    """Return for each piece the one that starts where it ends; None unless that is one to one."""
    order = np.argsort(start, kind="stable")
    ordered = start[order]
    if np.any(ordered[1:] == ordered[:-1]) or not np.array_equal(ordered, np.sort(end)):
        return None
    return np.asarray(order[np.searchsorted(ordered, end)])


def _walks(following: Ints) -> list[Ints]:
    waiting, steps, found = set(range(len(following))), following.tolist(), []
    for first in range(len(steps)):
        if first not in waiting:
            continue
        ring, at = [], first
        while at in waiting:
            waiting.discard(at)
            ring.append(at)
            at = steps[at]
        found.append(np.array(ring))
    return found
