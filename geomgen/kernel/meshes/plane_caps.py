"""Closed meshes cut with a plane: the part on one side, closed again by a flat cap."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshing.proven import is_closed
from geomgen.kernel.plain import Plane
from geomgen.kernel.second_library import second_library

# Share of the volume that both sides of a cut may miss together.
BALANCE = 1e-7


@dataclass(frozen=True)
class CutMesh:
    """A closed mesh [mm]: `vertices` (n, 3), `triangles` (m, 3) counter-clockwise from outside.

    `cap` (m,) is the number of the plane that made a triangle, -1 on what was there before.
    """

    vertices: Floats
    triangles: Ints
    cap: Ints

    @property
    def volume(self) -> float:
        """Return the volume inside [mm3]."""
        if not len(self.triangles):
            return 0.0
        middle = self.vertices.mean(axis=0)
        a, b, c = (self.vertices[self.triangles] - middle).transpose(1, 0, 2)
        return float((a * cross(b, c)).sum() / 6.0)


def cut_by_all(mesh: Mesh, planes: tuple[Plane, ...], part: str = "") -> CutMesh:
    """Return what lies behind every plane; an empty mesh when nothing does.

    GeometryError when the mesh is not a solid, or when both sides of a cut don't add up to it.
    """
    ahead = [plane for plane in planes if _heights(mesh, plane).max() > 0.0]
    if any(_heights(mesh, plane).min() >= 0.0 for plane in planes):
        return _empty()
    if not ahead:
        return CutMesh(mesh.vertices, mesh.triangles, np.full(len(mesh.triangles), -1))
    solid = _solid(mesh, part)
    made_by = {int(number): -1 for number in solid.to_mesh64().run_original_id}
    for number, plane in enumerate(planes):
        if plane in ahead:
            solid = _behind(solid, plane, part)
            for new in solid.to_mesh64().run_original_id:
                made_by.setdefault(int(new), number)
    return _empty() if solid.is_empty() else _read(solid.to_mesh64(), made_by)


def _empty() -> CutMesh:
    none = np.zeros((0, 3))
    return CutMesh(none, none.astype(np.int64), np.zeros(0, dtype=np.int64))


def _heights(mesh: Mesh, plane: Plane) -> Floats:
    normal = np.array(plane.normal) / np.linalg.norm(plane.normal)
    return np.asarray((mesh.vertices - np.array(plane.origin)) @ normal)


def _solid(mesh: Mesh, part: str) -> Any:
    """Return the mesh as the library's solid; GeometryError when it is none."""
    manifold3d = second_library()
    if not is_closed(mesh):
        raise GeometryError("an open mesh can't be cut", part=part, step="mesh cut")
    raw = manifold3d.Mesh64(mesh.vertices, mesh.triangles.astype(np.uint64))
    solid = manifold3d.Manifold(raw)
    if solid.status() != manifold3d.Error.NoError or solid.volume() <= 0.0:
        raise GeometryError(
            f"its mesh is not a solid ({solid.status().name})", part=part, step="mesh cut"
        )
    return solid


def _behind(solid: Any, plane: Plane, part: str) -> Any:
    """Return the side behind the plane; both sides must add up."""
    normal = np.array(plane.normal) / np.linalg.norm(plane.normal)
    ahead, behind = solid.split_by_plane(normal, float(normal @ np.array(plane.origin)))
    whole = solid.volume()
    off = abs(ahead.volume() + behind.volume() - whole)
    if off > BALANCE * whole:
        raise GeometryError(
            f"both sides of a cut miss its volume by {off:.3g} mm^3", part=part, step="mesh cut"
        )
    return behind


def _read(raw: Any, made_by: dict[int, int]) -> CutMesh:
    """Return the library's mesh as ours, each triangle with the plane that made it."""
    ends = [int(end) // 3 for end in raw.run_index]
    many = [last - first for first, last in zip(ends, ends[1:], strict=False)]
    numbers = [made_by[int(number)] for number in raw.run_original_id]
    triangles = np.asarray(raw.tri_verts, dtype=np.int64)
    vertices = np.asarray(raw.vert_properties, dtype=np.float64)[:, :3]
    return CutMesh(vertices, triangles, np.repeat(np.array(numbers, dtype=np.int64), many))
