"""The profile of a finished body of revolution, read from its solid and proven to be it."""

from itertools import pairwise
from math import cos, pi, radians, sin

import numpy as np
import shapely
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepPrimAPI import BRepPrimAPI_MakeRevol
from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import across
from geomgen.kernel.plain import Axis, Vec3, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.kernel.sections.plane_cut import regions
from geomgen.kernel.solids.properties import volume as integrated

# Distance along the axis and radius [mm] of each corner, in order round the profile.
Profile = tuple[tuple[float, float], ...]
# Half-planes through the axis at these angles [deg] must all show the same profile, to this [mm].
LOOKS = (37.0, 161.0, 283.0)
AGREES = 1e-4
SHARE = 1e-6


def profile_of(solid: TopoDS_Shape, axis: Axis, part: str = "") -> Profile:
    """Return the straight-sided profile of a body of revolution about an axis [mm].

    Cut by three half-planes through the axis; the volume that the profile sweeps (theorem of
    Pappus) must be the solid's. GeometryError where it is no such body.

    >>> from geomgen.kernel.brep.primitives import ring
    >>> line = Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    >>> sorted((round(s), round(r)) for s, r in profile_of(ring(line, -3, 4, 10, 50), line))
    [(-3, 10), (-3, 50), (4, 10), (4, 50)]
    """
    seen = [_cut(solid, axis, angle, part) for angle in LOOKS]
    first = np.array(seen[0])
    for other in seen[1:]:
        off = np.abs(first[:, None] - np.array(other)[None]).max(axis=2).min(axis=1)
        if len(first) != len(other) or off.max() > AGREES:
            raise _not_revolved(part, "it is not as large on all sides")
    size = integrated(solid, SHARE).value
    if abs(swept_volume(seen[0]) - size) > 10 * SHARE * size:
        raise _not_revolved(part, "its profile is not straight-sided")
    return seen[0]


def swept_volume(profile: Profile) -> float:
    """Return the volume [mm3] that a closed profile sweeps round its axis.

    Equation: 2 pi times area times radius of the centroid. Source: theorem of Pappus.
    Status: DERIVED.

    >>> round(swept_volume(((0.0, 0.0), (0.0, 3.0), (5.0, 3.0), (5.0, 0.0))) / pi, 6)
    45.0
    """
    moment = 0.0
    for (s, r), (t, q) in pairwise((*profile, profile[0])):
        moment += (r + q) * (s * q - t * r)
    return abs(2 * pi * moment / 6)


def cone(axis: Axis, start: tuple[float, float], end: tuple[float, float]) -> TopoDS_Face:
    """Return the face swept by a straight line of (along the axis, radius) corners [mm]."""
    up = across(axis.direction)
    a, b = (gp_Pnt(*_at(axis, up, s, r)) for s, r in (start, end))
    turn = gp_Ax1(gp_Pnt(*axis.origin), gp_Dir(*axis.direction))
    return faces_of(BRepPrimAPI_MakeRevol(BRepBuilderAPI_MakeEdge(a, b).Edge(), turn).Shape())[0]


def _at(axis: Axis, way: Vec3, s: float, r: float) -> Vec3:
    x, y, z = np.array(axis.origin) + s * np.array(axis.direction) + r * np.array(way)
    return (float(x), float(y), float(z))


def _cut(solid: TopoDS_Shape, axis: Axis, angle: float, part: str) -> Profile:
    up = np.array(across(axis.direction))
    beside = np.cross(np.array(axis.direction), up)
    way = up * cos(radians(angle)) + beside * sin(radians(angle))
    found = regions(Frame(axis.origin, axis.direction, vec(way)), solid, part)
    loops = [region.outer for region in found]
    if any(len(loop.corners) < 3 for loop in loops):
        raise _not_revolved(part, "its profile is not straight-sided")
    whole = shapely.union_all([shapely.Polygon(loop.points[list(loop.corners)]) for loop in loops])
    low, _, high, top = whole.bounds if loops else (0.0, 0.0, 0.0, 0.0)
    half = shapely.intersection(whole, shapely.box(low, 0.0, high, max(top, 0.0)))
    if half.geom_type != "Polygon" or half.is_empty:
        raise _not_revolved(part, "a plane through the thrust line cuts it in no single outline")
    return tuple((float(s), float(r)) for s, r in half.exterior.coords[:-1])


def _not_revolved(part: str, why: str) -> GeometryError:
    return GeometryError(
        f"it is no straight-sided body of revolution about the thrust line: {why}",
        part=part,
        step="profile",
    )
