"""Volume, area, centroid and box of shapes, each with the error the integration admits to.

The kernel's default integration is wrong by up to a quarter on spline bodies and says nothing. Its
adaptive Gauss rule bounds only one of the two directions: on a rational torus it claimed 1e-9 and
was off by 3e-6. Volumes here come from the Gauss-Kronrod rule with spline spans, whose stated
bound held in every test; areas are integrated twice and the gap is the bound.

All rules go along a face's edges, and from each place there through all spans of the first
parameter. A wing's ruled face has some forty round the profile and one along the rulings, so it is
integrated with its parameters exchanged: the same face, in a half to a seventh of the time.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import cast

import numpy as np
from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepGProp import BRepGProp, BRepGProp_Domain, BRepGProp_Face, BRepGProp_VinertGK
from OCP.Geom import Geom_BSplineSurface
from OCP.Geom2d import Geom2d_Curve
from OCP.gp import gp_Ax2d, gp_Dir2d, gp_Pnt, gp_Pnt2d
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_FORWARD, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Iterator, TopoDS_Shape, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, corners_of, loose_box, once_a_shape
from geomgen.kernel.brep.compounds import together
from geomgen.kernel.brep.faces import faces_of, plane_of
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.extent import exact_box

# Relative error asked of each face. The bound on a hollow body is some hundred times larger, since
# the fluxes of its two walls nearly cancel; what was measured there is a few times 1e-9.
EPS = 1e-8
COARSER = 100.0
# What the figures of a part sheet are integrated to; read-back is integrated alike.
FIGURES = 1e-9
SKIN = 1e-4
ROUNDING = 1e-15
# The kernel's own confusion distance [mm], with rounding.
CONFUSED = 1.01e-7
# A plane counts as through a place that it passes nearer than this share of the size; ways to a
# place that is off all planes.
THROUGH = 1e-6
WAYS = np.array([[0.577, 0.211, 0.789], [-0.314, 0.871, 0.378], [0.702, -0.55, 0.452]])
# Where u and v change places.
DIAGONAL = gp_Ax2d(gp_Pnt2d(0.0, 0.0), gp_Dir2d(1.0, 1.0))


@dataclass(frozen=True)
class Integral:
    """An integral and the bound on its error, in the same unit."""

    value: float
    error: float


@dataclass(frozen=True)
class Figures:
    """What files are held to: volume [mm3], area [mm2], optimal box and loose box [mm].

    `area` comes from one integration, at a stated error of a ten thousandth. `seams` is what the
    volume [mm3] may be off where edges fit their faces to a tolerance only; `faces` are counted.
    """

    volume: Integral
    area: Integral
    box: Box
    loose: Box
    seams: float
    faces: int


def _empty(shape: TopoDS_Shape) -> bool:
    return bool(shape.IsNull()) or not TopExp_Explorer(shape, TopAbs_FACE).More()


def volume(shape: TopoDS_Shape, eps: float = EPS) -> Integral:
    """Return the volume [mm3] of a shape; the fast call where nothing else is wanted.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
    >>> round(volume(BRepPrimAPI_MakeSphere(1.0).Shape()).value, 9)  # 4/3 pi
    4.188790205
    """
    if _empty(shape):
        return Integral(0.0, 0.0)
    shape = along_rulings(shape)
    middle, size = _middle(shape)
    if np.any(_off_planes(shape, middle) <= THROUGH * size):
        return _about(max((middle + size * way for way in WAYS), key=_clear_of(shape)), shape, eps)
    props = GProp_GProps()
    said = BRepGProp.VolumePropertiesGK_s(shape, props, eps, False, True, False, False, False)
    if said < 0:
        raise GeometryError("the volume can't be integrated", step="mass properties")
    mass = float(props.Mass())
    return Integral(mass, (float(said) + ROUNDING) * abs(mass))


def _about(place: Floats, shape: TopoDS_Shape, eps: float) -> Integral:
    """Return the volume [mm3], each face integrated about a place [mm].

    The kernel takes the mean of the vertices, and its rule never ends on a flat face in whose plane
    that lies: a bar cut obliquely leaves such a wedge.
    """
    parts = [
        BRepGProp_VinertGK(
            BRepGProp_Face(face, True), BRepGProp_Domain(face), gp_Pnt(*place.tolist()), eps
        )
        for face in faces_of(shape)
    ]
    errors = [(part.GetErrorReached() + ROUNDING) * abs(part.Mass()) for part in parts]
    return Integral(sum(part.Mass() for part in parts), sum(errors))


def _clear_of(shape: TopoDS_Shape) -> Callable[[Floats], float]:
    return lambda place: float(np.min(_off_planes(shape, place), initial=math.inf))


def _off_planes(shape: TopoDS_Shape, place: Floats) -> Floats:
    planes = [plane for plane in map(plane_of, faces_of(shape)) if plane is not None]
    return np.array([abs(np.dot(place - plane.origin, plane.normal)) for plane in planes])


def _middle(shape: TopoDS_Shape) -> tuple[Floats, float]:
    """Return the mean of the vertices, each as often as edges have it, and their reach [mm]."""
    points = []
    walk = TopExp_Explorer(shape, TopAbs_VERTEX)
    while walk.More():
        point = BRep_Tool.Pnt_s(TopoDS.Vertex(walk.Current()))
        points.append((point.X(), point.Y(), point.Z()))
        walk.Next()
    every = np.array(points or [(0.0, 0.0, 0.0)])
    return every.mean(axis=0), float(np.ptp(every, axis=0).max()) or 1.0


def along_rulings(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return a shape's faces, alike [mm] but quicker to integrate: ruled ones along their rulings.

    What has none comes back as it is. For integrals alone: edges have no curves in space.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> along_rulings(box).IsSame(box)
    True
    """
    faces = faces_of(shape)
    if not any(map(_is_ruled, faces)):
        return shape
    return together([_exchanged(face) if _is_ruled(face) else face for face in faces])


def _is_ruled(face: TopoDS_Face) -> bool:
    """Say whether a face is straight from end to end along v, and has more spans along u."""
    surface = BRep_Tool.Surface_s(face)
    if not isinstance(surface, Geom_BSplineSurface):
        return False
    return bool(surface.VDegree() == 1 and surface.NbVKnots() == 2 < surface.NbUKnots())


def _exchanged(face: TopoDS_Face) -> TopoDS_Face:
    """Return a face with its parameters exchanged; one with a seam comes back as it is.

    Exchanged parameters see their face from the other side, and its borders run the other way.
    """
    surface = cast(Geom_BSplineSurface, BRep_Tool.Surface_s(face).Copy())
    surface.ExchangeUV()
    builder, made = BRep_Builder(), TopoDS_Face()
    builder.MakeFace(made, surface, TopLoc_Location(), BRep_Tool.Tolerance_s(face))
    plain = TopoDS.Face(face.Oriented(TopAbs_FORWARD))
    for wire in _parts(plain):
        ring = TopoDS_Wire()
        builder.MakeWire(ring)
        for each in _parts(wire):
            edge = TopoDS.Edge(each)
            curve = BRep_Tool.CurveOnSurface_s(edge, plain, 0.0, 0.0)
            if curve is None or BRep_Tool.IsClosed_s(edge, plain):
                return face
            side = TopoDS_Edge()
            builder.MakeEdge(side)
            flat = cast(Geom2d_Curve, curve.Mirrored(DIAGONAL))
            tolerance = BRep_Tool.Tolerance_s(edge)
            builder.UpdateEdge(side, flat, surface, TopLoc_Location(), tolerance)
            builder.Range(side, *BRep_Tool.Range_s(edge, plain))
            for corner in _parts(edge.Oriented(TopAbs_FORWARD)):
                builder.Add(side, corner)
            builder.Add(ring, side.Oriented(edge.Orientation()).Reversed())
        builder.Add(made, ring)
    return TopoDS.Face(made.Oriented(face.Orientation()).Reversed())


def _parts(shape: TopoDS_Shape) -> list[TopoDS_Shape]:
    found, walk = [], TopoDS_Iterator(shape)
    while walk.More():
        found.append(walk.Value())
        walk.Next()
    return found


def centroid(shape: TopoDS_Shape, eps: float = EPS) -> Vec3:
    """Return the centroid [mm] of a solid.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> [round(c, 9) for c in centroid(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())]
    [0.5, 1.0, 1.5]
    """
    # The Kronrod rule's own moments never end where a moment is nil, so the Gauss rule here.
    props = GProp_GProps(gp_Pnt(*loose_box(shape).centre))
    BRepGProp.VolumeProperties_s(along_rulings(shape), props, eps)
    at = props.CentreOfMass()
    return (at.X(), at.Y(), at.Z())


def _surface(shape: TopoDS_Shape, eps: float) -> float:
    props = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, props, eps)
    return float(props.Mass())


def face_area(face: TopoDS_Face, eps: float = EPS) -> Integral:
    """Return the area [mm2] of one face; the bound is the gap to an integration 100 times rougher.

    >>> from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    >>> from OCP.gp import gp_Pln
    >>> made = BRepBuilderAPI_MakeFace(gp_Pln(), 0.0, 2.0, 0.0, 3.0).Face()
    >>> round(face_area(made).value, 9)
    6.0
    """
    return area(face, eps)


def area(shape: TopoDS_Shape, eps: float = EPS) -> Integral:
    """Return the area [mm2] of all faces of a shape; bound as for `face_area`."""
    if _empty(shape):
        return Integral(0.0, 0.0)
    shape = along_rulings(shape)
    fine, rough = _surface(shape, eps), _surface(shape, eps * COARSER)
    return Integral(fine, abs(fine - rough) + eps * fine)


def bounding_box(shape: TopoDS_Shape, mesh: Mesh | None = None) -> Box:
    """Return the optimal box [mm], from the exact geometry; `mesh` saves time where one exists.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeTorus
    >>> [round(c, 6) for c in bounding_box(BRepPrimAPI_MakeTorus(3.0, 1.0).Shape()).size]
    [8.0, 8.0, 2.0]
    """
    loose = loose_box(shape)
    try:
        return exact_box(shape, math.hypot(*loose.size), mesh)
    except GeometryError:
        return kernel_box(shape)


@once_a_shape
def kernel_box(shape: TopoDS_Shape) -> Box:
    """Return the kernel's own optimal box [mm]: quick, never too small, sometimes too large."""
    box = Bnd_Box()
    faces = [(face, loose_box(face)) for face in faces_of(shape)]
    # Outermost first: a face whose loose box lies inside what is known can't move the box.
    for face, loose in sorted(faces, key=lambda item: -math.prod(item[1].size)):
        if box.IsVoid() or not _inside(loose, corners_of(box, box.GetGap())):
            BRepBndLib.AddOptimal_s(face, box, False, False)
    return corners_of(box, box.GetGap())


def _inside(inner: Box, outer: Box) -> bool:
    return all(a >= b for a, b in zip(inner.low, outer.low, strict=True)) and all(
        a <= b for a, b in zip(inner.high, outer.high, strict=True)
    )


def figures(shape: TopoDS_Shape, mesh: Mesh | None = None) -> Figures:
    """Measure once what every proof of a file asks for; `mesh` saves time where one exists.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> round(figures(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()).area.value, 9)
    22.0
    """
    skin = _surface(along_rulings(shape), 100 * FIGURES)
    return Figures(
        volume(shape, FIGURES),
        Integral(skin, SKIN * skin),
        bounding_box(shape, mesh),
        loose_box(shape),
        seams(shape),
        len(faces_of(shape)),
    )


def seams(shape: TopoDS_Shape) -> float:
    """Return what the volume [mm3] may be off where edges fit their faces to a tolerance only.

    Volume is the sum over all faces of a third of their distance to a place, times their area: an
    edge that lies on a face by its tolerance adds or takes that strip, times a third of the reach.
    The kernel makes all edges of primitives to its confusion distance, which counts as none.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> seams(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape())
    0.0
    """
    if _empty(shape):
        return 0.0
    strips, props = 0.0, GProp_GProps()
    walk = TopExp_Explorer(shape, TopAbs_EDGE)  # each edge once for each of its faces
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        tolerance = BRep_Tool.Tolerance_s(edge)
        if tolerance > CONFUSED:
            BRepGProp.LinearProperties_s(edge, props)
            strips += tolerance * props.Mass()
            props = GProp_GProps()
        walk.Next()
    return strips * math.hypot(*loose_box(shape).size) / 3


def union(boxes: list[Box]) -> Box:
    """Return the box round boxes.

    >>> union([Box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), Box((0.5, -1.0, 0.0), (2.0, 0.0, 0.5))]).size
    (2.0, 2.0, 1.0)
    """
    low = [min(box.low[i] for box in boxes) for i in range(3)]
    high = [max(box.high[i] for box in boxes) for i in range(3)]
    return Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))
