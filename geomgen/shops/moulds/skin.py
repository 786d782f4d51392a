"""Which faces of a half are moulded skin, and points on them with their normals."""

from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.faces import bounds_of, faces_of, plane_of, sense_of, within
from geomgen.kernel.brep.surface_points import surface_points
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.properties import area, kernel_box
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.shops.moulds.split import MouldHalf

# A face whose normals look against the pull this straight is the split's, not the skin's.
BACK = -0.5
# A plane face counts as skin when it looks this straight along a way that is.
ALONG = 0.9
# A face this near to where the seat must lie [mm] is the seat.
ON_SEAT = 0.02
MOST, FEW = 0.5, 9
# Steps of an even spread over a face (the plane's golden ratio).
SPREAD = np.array([0.7548776662466927, 0.5698402909980532])


@dataclass(frozen=True)
class Bounds:
    """What of a half is no skin: a seat on another solid at a gap [mm]; and which plane ends are.

    Plane faces (joints, ends, splits) are no skin but for those that look along `end`. Where the
    half ends `early`, ahead of its trailing edge, between buttock lines [mm], faces that look aft
    are no skin either.
    """

    seat: TopoDS_Shape | None = None
    gap: float = 0.0
    end: Vec3 | None = None
    early: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Moulded:
    """A half and those of its faces that are moulded skin."""

    half: MouldHalf
    faces: list[TopoDS_Face]
    bounds: Bounds


def moulded(half: MouldHalf, bounds: Bounds) -> Moulded:
    """Return a half with the faces that are moulded skin."""
    return Moulded(
        half, [face for face in faces_of(half.solid) if _is_skin(face, half, bounds)], bounds
    )


def skin_area(half: Moulded) -> float:
    """Return the area [mm2] of the skin of a half."""
    return sum(area(face).value for face in half.faces)


def _is_skin(face: TopoDS_Face, half: MouldHalf, bounds: Bounds) -> bool:
    points, normals = _on_face(face, FEW)
    if len(points) == 0:
        return False
    if plane_of(face) is not None:
        return bounds.end is not None and bool(normals[0] @ np.array(bounds.end) > ALONG)
    if np.max(normals @ np.array(half.pull)) < BACK:
        return False
    middle = float(points[:, 1].mean())
    if looks_aft(normals) and any(low < middle < high for low, high in bounds.early):
        return False
    if bounds.seat is None:
        return True
    off = off_skin(bounds.seat, points, normals, -1.0)
    return not bool(np.mean(np.abs(off - bounds.gap) < ON_SEAT) > MOST)


def skin_points(half: Moulded, count: int, clear: float = 0.0) -> tuple[Floats, Floats]:
    """Return about `count` points (n, 3) [mm] on the skin of a half and their outward normals.

    Points nearer than `clear` [mm] to where the part sits are left out.
    """
    faces = half.faces
    sizes = np.array([area(face).value for face in faces])
    shares = [max(4, round(count * size / sizes.sum())) for size in sizes]
    rows = [_on_face(face, share) for face, share in zip(faces, shares, strict=True)]
    points, normals = (np.concatenate(columns) for columns in zip(*rows, strict=True))
    if half.bounds.seat is None:
        return points, normals
    off = off_skin(half.bounds.seat, points, normals, -1.0)
    kept = ~(np.abs(off) < half.bounds.gap + clear)
    return points[kept], normals[kept]


def looks_aft(normals: Floats) -> bool:
    """Say whether normals (n, 3) [1] all look aft, as those of a blunt edge do and no skin's."""
    return bool(np.min(normals[:, 0]) > -BACK)


def edges_on(solid: TopoDS_Shape, count: int) -> list[tuple[Floats, Box]]:
    """Return of each face that looks aft all over `count` points (n, 3) [mm] and its box."""
    found = [(*_on_face(face, count), face) for face in faces_of(solid)]
    return [
        (points, kernel_box(face))
        for points, normals, face in found
        if len(points) and looks_aft(normals)
    ]


def _on_face(face: TopoDS_Face, count: int) -> tuple[Floats, Floats]:
    """Return points spread over a face and the outward normals there."""
    rows = surface_points(face).at(_spread_on(face, count), 1)
    normal = np.cross(rows[1], rows[2])
    length = np.linalg.norm(normal, axis=1)
    kept = length > 0
    sense = sense_of(face)
    return rows[0][kept], sense * normal[kept] / length[kept, None]


def _spread_on(face: TopoDS_Face, count: int) -> Floats:
    u0, u1, v0, v1 = bounds_of(face)
    share = np.mod(0.5 + np.arange(1, 6 * count + 1)[:, None] * SPREAD, 1.0)
    uv = np.array([u0, v0]) + share * [u1 - u0, v1 - v0]
    return np.array(within(face, uv.tolist(), count)).reshape(-1, 2)
