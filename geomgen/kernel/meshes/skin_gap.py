"""How far points are from the skin of a solid, and places of a skin to ask that of."""

import numpy as np
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopoDS import TopoDS_Shape

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshes.search import MeshSearch, shares
from geomgen.kernel.meshing.deviation import step

TURNS = 6
# How near a foot that was found on a surface is to the nearest place of the skin [mm].
SEARCHED = 0.005


def skin_gaps(
    solid: TopoDS_Shape, mesh: Mesh, deviation: float, points: Floats
) -> tuple[Floats, Floats, Floats]:
    """Return distances (n,) [mm] of points (n, 3) [mm] to a solid's skin, and their bounds (n,).

    The third are 1 for points outside of the nearest skin, -1 inside, 0 where that is not known.

    The foot is sought on the surface of the triangle that is nearest on the mesh. Where that does
    not agree with the mesh within its deviation [mm], the mesh's distance counts.

    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> from geomgen.kernel.meshing.proven import meshed
    >>> rod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 10.0, 50.0)
    >>> made = meshed(rod, 0.5)
    >>> gaps, _, sides = skin_gaps(rod, made.mesh, 0.5, np.array([[25.0, 3.0, 4.0]]))
    >>> gaps.round(3), sides
    (array([5.]), array([-1.]))
    """
    near = MeshSearch(mesh.corners).nearest(points)
    gaps, bounds = near.distance.copy(), np.full(len(points), deviation)
    sides = np.zeros(len(points))
    faces = faces_of(solid)
    for face in np.unique(mesh.face[near.triangle]).tolist():
        own = np.flatnonzero(mesh.face[near.triangle] == face)
        surface = surface_points(faces[face])
        triangles = near.triangle[own]
        uv = np.einsum(
            "nc,ncd->nd", shares(near.foot[own], mesh.corners[triangles]), mesh.uv[triangles]
        )
        for _ in range(TURNS):
            uv = uv + step(surface.at(uv, 1), points[own])
        rows = surface.at(uv, 1)
        off = points[own] - rows[0]
        exact = np.linalg.norm(off, axis=1)
        sense = -1.0 if faces[face].Orientation() == TopAbs_REVERSED else 1.0
        good = np.abs(exact - near.distance[own]) <= deviation + 1e-6
        gaps[own[good]], bounds[own[good]] = exact[good], SEARCHED
        outward = sense * np.einsum("ij,ij->i", cross(rows[1], rows[2]), off)
        sides[own[good]] = np.sign(outward[good])
    return gaps, bounds, sides


def on_edges(solid: TopoDS_Shape, mesh: Mesh, every: float) -> Floats:
    """Return places (n, 3) [mm] of a solid's skin along its mesh's edges, `every` [mm] or nearer.

    All corners of the solid, of other places one in each cube of half as many mm. Of an edge that
    a flat face shares with a curved one, those of the curved one: on the flat face a chord is off
    the rim.

    >>> from geomgen.kernel.brep.primitives import cylinder
    >>> from geomgen.kernel.meshing.proven import meshed
    >>> rod = cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0, 50.0)
    >>> points = on_edges(rod, meshed(rod, 1.0).mesh, 2.0)
    >>> round(float(np.linalg.norm(points[:, :2], axis=1).max()), 6)
    10.0
    """
    ends = np.stack([mesh.triangles, np.roll(mesh.triangles, -1, axis=1)], axis=2).reshape(-1, 2)
    uv = np.stack([mesh.uv, np.roll(mesh.uv, -1, axis=1)], axis=2).reshape(-1, 2, 2)
    face = np.repeat(mesh.face, 3)
    order = np.argsort(_flat(mesh)[face], kind="stable")
    _, first = np.unique(np.sort(ends, axis=1)[order], axis=0, return_index=True)
    one = order[first]
    ends, uv, face = ends[one], uv[one], face[one]
    length = np.linalg.norm(mesh.vertices[ends[:, 1]] - mesh.vertices[ends[:, 0]], axis=1)
    many = np.ceil(length / every).astype(int) - 1
    row = np.repeat(np.arange(len(many)), many)
    share = (np.arange(len(row)) - np.repeat(np.cumsum(many) - many, many) + 1) / (many[row] + 1)
    between, faces = uv[row, 0] + share[:, None] * (uv[row, 1] - uv[row, 0]), faces_of(solid)
    found = [mesh.vertices]
    for number in np.unique(face[row]).tolist():
        found.append(surface_points(faces[number]).at(between[face[row] == number])[0])
    return np.concatenate([mesh.vertices[_ends(mesh)], _thinned(np.concatenate(found), every / 2)])


def _ends(mesh: Mesh) -> Ints:
    """Return the vertices where edges of the solid end."""
    return np.unique([line.vertices[end] for line in mesh.edges for end in (0, -1)])


def _thinned(points: Floats, cell: float) -> Floats:
    """Return one of the points (n, 3) in each cube of so many [mm]."""
    _, first = np.unique(np.floor(points / cell).astype(np.int64), axis=0, return_index=True)
    return np.asarray(points[np.sort(first)])


def _flat(mesh: Mesh) -> Bools:
    """Say of each face (f,) whether all its triangles look one way."""
    corners = mesh.corners
    normal = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-300)[:, None]
    found = np.zeros(int(mesh.face.max()) + 1, dtype=bool)
    for face in np.unique(mesh.face).tolist():
        own = normal[mesh.face == face]
        found[face] = float((own @ own[0]).min()) > 1.0 - 1e-9
    return found
