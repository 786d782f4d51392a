"""Triangles read from a file, tied to the faces of the solid that they should be the mesh of.

A file of triangles tells no faces. The solid is meshed anew: a triangle whose corners are corners
of the new mesh lies on the face that these share; the others on the face that comes nearest. Which
face it is decides nothing by itself: the deviation is measured from what was found here.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import product

import numpy as np
from OCP.TopoDS import TopoDS_Shape
from scipy.sparse import csr_array
from scipy.spatial import cKDTree

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import EdgeLine, Mesh, cross
from geomgen.kernel.meshes.search import MeshSearch, shares
from geomgen.kernel.meshing.deviation import deviation, step
from geomgen.kernel.meshing.proven import Meshed, first_mesh, meshed

# A corner of 32-bit figures is the same corner to this [mm].
SAME_CORNER = 1e-3
TURNS = 8
# Where more than this share of the corners is not the first mesh's, a proved mesh is compared with.
STRANGE = 0.01


def on_solid(solid: TopoDS_Shape, read: Mesh, part: str = "") -> Meshed:
    """Return `read` with its faces and parameters on `solid`, and its measured deviation [mm].

    Of `read` only vertices, triangles and mesh tolerance count. GeometryError where the solid
    itself can't be meshed.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> made = meshed(box, 0.1).mesh
    >>> bare = replace(made, face=0 * made.face, uv=0.0 * made.uv)
    >>> sorted(set(on_solid(box, bare).mesh.face.tolist()))
    [0, 1, 2, 3, 4, 5]
    """
    surfaces = [surface_points(face) for face in faces_of(solid)]
    fresh = _fresh(solid, read, surfaces, part)
    match = _matched(read, fresh)
    back = np.full(len(fresh.vertices), -1, dtype=np.int64)
    back[match[match >= 0]] = np.nonzero(match >= 0)[0]
    gone = back[fresh.collapsed_triangles]
    whole = np.all(gone >= 0, axis=1)
    face = _faces(read, fresh, match, len(surfaces))
    made = replace(
        read,
        face=face,
        uv=_parameters(read, fresh, match, face, surfaces),
        collapsed_triangles=gone[whole],
        collapsed_face=fresh.collapsed_face[whole],
        collapsed_uv=fresh.collapsed_uv[whole],
        edges=tuple(_edges(fresh, back)),
        method=fresh.method,
    )
    return Meshed(made, deviation(solid, made, surfaces))


def _fresh(solid: TopoDS_Shape, read: Mesh, surfaces: list[SurfacePoints], part: str) -> Mesh:
    """Return a mesh of the solid to compare with: a first one, or a proved one if that is other."""
    try:
        first = first_mesh(solid, read.mesh_tolerance, surfaces)
    except GeometryError:
        return meshed(solid, read.mesh_tolerance, part=part).mesh
    if np.mean(_matched(read, first) < 0) <= STRANGE:
        return first
    return meshed(solid, read.mesh_tolerance, part=part).mesh


def _matched(read: Mesh, fresh: Mesh) -> Ints:
    """Return for each corner read which of the fresh mesh it is (n,); -1 where it is none."""
    apart, which = cKDTree(fresh.vertices).query(read.vertices, distance_upper_bound=SAME_CORNER)
    return np.where(np.isfinite(apart), which, -1)


def _faces(read: Mesh, fresh: Mesh, match: Ints, faces: int) -> Ints:
    """Return the face (m,) of each triangle read."""
    rows = (np.ones(3 * len(fresh.face)), (fresh.triangles.reshape(-1), np.repeat(fresh.face, 3)))
    on = csr_array(rows, shape=(len(fresh.vertices) + 1, faces)).astype(bool)
    a, b, c = (on[match[read.triangles[:, i]]] for i in range(3))
    # A corner that is not matched asks the last row, which is on no face.
    shared = a.multiply(b).multiply(c).tocsr()
    shared.eliminate_zeros()
    count = np.diff(shared.indptr)
    found = np.full(len(read.triangles), -1, dtype=np.int64)
    found[count == 1] = shared.indices[shared.indptr[:-1][count == 1]]
    left = np.nonzero(count != 1)[0]
    if len(left):
        allowed = np.ones((len(left), faces), dtype=bool)
        several = count[left] > 1
        allowed[several] = shared[left[several]].toarray()
        found[left] = _nearest_face(read.corners[left], fresh, allowed)
    return found


def _nearest_face(corners: Floats, fresh: Mesh, allowed: np.ndarray) -> Ints:
    """Return for triangles (k, 3, 3) the allowed face (k,) that lies nearest and faces alike."""
    middles, facing = corners.mean(axis=1), _facing(corners)
    best, found = np.full(len(corners), np.inf), np.zeros(len(corners), dtype=np.int64)
    for face in np.unique(fresh.face).tolist():
        asked = np.nonzero(allowed[:, face])[0]
        if not len(asked):
            continue
        mine = fresh.corners[fresh.face == face]
        near = MeshSearch(mine).nearest(middles[asked])
        alike = np.einsum("ij,ij->i", facing[asked], _facing(mine)[near.triangle])
        score = near.distance / fresh.mesh_tolerance + 1.0 - alike
        better = score < best[asked]
        best[asked[better]], found[asked[better]] = score[better], face
    return found


def _facing(corners: Floats) -> Floats:
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return np.asarray(normal / np.maximum(np.linalg.norm(normal, axis=1), 1e-300)[:, None])


def _parameters(
    read: Mesh, fresh: Mesh, match: Ints, face: Ints, surfaces: list[SurfacePoints]
) -> Floats:
    """Return the parameters (m, 3, 2) of the corners read, each on its triangle's face."""
    known = _Known(fresh)
    uv = np.full((len(face), 3, 2), np.nan)
    corner = match[read.triangles]
    for i in range(3):
        uv[:, i] = known.one(corner[:, i], face)
    for t in np.nonzero(np.isnan(uv).any(axis=(1, 2)))[0].tolist():
        choices = [known.all(v, int(face[t])) for v in corner[t].tolist()]
        if all(len(choice) for choice in choices):
            uv[t] = min(product(*choices), key=_round)
    for i in np.unique(face[np.isnan(uv).any(axis=(1, 2))]).tolist():
        mine = np.nonzero((face == i) & np.isnan(uv).any(axis=(1, 2)))[0]
        uv[mine] = _feet(read.corners[mine], fresh, i, surfaces[i])
    return uv


class _Known:
    """The parameters that corners of the fresh mesh have on each face: several at seam and pole."""

    def __init__(self, fresh: Mesh) -> None:
        self._faces = int(fresh.face.max(initial=0)) + 1
        keys = self._keys(fresh.triangles.reshape(-1), np.repeat(fresh.face, 3))
        rows = np.unique(np.column_stack([keys, fresh.uv.reshape(-1, 2)]), axis=0)
        self._numbers, self._uv = rows[:, 0].astype(np.int64), rows[:, 1:]

    def _keys(self, vertex: Ints, face: Ints) -> Ints:
        return np.asarray(vertex * self._faces + face)

    def one(self, vertex: Ints, face: Ints) -> Floats:
        """Return the parameters (n, 2) of corners that have just one pair of them, else nan."""
        keys = np.where(vertex >= 0, self._keys(vertex, face), -1)
        low, high = (np.searchsorted(self._numbers, keys, side=side) for side in ("left", "right"))
        found = np.full((len(keys), 2), np.nan)
        single = high - low == 1
        found[single] = self._uv[low[single]]
        return found

    def all(self, vertex: int, face: int) -> list[Floats]:
        """Return all parameters (2,) of a corner on a face."""
        if vertex < 0:
            return []
        key = vertex * self._faces + face
        low, high = (np.searchsorted(self._numbers, key, side=side) for side in ("left", "right"))
        return list(self._uv[low:high])


def _round(corners: tuple[Floats, ...]) -> float:
    a, b, c = corners
    return float(np.abs(a - b).sum() + np.abs(b - c).sum() + np.abs(c - a).sum())


def _feet(corners: Floats, fresh: Mesh, face: int, surface: SurfacePoints) -> Floats:
    """Return the parameters (n, 3, 2) of the feet of triangles' corners (n, 3, 3) on a face.

    All three start from one triangle of the face's mesh: so they stay on one side of its seam.
    """
    mine = np.nonzero(fresh.face == face)[0]
    near = MeshSearch(fresh.corners[mine]).nearest(corners.mean(axis=1))
    owner, points = np.repeat(mine[near.triangle], 3), corners.reshape(-1, 3)
    uv = np.einsum("nc,ncd->nd", shares(points, fresh.corners[owner]), fresh.uv[owner])
    for _ in range(TURNS):
        uv = uv + step(surface.at(uv, 1), points)
    return np.asarray(uv.reshape(-1, 3, 2))


def _edges(fresh: Mesh, back: Ints) -> Iterator[EdgeLine]:
    """Yield the edges' lines in the numbers of the corners read, without corners that are gone."""
    for line in fresh.edges:
        there = back[line.vertices]
        if np.all(there >= 0):
            yield replace(line, vertices=there)
