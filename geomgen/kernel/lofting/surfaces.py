"""Spline surfaces from numbers: poles and knots in, kernel surfaces and faces out."""

import itertools
from collections.abc import Sequence
from typing import cast

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.Geom import Geom_BSplineSurface
from OCP.gp import gp_Pnt
from OCP.TColgp import TColgp_Array2OfPnt
from OCP.TColStd import TColStd_Array1OfInteger, TColStd_Array1OfReal, TColStd_Array2OfReal
from OCP.TopoDS import TopoDS_Face
from scipy.interpolate import BSpline, make_interp_spline
from scipy.optimize import brentq

from geomgen.arrays import Floats
from geomgen.errors import GeometryError

# Cuts that would part a band narrower than this are left out [mm] (own choice): they serve speed.
LEAST_BAND = 1.0
# The kernel's own confusion distance [mm]; faces are made and sewn no looser than ten times this.
CONFUSION = 1e-7


def knot_arrays(knots: Floats) -> tuple[TColStd_Array1OfReal, TColStd_Array1OfInteger]:
    """Return the kernel's distinct knots [any unit] and their multiplicities."""
    values, counts = np.unique(knots, return_counts=True)
    k, m = TColStd_Array1OfReal(1, len(values)), TColStd_Array1OfInteger(1, len(values))
    for i, (value, count) in enumerate(zip(values, counts, strict=True), start=1):
        k.SetValue(i, float(value))
        m.SetValue(i, int(count))
    return k, m


def bspline_surface(
    poles: Floats, knots_u: Floats, knots_v: Floats, degrees: tuple[int, int], weights: Floats
) -> Geom_BSplineSurface:
    """Return the kernel's surface for `poles` (k, m, 3) [mm], `weights` (k, m), flat knots."""
    k, m = poles.shape[:2]
    points, scales = TColgp_Array2OfPnt(1, k, 1, m), TColStd_Array2OfReal(1, k, 1, m)
    for i in range(k):
        for j in range(m):
            points.SetValue(i + 1, j + 1, gp_Pnt(*(float(c) for c in poles[i, j])))
            scales.SetValue(i + 1, j + 1, float(weights[i, j]))
    ku, mu = knot_arrays(knots_u)
    kv, mv = knot_arrays(knots_v)
    if np.allclose(weights, weights.flat[0], rtol=0, atol=1e-15):
        return Geom_BSplineSurface(points, ku, kv, mu, mv, *degrees)
    return Geom_BSplineSurface(points, scales, ku, kv, mu, mv, *degrees)


def face_of(surface: Geom_BSplineSurface) -> TopoDS_Face:
    """Return the face of a whole surface."""
    made = BRepBuilderAPI_MakeFace(surface, CONFUSION)
    if not made.IsDone():
        raise GeometryError("a surface gives no face", step=str(made.Error()))
    return made.Face()


def bands(surface: Geom_BSplineSurface, breaks: Sequence[float]) -> list[TopoDS_Face]:
    """Return the faces of a surface cut at values of `v` [1], first and last value included.

    Short faces intersect much faster than one long one, and the surface stays what it was. Values
    between may come in any order; those outside, or nearer than `LEAST_BAND` to one that is taken
    already, make no cut.
    """
    u0, u1, _, _ = surface.Bounds()
    faces = []
    for a, b in itertools.pairwise(_apart(surface, breaks)):
        part = cast(Geom_BSplineSurface, surface.Copy())
        part.Segment(u0, u1, a, b)
        faces.append(face_of(part))
    return faces


def _apart(surface: Geom_BSplineSurface, breaks: Sequence[float]) -> list[float]:
    """Return the first and the last of `breaks` and those between that make no narrow band."""
    u0, u1, _, _ = surface.Bounds()
    middle = 0.5 * (u0 + u1)

    def far(a: float, b: float) -> bool:
        return a < b and surface.Value(middle, a).Distance(surface.Value(middle, b)) >= LEAST_BAND

    first, last = breaks[0], breaks[-1]
    taken = [first]
    for v in sorted(breaks[1:-1]):
        if far(taken[-1], v) and far(v, last):
            taken.append(v)
    return [*taken, last]


def station_parameter(surface: Geom_BSplineSurface, station: float) -> float:
    """Return the `v` of a surface whose rows lie across the axis, at a station [mm]."""
    u0, _, v0, v1 = surface.Bounds()
    return float(brentq(lambda v: surface.Value(u0, v).X() - station, v0, v1, xtol=1e-13))


def spline_of(face: TopoDS_Face) -> Geom_BSplineSurface | None:
    """Return the spline that a face lies on, None where it lies on another kind of surface."""
    surface = BRep_Tool.Surface_s(face)
    return surface if isinstance(surface, Geom_BSplineSurface) else None


def bezier_knots(degree: int) -> Floats:
    """Return the flat knots [1] of one Bezier span.

    >>> bezier_knots(2).tolist()
    [0.0, 0.0, 0.0, 1.0, 1.0, 1.0]
    """
    return np.asarray(np.r_[np.zeros(degree + 1), np.ones(degree + 1)])


def product_space(knots: Floats, degree: int) -> tuple[Floats, Floats]:
    """Return knots and Greville points [unit of the knots] of the products of two splines.

    Two splines of `degree` p with simple inner knots have products of degree 2p that are as
    smooth as they are: inner knots p + 1 times.
    """
    inner = np.unique(knots[degree + 1 : -degree - 1])
    double = 2 * degree
    flat = np.r_[
        np.full(double + 1, knots[0]), np.repeat(inner, degree + 1), np.full(double + 1, knots[-1])
    ]
    count = len(flat) - double - 1
    greville = np.array([flat[i + 1 : i + double + 1].mean() for i in range(count)])
    return flat, greville


def collocate(knots: Floats, degree: int, at: Floats, values: Floats) -> Floats:
    """Return the coefficients (n, ...) of the spline through `values` [any unit] at `at` (n,)."""
    matrix = BSpline.design_matrix(at, knots, degree).toarray()
    flat = values.reshape(len(at), -1)
    return np.asarray(np.linalg.solve(matrix, flat).reshape(values.shape))


def through_points(
    points: Floats, u: Floats, v: Floats, start: Floats | None, end: Floats | None
) -> Geom_BSplineSurface:
    """Return the bicubic surface through `points` (k, m, 3) [mm] at parameters `u` (k,), `v` (m,).

    `start` and `end` give the derivative (k, 3) along v at the first and last row; None leaves
    that end free (the outermost inner knot is left out).
    """
    along = points.transpose(1, 0, 2)
    inner = v[(2 if start is None else 1) : (-2 if end is None else -1)]
    knots = np.r_[[v[0]] * 4, inner, [v[-1]] * 4]
    rows = _solve_rows(knots, v, along, start, end)
    spline_u = make_interp_spline(u, rows.transpose(1, 0, 2), k=3)
    poles = spline_u.c
    return bspline_surface(poles, spline_u.t, knots, (3, 3), np.ones(poles.shape[:2]))


def _solve_rows(
    knots: Floats, v: Floats, along: Floats, start: Floats | None, end: Floats | None
) -> Floats:
    count = len(knots) - 4
    slopes = BSpline(knots, np.eye(count), 3).derivative()
    left = [BSpline.design_matrix(v, knots, 3).toarray()]
    right = [along.reshape(len(v), -1)]
    for place, slope in ((v[0], start), (v[-1], end)):
        if slope is not None:
            left.append(slopes(place)[None, :])
            right.append(slope.reshape(1, -1))
    solved = np.linalg.solve(np.concatenate(left), np.concatenate(right))
    return np.asarray(solved.reshape(count, *along.shape[1:]))
