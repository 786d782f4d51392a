"""How far a shape really reaches along the axes.

The kernel's optimal box looks at a face's whole parameter rectangle, trimmed away or not: one and
the same hull came out 5 mm wider after a trip through a file. Here a coarse mesh shows where the
extremes are; there the edges are sampled closely, and the surfaces are asked (Newton) for points
whose tangent plane lies across the axis, inside the face.
"""

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshing.by_faces import grid_mesh
from geomgen.kernel.meshing.edges import mapped, vertex_points

# The coarse mesh keeps this share of the loose box's diagonal; it only has to point the way.
COARSE = 5e-4
ANGULAR = 0.8
NEWTON = 8
STARTS = 24
# Samples of a stretch of an edge, twice: the second time between the best one's neighbours.
CLOSE = 17
# What rounding to single precision may have moved a vertex of the mesh, as a share.
ROUNDING = 2.0**-23
# A straight line rises along an axis if it does by more than this share [1]: own choice.
RISING = 1e-3
# A critical point counts as inside a triangle of the parameter plane with this slack.
SLACK = 1e-6


def exact_box(shape: TopoDS_Shape, diagonal: float, made: Mesh | None = None) -> Box:
    """Return the box [mm] of a shape whose loose box has a `diagonal` [mm].

    `made` is a mesh of the shape, where there is one already. GeometryError when there is none and
    none can be made.
    """
    surfaces = [surface_points(face) for face in faces_of(shape)]
    sag = max(COARSE * diagonal, 1e-4)
    if made is None:
        one = np.array([sag])
        made = grid_mesh(shape, sag, one, one, ANGULAR, surfaces)
    sag = made.mesh_tolerance
    points = np.concatenate([vertex_points(shape)[1], made.vertices])
    # Vertices of the mesh are rounded; as far as they lead, edges and surfaces are asked instead.
    low, high = points.min(axis=0), points.max(axis=0)
    ends = vertex_points(shape)[1]
    reach = np.array([[-np.inf] * 3, [-np.inf] * 3])
    for side, sign in ((0, -1.0), (1, 1.0)):
        for axis in range(3):
            best = sign * (low if side == 0 else high)[axis]
            floor = best - 3 * sag
            found = [float((sign * ends[:, axis]).max(initial=-np.inf))]
            found.append(_edges(shape, made, axis, sign, floor))
            found.append(_faces(surfaces, made, axis, sign, floor, max(found)))
            # A plain point of the mesh lies on the solid: the answer is never short of it.
            reach[side, axis] = max(*found, best - ROUNDING * max(1.0, abs(best)))
    (x0, y0, z0), (x1, y1, z1) = (-reach[0]).tolist(), reach[1].tolist()
    return Box((x0, y0, z0), (x1, y1, z1))


def _edges(shape: TopoDS_Shape, made: Mesh, axis: int, sign: float, floor: float) -> float:
    """Return the largest signed coordinate on the edges that come near `floor`."""
    numbers, best = mapped(shape, TopAbs_EDGE), -np.inf
    for line in made.edges:
        if np.any(line.vertices < 0):
            continue
        at = sign * made.vertices[line.vertices, axis]
        near = np.nonzero(np.maximum(at[:-1], at[1:]) > floor)[0]
        if not len(near):
            continue
        curve = BRepAdaptor_Curve(TopoDS.Edge(numbers.FindKey(line.edge + 1)))
        for i in near.tolist():
            first, last = float(line.parameters[i]), float(line.parameters[i + 1])
            for _ in range(2):
                along = np.linspace(first, last, CLOSE)
                values = [sign * curve.Value(t).Coord(axis + 1) for t in along.tolist()]
                top = int(np.argmax(values))
                best = max(best, values[top])
                first, last = along[max(top - 1, 0)], along[min(top + 1, CLOSE - 1)]
    return float(best)


def _faces(
    surfaces: list[SurfacePoints], made: Mesh, axis: int, sign: float, floor: float, known: float
) -> float:
    """Return the largest signed coordinate of critical points inside the faces near `floor`.

    Faces that reach no farther than is `known` of edges and vertices are passed by.
    """
    tops = sign * made.vertices[made.triangles, axis]
    near = np.nonzero(tops.max(axis=1) > floor)[0]
    best = -np.inf
    for place in np.unique(made.face[near]).tolist():
        surface = surfaces[place]
        if surface.kind == "plane" or _on_its_edges(surface, axis, sign, known):
            continue
        mine = near[made.face[near] == place]
        corners = made.uv[mine[np.argsort(-tops[mine].max(axis=1))[:STARTS]]]
        starts = np.concatenate([corners.mean(axis=1), corners.reshape(-1, 2)])
        flat, value = _critical(surface, starts, axis)
        best = max(best, _highest(flat, sign * value, made.uv[mine], best))
    return best


def _on_its_edges(surface: SurfacePoints, axis: int, sign: float, known: float) -> bool:
    """Say if a face surely reaches no farther inside than on its edges, or than is known.

    Whoever goes straight along it, rising, comes to an edge; no spline leaves its poles' box.
    """
    if surface.along is not None:
        return bool(abs(surface.along[axis]) > RISING)
    return surface.ends is not None and bool((sign * surface.ends[:, axis]).max() <= known)


def _highest(points: Floats, values: Floats, triangles: Floats, best: float) -> float:
    """Return the largest value above `best` whose point (n, 2) lies in one of the triangles."""
    order = np.argsort(-values)
    seen = 0
    for i in order.tolist():
        if not np.isfinite(points[i]).all():
            continue
        if values[i] <= best or seen > STARTS:
            break
        seen += 1
        if _inside(points[i], triangles):
            return float(values[i])
    return best


def _critical(surface: SurfacePoints, uv: Floats, axis: int) -> tuple[Floats, Floats]:
    """Return where Newton finds the coordinate's gradient nil, (n, 2), and the coordinate (n,)."""
    at = uv.copy()
    span = np.maximum(np.ptp(uv, axis=0), 1e-12)
    for _ in range(NEWTON):
        rows = surface.at(at, 2)[..., axis]
        a, b, c = rows[3], rows[4], rows[5]
        # Where the surface is flat in one direction the damping picks the shortest step.
        damp = 1e-9 * (a * a + 2 * b * b + c * c) + 1e-300
        p, q, r = a * a + b * b + damp, b * (a + c), b * b + c * c + damp
        x, y = a * rows[1] + b * rows[2], b * rows[1] + c * rows[2]
        fall = np.maximum(p * r - q * q, 1e-300)
        step = np.stack([(r * x - q * y) / fall, (p * y - q * x) / fall], axis=-1)
        at = at - np.clip(step, -span, span)
    rows = surface.at(at, 1)
    slope = np.abs(rows[1:, :, axis]).max(axis=0)
    scale = np.linalg.norm(rows[1:], axis=-1).max(axis=0)
    settled = slope < 1e-7 * np.maximum(scale, 1e-12)
    at[~settled] = np.nan
    return at, rows[0, :, axis]


def _inside(point: Floats, triangles: Floats) -> bool:
    """Return whether a point (2,) lies in one of the triangles (m, 3, 2)."""
    a, b, c = triangles.transpose(1, 0, 2)
    size = _cross(b - a, c - a)
    sound = size != 0
    shares = [_cross(q - o, point - o)[sound] / size[sound] for o, q in ((a, b), (b, c), (c, a))]
    return bool(np.any(np.minimum.reduce(shares) > -SLACK))


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
