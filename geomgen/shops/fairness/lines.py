"""The pod's lines as built: points of crown, keel, maximum breadth, waterlines and buttock lines.

The points lie on the surfaces of the solid's outer faces, to some millionths of a millimetre; where
an opening interrupts a face, its surface goes on.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import bounds_of, faces_of, sense_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.mesh import cross
from geomgen.kernel.sections.section import nil_on_rows

# A row of points across the body every so many millimetres, so many points to a row.
ROW = 4.0
ROUND = 33
# A face smaller than this share of the largest is an edge of an opening, not skin.
SMALL = 0.01
# A value this near to nil at the border of a face is nil [mm or 1].
NIL = 1e-5


@dataclass(frozen=True)
class Patch:
    """A face of the outer skin on the right: rows along the body, points and normals on them.

    `uv` (r, k, 2), `points` and `normals` (r, k, 3); `sign` turns the surface's normal outward.
    """

    surface: SurfacePoints
    sign: float
    uv: Floats
    points: Floats
    normals: Floats

    def at(self, uv: Floats) -> tuple[Floats, Floats]:
        """Return points and outward unit normals (n, 3) [mm, 1] at parameters (n, 2)."""
        s, du, dv = self.surface.at(uv, 1)
        normal = self.sign * cross(du, dv)
        size = np.linalg.norm(normal, axis=1, keepdims=True)
        return s, normal / np.maximum(size, 1e-300)


def outer_patches(solids: Sequence[TopoDS_Shape], part: str = "pod") -> list[Patch]:
    """Return the outer skin of hollow bodies, right-hand half; GeometryError when there is none."""
    found = []
    for face in (face for solid in solids for face in faces_of(solid)):
        surface = surface_points(face)
        if surface.kind == "plane":
            continue
        sign = sense_of(face)
        area, lean, middle = _measured(face, surface, sign)
        # Outward normals of the inner wall point at the centre plane.
        if middle > 0 and lean > 0:
            found.append((area, face, surface, sign))
    if not found:
        raise GeometryError("no outer skin is found on its right", part=part, step="fairness")
    largest = max(area for area, *_ in found)
    return [_patch(f, s, sign) for area, f, s, sign in found if area > SMALL * largest]


def _measured(face: TopoDS_Face, surface: SurfacePoints, sign: float) -> tuple[float, float, float]:
    """Return the area [mm2], the lean of the normal to the right, the mean buttock line [mm]."""
    u0, u1, v0, v1 = bounds_of(face)
    share = (np.arange(8) + 0.5) / 8
    u, v = np.meshgrid(u0 + share * (u1 - u0), v0 + share * (v1 - v0))
    s, du, dv = surface.at(np.stack([u.ravel(), v.ravel()], axis=-1), 1)
    normal = sign * cross(du, dv)
    area = float(np.linalg.norm(normal, axis=1).mean()) * (u1 - u0) * (v1 - v0)
    return area, float(normal[:, 1].sum()), float(s[:, 1].mean())


def _patch(face: TopoDS_Face, surface: SurfacePoints, sign: float) -> Patch:
    u0, u1, v0, v1 = bounds_of(face)
    if surface.kind == "spline":
        (u0, u1), (v0, v1) = ((b[0], b[-1]) for b in surface.breaks)
    middle = np.array([[(u0 + u1) / 2, (v0 + v1) / 2]])
    _, du, dv = surface.at(middle, 1)[:, 0]
    runs_in_u = abs(du[0]) * (u1 - u0) > abs(dv[0]) * (v1 - v0)
    (a0, a1), (b0, b1) = ((u0, u1), (v0, v1)) if runs_in_u else ((v0, v1), (u0, u1))
    ends = np.array([[a0, b0], [a1, b0]])
    length = float(np.ptp(surface.at(ends if runs_in_u else ends[:, ::-1])[0, :, 0]))
    rows = max(9, int(np.ceil(1.6 * length / ROW)) + 1)
    a, b = np.meshgrid(np.linspace(a0, a1, rows), np.linspace(b0, b1, ROUND), indexing="ij")
    uv = np.stack([a, b] if runs_in_u else [b, a], axis=-1)
    bare = Patch(surface, sign, uv, uv, uv)
    points, normals = bare.at(uv.reshape(-1, 2))
    shape = (rows, ROUND, 3)
    return Patch(surface, sign, uv, points.reshape(shape), normals.reshape(shape))


Value = Callable[[Floats, Floats], Floats]


def crossings(patch: Patch, value: Value, level: bool) -> tuple[Floats, Floats]:
    """Return points and normals (n, 3) [mm, 1] on the rows where `value(points, normals)` is nil.

    `level` says that the value looks at normals; without, they are not worked out on the way.
    """
    f = value(patch.points, patch.normals)
    row, place = np.nonzero(f[:, :-1] * f[:, 1:] < 0)

    def at(uv: Floats) -> Floats:
        return value(*patch.at(uv)) if level else value(patch.surface.at(uv)[0], uv)

    first, last = patch.uv[row, place], patch.uv[row, place + 1]
    uv = [nil_on_rows(at, first, last, (f[row, place], f[row, place + 1]))]
    for border in (0, -1):
        uv.append(patch.uv[np.abs(f[:, border]) < NIL, border])
    return patch.at(np.concatenate(uv))


def line_points(patches: Sequence[Patch], value: Value, keep: Value, level: bool = False) -> Floats:
    """Return the points (n, 3) [mm] of a line, in order of their stations, each once.

    The line is where `value` is nil and `keep` positive; `level` as for `crossings`.
    """
    found = []
    for patch in patches:
        points, normals = crossings(patch, value, level)
        found.append(points[keep(points, normals) > 0])
    every = np.concatenate(found)
    every = every[np.argsort(every[:, 0], kind="stable")]
    step = np.linalg.norm(np.diff(every, axis=0), axis=1)
    return np.asarray(every[np.r_[True, step > 1e-3][: len(every)]])


def crown_and_keel(patches: Sequence[Patch]) -> tuple[Floats, Floats]:
    """Return the points (n, 3) [mm] of the crown and of the keel line."""

    def on_centre(points: Floats, normals: Floats) -> Floats:
        return np.asarray(points[..., 1])

    return (
        line_points(patches, on_centre, lambda p, n: n[:, 2]),
        line_points(patches, on_centre, lambda p, n: -n[:, 2]),
    )


def breadth(patches: Sequence[Patch]) -> Floats:
    """Return the points (n, 3) [mm] of the maximum-breadth line: there normals lie level."""
    return line_points(patches, lambda p, n: n[..., 2], lambda p, n: p[:, 1] - NIL, True)


def waterline(patches: Sequence[Patch], height: float) -> Floats:
    """Return the points (n, 3) of a waterline [mm]."""
    return line_points(patches, lambda p, n: p[..., 2] - height, lambda p, n: p[:, 1])


def buttock(patches: Sequence[Patch], at: float, upper: bool) -> Floats:
    """Return the points (n, 3) of a buttock line [mm], its upper or its lower run."""
    way = 1.0 if upper else -1.0
    return line_points(patches, lambda p, n: p[..., 1] - at, lambda p, n: way * n[:, 2])
