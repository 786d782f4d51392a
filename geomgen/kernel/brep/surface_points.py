"""Points and derivatives of a face's surface at many parameters at once.

Asking the kernel point by point costs some microseconds each; here scipy has spline surfaces
(homogeneous coordinates), elementary surfaces have their closed form, and the kernel is asked for
what is left.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.Geom import (
    Geom_BezierSurface,
    Geom_BSplineSurface,
    Geom_ConicalSurface,
    Geom_CylindricalSurface,
    Geom_Plane,
    Geom_RectangularTrimmedSurface,
    Geom_SphericalSurface,
    Geom_Surface,
    Geom_SurfaceOfLinearExtrusion,
    Geom_ToroidalSurface,
)
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Ax3, gp_Pnt, gp_Vec
from OCP.TColgp import TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfReal, TColStd_Array2OfReal
from OCP.TopoDS import TopoDS_Face
from scipy.interpolate import NdBSpline

from geomgen.arrays import Floats

# Points handled at once, so that the gathered coefficients stay in the cache.
CHUNK = 4096
# Rows of the result: S, Su, Sv, Suu, Suv, Svv; so many for the order of derivative asked.
ROWS = {0: 1, 1: 3, 2: 6}
ORDERS = ((0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2))


@dataclass(frozen=True)
class SurfacePoints:
    """A surface [mm] that can be asked at many parameters.

    `kind` is one of plane, cylinder, cone, sphere, torus, spline, kernel. `breaks` holds the values
    of u and of v where pieces of a spline meet. A spline lies within the `ends` (2, 3) of its
    poles' box [mm]; on cylinders and extrusions all points can go straight `along` a unit vector.
    """

    kind: str
    evaluate: Callable[[Floats, int], Floats]
    breaks: tuple[Floats, Floats]
    ends: Floats | None = None
    along: Floats | None = None

    def at(self, uv: Floats, order: int = 0) -> Floats:
        """Return S, then Su, Sv, then Suu, Suv, Svv as (rows, n, 3) [mm] for `uv` (n, 2)."""
        out = np.empty((ROWS[order], len(uv), 3))
        for start in range(0, len(uv), CHUNK):
            part = slice(start, start + CHUNK)
            out[:, part] = self.evaluate(uv[part], order)
        return out


def surface_points(face: TopoDS_Face) -> SurfacePoints:
    """Return the evaluator of a face's surface, in place.

    >>> from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    >>> from OCP.gp import gp_Pln
    >>> face = BRepBuilderAPI_MakeFace(gp_Pln(), 0.0, 2.0, 0.0, 3.0).Face()
    >>> surface_points(face).at(np.array([[1.0, 2.0]]))[0].tolist()
    [[1.0, 2.0, 0.0]]
    """
    return of_surface(BRep_Tool.Surface_s(face))


def of_surface(surface: Geom_Surface) -> SurfacePoints:
    """Return the evaluator of a kernel surface."""
    none = (np.empty(0), np.empty(0))
    if isinstance(surface, Geom_RectangularTrimmedSurface):
        return of_surface(surface.BasisSurface())
    if isinstance(surface, Geom_BezierSurface):
        return _spline(GeomConvert.SurfaceToBSplineSurface_s(surface))
    if isinstance(surface, Geom_BSplineSurface):
        return _spline(surface)
    if isinstance(surface, Geom_Plane):
        return SurfacePoints("plane", _plane(surface.Position()), none)
    if isinstance(surface, Geom_CylindricalSurface):
        made = _cone(surface.Position(), surface.Radius(), 0.0)
        return SurfacePoints("cylinder", made, none, along=_frame(surface.Position())[3])
    if isinstance(surface, Geom_ConicalSurface):
        made = _cone(surface.Position(), surface.RefRadius(), surface.SemiAngle())
        return SurfacePoints("cone", made, none)
    if isinstance(surface, Geom_SphericalSurface):
        return SurfacePoints("sphere", _torus(surface.Position(), 0.0, surface.Radius()), none)
    if isinstance(surface, Geom_ToroidalSurface):
        made = _torus(surface.Position(), surface.MajorRadius(), surface.MinorRadius())
        return SurfacePoints("torus", made, none)
    along = None
    if isinstance(surface, Geom_SurfaceOfLinearExtrusion):
        way = surface.Direction()
        along = np.array([way.X(), way.Y(), way.Z()])
    return SurfacePoints("kernel", _asked(surface), none, along=along)


def _frame(position: gp_Ax3) -> tuple[Floats, Floats, Floats, Floats]:
    o, x, y, z = (
        position.Location(),
        position.XDirection(),
        position.YDirection(),
        position.Direction(),
    )
    rows = [np.array([p.X(), p.Y(), p.Z()]) for p in (o, x, y, z)]
    return rows[0], rows[1], rows[2], rows[3]


def _plane(position: gp_Ax3) -> Callable[[Floats, int], Floats]:
    o, x, y, _ = _frame(position)

    def evaluate(uv: Floats, order: int) -> Floats:
        out = np.zeros((ROWS[order], len(uv), 3))
        out[0] = o + uv[:, :1] * x + uv[:, 1:] * y
        if order:
            out[1], out[2] = x, y
        return out

    return evaluate


def _turned(u: Floats, x: Floats, y: Floats) -> tuple[Floats, Floats]:
    c, s = np.cos(u)[:, None], np.sin(u)[:, None]
    return c * x + s * y, -s * x + c * y


def _cone(position: gp_Ax3, radius: float, angle: float) -> Callable[[Floats, int], Floats]:
    o, x, y, z = _frame(position)
    widen, rise = np.sin(angle), np.cos(angle)

    def evaluate(uv: Floats, order: int) -> Floats:
        out = np.zeros((ROWS[order], len(uv), 3))
        e, de = _turned(uv[:, 0], x, y)
        r = (radius + uv[:, 1] * widen)[:, None]
        out[0] = o + r * e + (uv[:, 1] * rise)[:, None] * z
        if order:
            out[1], out[2] = r * de, widen * e + rise * z
        if order == 2:
            out[3], out[4] = -r * e, widen * de
        return out

    return evaluate


def _torus(position: gp_Ax3, major: float, minor: float) -> Callable[[Floats, int], Floats]:
    o, x, y, z = _frame(position)

    def evaluate(uv: Floats, order: int) -> Floats:
        out = np.zeros((ROWS[order], len(uv), 3))
        e, de = _turned(uv[:, 0], x, y)
        c, s = minor * np.cos(uv[:, 1])[:, None], minor * np.sin(uv[:, 1])[:, None]
        out[0] = o + (major + c) * e + s * z
        if order:
            out[1], out[2] = (major + c) * de, -s * e + c * z
        if order == 2:
            out[3], out[4], out[5] = -(major + c) * e, -s * de, -c * e - s * z
        return out

    return evaluate


def _asked(surface: Geom_Surface) -> Callable[[Floats, int], Floats]:
    def evaluate(uv: Floats, order: int) -> Floats:
        out = np.empty((ROWS[order], len(uv), 3))
        p, d = gp_Pnt(), [gp_Vec() for _ in range(5)]
        for i, (u, v) in enumerate(uv.tolist()):
            if order == 0:
                surface.D0(u, v, p)
            elif order == 1:
                surface.D1(u, v, p, d[0], d[1])
            else:
                surface.D2(u, v, p, d[0], d[1], d[2], d[4], d[3])
            out[0, i] = p.X(), p.Y(), p.Z()
            for row in range(1, ROWS[order]):
                out[row, i] = d[row - 1].X(), d[row - 1].Y(), d[row - 1].Z()
        return out

    return evaluate


def flat_knots(values: TColStd_Array1OfReal) -> Floats:
    """Return the knots [any unit] of a kernel's array."""
    return np.array([values.Value(i) for i in range(values.Lower(), values.Upper() + 1)])


def _homogeneous(surface: Geom_BSplineSurface) -> Floats:
    k, m = surface.NbUPoles(), surface.NbVPoles()
    points = TColgp_Array2OfPnt(1, k, 1, m)
    surface.Poles(points)
    weights = TColStd_Array2OfReal(1, k, 1, m)
    surface.Weights(weights)
    out = np.empty((k, m, 4))
    for i in range(k):
        for j in range(m):
            p, w = points.Value(i + 1, j + 1), weights.Value(i + 1, j + 1)
            out[i, j] = p.X() * w, p.Y() * w, p.Z() * w, w
    return out


def _spline(given: Geom_BSplineSurface) -> SurfacePoints:
    surface: Any = given
    if given.IsUPeriodic() or given.IsVPeriodic():
        surface = given.Copy()
        surface.SetUNotPeriodic()
        surface.SetVNotPeriodic()
    poles = _homogeneous(surface)
    places = poles[..., :3] / poles[..., 3:]
    ends = np.array([places.min(axis=(0, 1)), places.max(axis=(0, 1))])
    tu = TColStd_Array1OfReal(1, poles.shape[0] + surface.UDegree() + 1)
    tv = TColStd_Array1OfReal(1, poles.shape[1] + surface.VDegree() + 1)
    surface.UKnotSequence(tu)
    surface.VKnotSequence(tv)
    knots, degrees = (flat_knots(tu), flat_knots(tv)), (surface.UDegree(), surface.VDegree())
    u, v = (np.unique(k[d : len(k) - d]) for k, d in zip(knots, degrees, strict=True))
    rational = bool(np.ptp(poles[..., 3]) > 1e-14)
    if not rational:
        poles = np.ascontiguousarray(poles[..., :3] / poles[0, 0, 3])
    spline = NdBSpline(knots, poles, degrees)
    period_u = given.UPeriod() if given.IsUPeriodic() else 0.0
    period_v = given.VPeriod() if given.IsVPeriodic() else 0.0

    def evaluate(uv: Floats, order: int) -> Floats:
        at = uv.copy()
        for column, low, period in ((0, u[0], period_u), (1, v[0], period_v)):
            if period:
                at[:, column] = low + np.mod(at[:, column] - low, period)
        raw = np.stack([spline(at, nu=nu) for nu in ORDERS[: ROWS[order]]])
        return _projected(raw) if rational else raw

    return SurfacePoints("spline", evaluate, (u, v), ends)


def _projected(raw: Floats) -> Floats:
    """Return the derivatives of the quotient from those of numerator and weight (rows, n, 4)."""
    a, w = raw[..., :3], raw[..., 3:]
    out = np.empty_like(a)
    out[0] = a[0] / w[0]
    for row in range(1, len(raw)):
        i, j = ORDERS[row]
        total = a[row] - w[row] * out[0]
        if i + j == 2:
            first, second = (1, 1) if i == 2 else (2, 2) if j == 2 else (1, 2)
            total = total - w[first] * out[second] - w[second] * out[first]
        out[row] = total / w[0]
    return out
