"""How far a mesh and the solid it stands for lie apart, measured both ways.

Every triangle knows its face and the parameters of its corners, so each sample of the triangle has
a partner on the surface: their distance bounds both directions from above. Where that bound is
not small already, mesh to solid is taken to the foot of the perpendicular (Newton) and solid to
mesh to the nearest point of the triangle (Ericson, Real-Time Collision Detection, 5.1.5). The
solid's edges are measured against the polylines that stand for them.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.TopAbs import TopAbs_EDGE, TopAbs_REVERSED
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.kernel.mesh_edges import mapped
from geomgen.kernel.mesh_record import Floats, Ints, Mesh, cross
from geomgen.kernel.plain import Vec3
from geomgen.kernel.properties import faces_of
from geomgen.kernel.surface_points import SurfacePoints, surface_points

# Barycentric samples of a triangle: middles of the sides, where a bend shows most, and centroid;
# the corners are taken once for all triangles that share them.
WEIGHTS = np.array([[0, 1 / 2, 1 / 2], [1 / 2, 0, 1 / 2], [1 / 2, 1 / 2, 0], [1 / 3, 1 / 3, 1 / 3]])
MIDDLE = 3
ALONG_EDGE = np.array([0.2, 0.4, 0.5, 0.6, 0.8])
# Bounds below this share of the tolerance are good enough as they stand.
SMALL = 0.3
# Triangles a solid's point may walk over on its way to the nearest one.
WALK = 12
BATCH = 512
PAIRS = 2_000_000


@dataclass(frozen=True)
class Deviation:
    """Distances [mm] between mesh and solid; `worst` [mm] is where the largest was met.

    `facing` is the least mean cosine, over the faces, between triangle normals and the solid's
    outward normals: 1 for a good mesh, -1 for one that is inside out. `by_face` (f,) and `by_edge`
    (e,) hold the largest distance of each.
    """

    mesh_to_solid: float
    solid_to_mesh: float
    samples: int
    worst: Vec3
    facing: float
    by_face: Floats
    by_edge: Floats

    @property
    def largest(self) -> float:
        """Return the larger of both directions [mm]."""
        return max(self.mesh_to_solid, self.solid_to_mesh)


def deviation(
    shape: TopoDS_Shape, mesh: Mesh, surfaces: list[SurfacePoints] | None = None
) -> Deviation:
    """Measure mesh against solid, sampled; the mesh must be one of this shape.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> from geomgen.kernel.meshing import mesh
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> deviation(box, mesh(box, 0.1)).largest
    0.0
    """
    faces = faces_of(shape)
    surfaces = surfaces or [surface_points(face) for face in faces]
    small = SMALL * mesh.chord_tolerance
    there, back = np.zeros(len(faces)), np.zeros(len(faces))
    facing, worst, record, samples = 1.0, (0.0, 0.0, 0.0), -1.0, 0
    beside = neighbours(mesh.triangles)
    order = np.argsort(mesh.face, kind="stable")
    starts = np.searchsorted(mesh.face[order], np.arange(len(faces) + 1))
    for i, (face, surface) in enumerate(zip(faces, surfaces, strict=True)):
        mine = order[starts[i] : starts[i + 1]]
        sign = -1.0 if face.Orientation() == TopAbs_REVERSED else 1.0
        out, home, where, turned = _face(surface, mesh, mine, beside, small, sign)
        gone = np.nonzero(mesh.collapsed_face == i)[0]
        slit = _slits(surface, mesh, gone, beside, small)
        there[i], back[i] = out, max(home, slit)
        samples += WEIGHTS.shape[0] * (len(mine) + len(gone))
        facing = min(facing, turned)
        if max(out, home) > record:
            record, worst = max(out, home), where
    by_edge, place, count = _edges(shape, mesh)
    if len(by_edge) and by_edge.max() > record:
        worst = place
    return Deviation(
        float(there.max(initial=0.0)),
        float(max(back.max(initial=0.0), by_edge.max(initial=0.0))),
        samples + count,
        worst,
        facing,
        np.maximum(there, back),
        by_edge,
    )


def neighbours(triangles: Ints) -> Ints:
    """Return the triangle beyond each side (m, 3), side i from corner i on; -1 where none is.

    >>> neighbours(np.array([[0, 1, 2], [2, 1, 3]])).tolist()
    [[-1, 1, -1], [0, -1, -1]]
    """
    count = int(triangles.max(initial=0)) + 1
    ahead = triangles.reshape(-1)
    behind = np.roll(triangles, -1, axis=1).reshape(-1)
    keys, back = ahead * count + behind, behind * count + ahead
    order = np.argsort(keys)
    place = np.minimum(np.searchsorted(keys, back, sorter=order), max(len(keys) - 1, 0))
    other = order[place] if len(keys) else order
    return np.where(keys[other] == back, other // 3, -1).reshape(-1, 3)


def _face(
    surface: SurfacePoints, mesh: Mesh, mine: Ints, beside: Ints, small: float, sign: float
) -> tuple[float, float, Vec3, float]:
    """Return mesh to solid, solid to mesh, where, and the mean cosine of the normals."""
    if not len(mine):
        # A face without a triangle is a hole of unknown depth.
        return np.inf, np.inf, (0.0, 0.0, 0.0), -1.0
    corners = mesh.vertices[mesh.triangles[mine]]
    points = np.einsum("kc,mcd->mkd", WEIGHTS, corners).reshape(-1, 3)
    at = np.einsum("kc,mcd->mkd", WEIGHTS, mesh.uv[mine]).reshape(-1, 2)
    _, first = np.unique(mesh.triangles[mine], return_index=True)
    points = np.concatenate([points, corners.reshape(-1, 3)[first]])
    at = np.concatenate([at, mesh.uv[mine].reshape(-1, 2)[first]])
    on = surface.at(at)[0]
    bound = np.linalg.norm(on - points, axis=1)
    middles = at[: len(mine) * len(WEIGHTS)][MIDDLE :: len(WEIGHTS)]
    facing = _facing(surface.at(middles, 1), corners, sign)
    owner = np.r_[np.repeat(mine, len(WEIGHTS)), mine[first // 3]]
    there, one = _peak(
        bound,
        [
            lambda k: _to_surface(surface, points[k], at[k], 1),
            lambda k: _to_surface(surface, points[k], at[k], 3),
        ],
        small,
    )
    back, two = _peak(
        bound,
        [
            lambda k: to_triangles(on[k], mesh.vertices[mesh.triangles[owner[k]]]),
            lambda k: _to_mesh(on[k], owner[k], mesh, beside, corners),
        ],
        small,
    )
    x, y, z = (points[one] if there >= back else on[two]).tolist()
    return there, back, (x, y, z), facing


def _peak(bound: Floats, refine: list[Callable[[Ints], Floats]], small: float) -> tuple[float, int]:
    """Return the largest refined distance and its place; refine only what may be the largest.

    `bound` (n,) holds upper bounds of the refined distances. Below `small` it is taken as it is.
    Each of `refine` is asked only for what the one before it left above the largest so far.
    """
    best, place = 0.0, int(np.argmax(bound))
    left, size = np.nonzero(bound > small)[0], BATCH
    if not len(left):
        return float(bound[place]), place
    while len(left):
        size = min(size, len(left))
        top = np.argpartition(-bound[left], size - 1)
        batch, left = left[top[:size]], left[top[size:]]
        refined = bound[batch].copy()
        for measure in refine:
            doubtful = np.nonzero(refined > best)[0]
            if len(doubtful):
                refined[doubtful] = np.minimum(refined[doubtful], measure(batch[doubtful]))
        if refined.max() > best:
            best, place = float(refined.max()), int(batch[np.argmax(refined)])
        left, size = left[bound[left] > best], 2 * size
    return max(best, min(small, float(bound.max()))), place


def _facing(rows: Floats, corners: Floats, sign: float) -> float:
    outward = sign * cross(rows[1], rows[2])
    size = np.linalg.norm(outward, axis=1)
    area = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    weight = np.linalg.norm(area, axis=1)
    sound = (size > 0) & (weight > 0)
    if not sound.any():
        return 0.0
    cosine = np.einsum("ij,ij->i", area[sound], outward[sound]) / size[sound]
    return float(cosine.sum() / weight[sound].sum())


def _to_surface(surface: SurfacePoints, points: Floats, uv: Floats, turns: int) -> Floats:
    """Return distances (n,) to feet of perpendiculars, Gauss-Newton from the partners."""
    rows = surface.at(uv, 1)
    best = np.linalg.norm(rows[0] - points, axis=1)
    at = uv.copy()
    for turn in range(turns):
        miss = points - rows[0]
        su, sv = rows[1], rows[2]
        a, b, c = (np.einsum("ij,ij->i", x, y) for x, y in ((su, su), (su, sv), (sv, sv)))
        d, e = np.einsum("ij,ij->i", su, miss), np.einsum("ij,ij->i", sv, miss)
        fall = a * c - b * b
        sound = fall > 1e-12 * np.maximum(a * c, 1e-300)
        fall = np.where(sound, fall, 1.0)
        step = np.stack([(c * d - b * e) / fall, (a * e - b * d) / fall], axis=-1)
        at = at + np.where(sound[:, None], step, 0.0)
        rows = surface.at(at, 0 if turn == turns - 1 else 1)
        best = np.minimum(best, np.linalg.norm(rows[0] - points, axis=1))
    return np.asarray(best)


def _to_mesh(
    points: Floats, start: Ints, mesh: Mesh, beside: Ints, corners: Floats | None = None
) -> Floats:
    """Return distances (n,) to the mesh: from triangle to triangle towards each point's foot.

    What is beyond the tolerance then is held to all of `corners`, the triangles of its face.
    """
    best = _walked(points, start, mesh, beside)
    far = np.nonzero(best > mesh.chord_tolerance)[0]
    if corners is not None and len(far):
        best[far] = np.minimum(best[far], _to_any(points[far], corners))
    return best


def _walked(points: Floats, start: Ints, mesh: Mesh, beside: Ints) -> Floats:
    best = np.full(len(points), np.inf)
    here, left = start.copy(), np.arange(len(points))
    for _ in range(WALK):
        corners = mesh.vertices[mesh.triangles[here[left]]]
        p = points[left]
        best[left] = np.minimum(best[left], to_triangles(p, corners))
        a, b, c = corners.transpose(1, 0, 2)
        normal = cross(b - a, c - a)
        shares = np.stack(
            [
                np.einsum("ij,ij->i", cross(q - o, p - o), normal)
                for o, q in ((a, b), (b, c), (c, a))
            ],
            axis=-1,
        )
        side = np.argmin(shares, axis=1)
        beyond = beside[here[left], side]
        going = (shares.min(axis=1) < 0) & (beyond >= 0)
        left, beyond = left[going], beyond[going]
        if not len(left):
            break
        here[left] = beyond
    return best


def _to_any(points: Floats, corners: Floats) -> Floats:
    """Return distances (n,) to the nearest of `corners` (m, 3, 3); inf for points beyond PAIRS.

    A walk may end in a corner of a face whose triangles are long; there are few such points.
    """
    best = np.full(len(points), np.inf)
    for i in range(min(len(points), PAIRS // max(len(corners), 1))):
        best[i] = to_triangles(np.broadcast_to(points[i], (len(corners), 3)), corners).min()
    return best


def to_triangles(points: Floats, corners: Floats) -> Floats:
    """Return the distance [mm] of each point (n, 3) to its triangle (n, 3, 3).

    >>> flat = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]])
    >>> to_triangles(np.array([[0.2, 0.2, 3.0]]), flat).tolist()
    [3.0]
    """
    a, b, c = corners.transpose(1, 0, 2)
    normal = cross(b - a, c - a)
    size = np.einsum("ij,ij->i", normal, normal)
    inside = size > 0
    for p, q in ((a, b), (b, c), (c, a)):
        inside &= np.einsum("ij,ij->i", cross(q - p, points - p), normal) >= 0
    sides = np.minimum.reduce([_to_segments(points, p, q) for p, q in ((a, b), (b, c), (c, a))])
    height = np.abs(np.einsum("ij,ij->i", points - a, normal)) / np.sqrt(np.where(inside, size, 1))
    return np.asarray(np.where(inside, height, sides))


def _to_segments(points: Floats, start: Floats, end: Floats) -> Floats:
    way = end - start
    size = np.maximum(np.einsum("ij,ij->i", way, way), 1e-300)
    share = np.clip(np.einsum("ij,ij->i", points - start, way) / size, 0.0, 1.0)
    return np.asarray(np.linalg.norm(points - start - share[:, None] * way, axis=1))


def _slits(surface: SurfacePoints, mesh: Mesh, gone: Ints, beside: Ints, small: float) -> float:
    """Return how far the surface over collapsed triangles `gone` is from the mesh beside them."""
    if not len(gone) or not len(mesh.triangles):
        return 0.0 if not len(gone) else np.inf
    at = np.einsum("kc,mcd->mkd", WEIGHTS, mesh.collapsed_uv[gone]).reshape(-1, 2)
    on = surface.at(at)[0]
    corners = mesh.collapsed_triangles[gone]
    owner = np.repeat(np.arange(len(gone)), len(WEIGHTS))
    bound = to_triangles(on, mesh.vertices[corners][owner])
    start = _along(corners, mesh.triangles)[owner]
    return _peak(bound, [lambda k: _to_mesh(on[k], start[k], mesh, beside)], small)[0]


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
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(numbers.FindKey(line.edge + 1)))
        low, high = line.parameters[:-1, None], line.parameters[1:, None]
        at = [curve.Value(t) for t in (low + ALONG_EDGE * (high - low)).reshape(-1).tolist()]
        points = np.array([(p.X(), p.Y(), p.Z()) for p in at])
        ends = np.repeat(mesh.vertices[line.vertices], len(ALONG_EDGE), axis=0)
        apart = _to_segments(points, ends[: -len(ALONG_EDGE)], ends[len(ALONG_EDGE) :])
        count += len(points)
        found[line.edge] = apart.max()
        if apart.max() > record:
            record = float(apart.max())
            x, y, z = points[int(np.argmax(apart))].tolist()
            worst = (x, y, z)
    return found, worst, count


def faces_beyond(measured: Deviation, tolerance: float) -> Ints:
    """Return the places of the faces whose distance is beyond `tolerance` [mm]."""
    return np.nonzero(measured.by_face > tolerance)[0]
