"""How far a mesh and the solid it stands for lie apart, measured both ways.

Every triangle knows its face and the parameters of its corners, so each sample of the triangle has
a partner on the surface: their distance bounds both directions from above. Where that bound is
not small already, mesh to solid is taken to the foot of the perpendicular (Newton) and solid to
mesh to the nearest point of the mesh (`walk.py`). The solid's edges are measured
against the polylines that stand for them.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.kernel.brep.curve_points import edge_curve
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import Mesh, cross
from geomgen.kernel.meshing.edges import mapped
from geomgen.kernel.meshing.flat_faces import flat_grid
from geomgen.kernel.meshing.walk import neighbours, partners, to_mesh, to_segments, to_triangles
from geomgen.kernel.plain import Vec3, vec

__all__ = ["Deviation", "deviation", "neighbours", "to_triangles"]

# Samples of a collapsed triangle: middles of its sides and its centroid.
WEIGHTS = np.array([[0, 1 / 2, 1 / 2], [1 / 2, 0, 1 / 2], [1 / 2, 1 / 2, 0], [1 / 3, 1 / 3, 1 / 3]])
ALONG_EDGE = np.array([0.2, 0.4, 0.5, 0.6, 0.8])
# Bounds below this share of the tolerance are good enough as they stand.
SMALL = 0.3
BATCH = 1024


@dataclass(frozen=True)
class Deviation:
    """Distances [mm] between mesh and solid; `worst` [mm] is where the largest was met.

    `facing_by_face` (f,) is the mean cosine, over each face, between triangle normals and the
    solid's outward normals: 1 for a good mesh, -1 for one that is inside out. `by_edge` (e,) holds
    the largest distance of each edge and `by_face` (f,) that of each face; where a face keeps the
    tolerance and another is farther off, it may be what bounds the distance.
    """

    mesh_to_solid: float
    solid_to_mesh: float
    samples: int
    worst: Vec3
    facing_by_face: Floats
    by_face: Floats
    by_edge: Floats

    @property
    def largest(self) -> float:
        """Return the larger of both directions [mm]."""
        return max(self.mesh_to_solid, self.solid_to_mesh)

    @property
    def facing(self) -> float:
        """Return the least of `facing_by_face` [1]."""
        return float(min(1.0, self.facing_by_face.min(initial=1.0)))


def deviation(
    shape: TopoDS_Shape, mesh: Mesh, surfaces: list[SurfacePoints] | None = None
) -> Deviation:
    """Measure mesh against solid, sampled; the mesh must be one of this shape.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> from geomgen.kernel.meshing.proven import mesh
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> deviation(box, mesh(box, 0.1)).largest
    0.0
    """
    faces = faces_of(shape)
    surfaces = surfaces or [surface_points(face) for face in faces]
    signs = np.array([-1.0 if face.Orientation() == TopAbs_REVERSED else 1.0 for face in faces])
    beside = partners(mesh.triangles)
    samples = _sampled(mesh, surfaces, beside)
    beside = np.where(beside >= 0, beside // 3, -1).reshape(-1, 3)
    feet = _Feet(surfaces, samples)
    there, one = _peaks(
        samples,
        len(faces),
        [lambda k: feet.nearer(k, 1), lambda k: feet.nearer(k, 2)],
        mesh.mesh_tolerance,
    )
    back, two = _peaks(
        samples,
        len(faces),
        [
            lambda k: to_triangles(samples.on[k], mesh.vertices[mesh.triangles[samples.owner[k]]]),
            lambda k: to_mesh(samples.on[k], samples.owner[k], mesh, beside),
        ],
        mesh.mesh_tolerance,
    )
    record = max(there.max(initial=0.0), back.max(initial=0.0))
    outward = there.max(initial=0.0) >= back.max(initial=0.0)
    worst = _place(samples.points, one) if outward else _place(samples.on, two)
    turned, at = _turned(samples, signs, mesh)
    if turned.max(initial=0.0) > record:
        record, worst = float(turned.max()), _place(samples.points, at)
    there = np.maximum(there, turned)
    # A face without a triangle is a hole of unknown depth; so is one with a point nowhere.
    bare = np.bincount(mesh.face, minlength=len(faces)) == 0
    bare |= np.bincount(samples.face, ~np.isfinite(samples.bound), len(faces)) > 0
    there[bare] = back[bare] = np.inf
    slits, count = _slits(surfaces, mesh, beside)
    back = np.maximum(back, slits)
    by_edge, place, along = _edges(shape, mesh)
    if len(by_edge) and by_edge.max() > record:
        worst = place
    return Deviation(
        float(there.max(initial=0.0)),
        float(max(back.max(initial=0.0), by_edge.max(initial=0.0))),
        len(samples.bound) + count + along,
        worst,
        np.where(bare, -1.0, _facing(samples, signs, len(faces))),
        np.maximum(there, back),
        by_edge,
    )


@dataclass(frozen=True)
class _Samples:
    """Points of the mesh and their partners on the surfaces.

    `points` (n, 3) lie on triangles `owner` (n,) of faces `face` (n,), with parameters `at` (n, 2);
    `on` (n, 3) is the solid there and `bound` (n,) the distance between both. The first m are the
    centroids: `normals` (m, 3) are the surface's there, `areas` (m, 3) the triangles' twice over.
    """

    points: Floats
    at: Floats
    owner: Ints
    face: Ints
    on: Floats
    bound: Floats
    normals: Floats
    areas: Floats


def _sampled(mesh: Mesh, surfaces: list[SurfacePoints], other: Ints) -> _Samples:
    """Take centroids, middles of sides and corners of all triangles.

    A side or a corner that triangles of a face share is one sample where its parameters agree.
    """
    corners, uv, many = mesh.corners, mesh.uv, len(mesh.triangles)
    sides = (0.5 * (corners + corners[:, [1, 2, 0]])).reshape(-1, 3)
    flat = (0.5 * (uv + uv[:, [1, 2, 0]])).reshape(-1, 2)
    half = np.arange(3 * many)
    twice = (other >= 0) & (other < half) & (mesh.face[other // 3] == mesh.face[half // 3])
    twice &= np.all(flat[other] == flat, axis=1)
    kept = np.nonzero(~twice)[0]
    ends = _first_corners(mesh, len(surfaces))
    points = np.concatenate([corners.mean(axis=1), sides[kept], corners.reshape(-1, 3)[ends]])
    at = np.concatenate([uv.mean(axis=1), flat[kept], uv.reshape(-1, 2)[ends]])
    owner = np.concatenate([np.arange(many), kept // 3, ends // 3])
    face = mesh.face[owner]
    middle = _rows(surfaces, face[:many], at[:many], 1)
    on = np.concatenate([middle[0], _rows(surfaces, face[many:], at[many:], 0)[0]])
    _lay_flat(surfaces, mesh, points, face, on)
    off = on - points
    return _Samples(
        points,
        at,
        owner,
        face,
        on,
        np.sqrt(np.einsum("ij,ij->i", off, off)),
        cross(middle[1], middle[2]),
        cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]),
    )


def _lay_flat(
    surfaces: list[SurfacePoints], mesh: Mesh, points: Floats, face: Ints, on: Floats
) -> None:
    """On flat faces take the feet of perpendiculars for partners, in `on` (n, 3).

    Between corners their parameters may lead far along the plane, even beyond the face.
    """
    for i, surface in enumerate(surfaces):
        if surface.kind == "spline" and len(uv := mesh.uv[mesh.face == i].reshape(-1, 2)):
            plane = flat_grid(surface, uv.min(axis=0), uv.max(axis=0))
            if plane is not None:
                on[face == i] = plane.feet(points[face == i])


def _first_corners(mesh: Mesh, faces: int) -> Ints:
    """Return the corners (k,), numbered 3 t + i, that are the first of a face at a vertex."""
    order = np.argsort(mesh.face, kind="stable")
    starts = np.searchsorted(mesh.face[order], np.arange(faces + 1))
    first = np.full(len(mesh.vertices), -1)
    found = [np.empty(0, dtype=np.int64)]
    for low, high in zip(starts[:-1], starts[1:], strict=True):
        corners = (3 * order[low:high, None] + np.arange(3)).reshape(-1)[::-1]
        vertices = mesh.triangles[order[low:high]].reshape(-1)[::-1]
        # Of a number that comes up twice the last one written stays.
        first[vertices] = corners
        found.append(first[first >= 0])
        first[vertices] = -1
    return np.concatenate(found)


def _rows(surfaces: list[SurfacePoints], face: Ints, at: Floats, order: int) -> Floats:
    """Return points and derivatives (rows, n, 3) at parameters `at` (n, 2) of faces `face`."""
    out = np.empty(((1, 3)[order], len(at), 3))
    by_face = np.argsort(face, kind="stable")
    starts = np.searchsorted(face[by_face], np.arange(len(surfaces) + 1))
    for i in np.nonzero(np.diff(starts))[0].tolist():
        mine = by_face[starts[i] : starts[i + 1]]
        out[:, mine] = surfaces[i].at(at[mine], order)
    return out


class _Feet:
    """Feet of perpendiculars from samples to their surfaces, Gauss-Newton from the partners."""

    def __init__(self, surfaces: list[SurfacePoints], samples: _Samples) -> None:
        self._surfaces, self._samples = surfaces, samples
        self._at = samples.at.copy()

    def nearer(self, chosen: Ints, turns: int) -> Floats:
        """Take some turns from where the samples' feet are; return their distances (n,)."""
        face, points = self._samples.face[chosen], self._samples.points[chosen]
        at = self._at[chosen]
        best = np.full(len(chosen), np.inf)
        for _ in range(turns):
            rows = _rows(self._surfaces, face, at, 1)
            best = np.minimum(best, _length(rows[0] - points))
            at = at + step(rows, points)
        self._at[chosen] = at
        last = _rows(self._surfaces, face, at, 0)[0]
        return np.asarray(np.minimum(best, _length(last - points)))


def _length(rows: Floats) -> Floats:
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", rows, rows)))


def step(rows: Floats, points: Floats) -> Floats:
    """Return a Gauss-Newton step (n, 2) toward the feet of points (n, 3) [mm].

    `rows` (3, n, 3) are the surface and its slopes where the search is.
    """
    miss, su, sv = points - rows[0], rows[1], rows[2]
    pairs = ((su, su), (su, sv), (sv, sv), (su, miss), (sv, miss))
    a, b, c, d, e = (np.einsum("ij,ij->i", x, y) for x, y in pairs)
    fall = a * c - b * b
    sound = fall > 1e-12 * np.maximum(a * c, 1e-300)
    fall = np.where(sound, fall, 1.0)
    step = np.stack([(c * d - b * e) / fall, (a * e - b * d) / fall], axis=-1)
    return np.where(sound[:, None], step, 0.0)


def _peaks(
    samples: _Samples, faces: int, refine: list[Callable[[Ints], Floats]], tolerance: float
) -> tuple[Floats, int]:
    """Return the largest refined distance by face (faces,) and the sample of the largest of all.

    The samples' bounds are upper bounds of the refined distances. They are taken as they are below
    a small share of the tolerance, and below the largest distance so far if that is kept too. Each
    of `refine` is asked only for what the one before it left above that.
    """
    bound, face = np.nan_to_num(samples.bound), samples.face
    most, best = np.zeros(faces), np.zeros(faces)
    np.maximum.at(most, face, bound)
    worst = int(np.argmax(bound)) if len(bound) else -1
    ground, size = SMALL * tolerance, BATCH
    left = np.nonzero(bound > ground)[0]
    while len(left):
        size = min(size, len(left))
        top = np.argpartition(-bound[left], size - 1)
        batch, left = left[top[:size]], left[top[size:]]
        refined = bound[batch].copy()
        for measure in refine:
            doubtful = np.nonzero(refined > np.maximum(ground, best[face[batch]]))[0]
            if len(doubtful):
                refined[doubtful] = np.fmin(refined[doubtful], measure(batch[doubtful]))
        if refined.max() > best.max():
            worst = int(batch[np.argmax(refined)])
        np.maximum.at(best, face[batch], refined)
        ground = max(SMALL * tolerance, min(best.max(), tolerance))
        left = left[bound[left] > np.maximum(ground, best[face[left]])]
        size *= 4
    return np.maximum(best, np.minimum(ground, most)), worst


def _turned(samples: _Samples, signs: Floats, mesh: Mesh) -> tuple[Floats, int]:
    """Return by how much triangles may lie beside their face, by face; where it is most.

    A triangle that faces backwards is folded over: over the face's border, or over another one. It
    lies within a surface that goes on beyond the face, so no distance to a surface tells; it can
    reach out by its least height.
    """
    found = np.zeros(len(signs))
    if not len(mesh.triangles):
        return found, -1
    cosine = np.einsum("ij,ij->i", samples.areas, samples.normals) * signs[mesh.face]
    back = np.nonzero(cosine < 0)[0]
    if not len(back):
        return found, -1
    corners = mesh.corners[back]
    sides = np.linalg.norm(corners - corners[:, [1, 2, 0]], axis=2)
    height = _length(samples.areas[back]) / np.maximum(sides.max(axis=1), 1e-300)
    np.maximum.at(found, mesh.face[back], height)
    return found, int(back[np.argmax(height)])


def _place(points: Floats, number: int) -> Vec3:
    return vec(points[number] if number >= 0 else (0.0, 0.0, 0.0))


def _facing(samples: _Samples, signs: Floats, faces: int) -> Floats:
    """Return the mean cosine over each face between triangles' and solid's normals, (faces,)."""
    face = samples.face[: len(samples.areas)]
    outward, area = samples.normals * signs[face][:, None], samples.areas
    size, weight = _length(outward), _length(area)
    sound = (size > 0) & (weight > 0)
    cosine = np.einsum("ij,ij->i", area[sound], outward[sound]) / size[sound]
    total = np.bincount(face[sound], cosine, faces)
    full = np.bincount(face[sound], weight[sound], faces)
    return np.where(full > 0, total / np.where(full > 0, full, 1.0), 0.0)


def _slits(surfaces: list[SurfacePoints], mesh: Mesh, beside: Ints) -> tuple[Floats, int]:
    """Return how far the surface over collapsed triangles is from the mesh, by face; the count."""
    found, gone = np.zeros(len(surfaces)), len(mesh.collapsed_face)
    if not gone:
        return found, 0
    if not len(mesh.triangles):
        return np.full(len(surfaces), np.inf), 0
    at = np.einsum("kc,mcd->mkd", WEIGHTS, mesh.collapsed_uv).reshape(-1, 2)
    owner = np.repeat(np.arange(gone), len(WEIGHTS))
    face = mesh.collapsed_face[owner]
    on = _rows(surfaces, face, at, 0)[0]
    apart = to_triangles(on, mesh.vertices[mesh.collapsed_triangles][owner])
    start = _along(mesh.collapsed_triangles, mesh.triangles)[owner]
    far = np.nonzero(apart > SMALL * mesh.mesh_tolerance)[0]
    apart[far] = np.minimum(apart[far], to_mesh(on[far], start[far], mesh, beside))
    np.maximum.at(found, face, apart)
    return found, len(on)


def _along(collapsed: Ints, triangles: Ints) -> Ints:
    """Return, for each collapsed triangle, one that has its line for a side (0 where none has)."""
    count = int(triangles.max(initial=0)) + 1
    keys = (triangles * count + np.roll(triangles, -1, axis=1)).reshape(-1)
    order = np.argsort(keys)
    ends = collapsed.min(axis=1) * count + collapsed.max(axis=1)
    place = order[np.minimum(np.searchsorted(keys, ends, sorter=order), len(keys) - 1)]
    return np.where(keys[place] == ends, place // 3, 0)


def _edges(shape: TopoDS_Shape, mesh: Mesh) -> tuple[Floats, Vec3, int]:
    """Return the distance of each edge from its polyline, the worst point, the samples' count."""
    numbers = mapped(shape, TopAbs_EDGE)
    found, count, record = np.zeros(numbers.Size()), 0, -1.0
    worst: Vec3 = (0.0, 0.0, 0.0)
    for line in mesh.edges:
        if np.any(line.vertices < 0):
            found[line.edge] = np.inf
            continue
        curve = edge_curve(TopoDS.Edge(numbers.FindKey(line.edge + 1)))
        low, high = line.parameters[:-1, None], line.parameters[1:, None]
        points = curve.at((low + ALONG_EDGE * (high - low)).reshape(-1))
        ends = np.repeat(mesh.vertices[line.vertices], len(ALONG_EDGE), axis=0)
        apart = to_segments(points, ends[: -len(ALONG_EDGE)], ends[len(ALONG_EDGE) :])
        count += len(points)
        found[line.edge] = apart.max()
        if apart.max() > record:
            record, worst = float(apart.max()), _place(points, int(np.argmax(apart)))
    return found, worst, count
