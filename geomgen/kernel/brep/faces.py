"""The faces of a shape: their parameters, which side looks outward, the plane of a flat one."""

from collections.abc import Iterable, Sequence

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepClass import BRepClass_FaceExplorer, BRepClass_FClassifier
from OCP.BRepTools import BRepTools
from OCP.GeomAbs import GeomAbs_Plane
from OCP.gp import gp_Pnt2d
from OCP.TopAbs import TopAbs_FACE, TopAbs_IN, TopAbs_REVERSED
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Shape

from geomgen.kernel.plain import Plane

# How near the border of a face a parameter counts as on it.
ON_BORDER = 1e-9


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """Return the faces of a shape in the kernel's own order.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> len(faces_of(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()))
    6
    """
    found = []
    walk = TopExp_Explorer(shape, TopAbs_FACE)
    while walk.More():
        found.append(TopoDS.Face(walk.Current()))
        walk.Next()
    return found


def bounds_of(face: TopoDS_Face) -> tuple[float, float, float, float]:
    """Return the lowest and highest u, then v, that a face reaches [mm, rad or 1 by kind].

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> u0, u1, v0, v1 = bounds_of(faces_of(BRepPrimAPI_MakeBox(2.0, 2.0, 2.0).Shape())[0])
    >>> u1 - u0, v1 - v0
    (2.0, 2.0)
    """
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    return u0, u1, v0, v1


def sense_of(face: TopoDS_Face) -> float:
    """Return the sense [1]: 1 where du x dv looks out of the solid, -1 where it looks into it.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> sorted(map(sense_of, faces_of(BRepPrimAPI_MakeBox(1.0, 1.0, 1.0).Shape())))
    [-1.0, -1.0, -1.0, 1.0, 1.0, 1.0]
    """
    return -1.0 if face.Orientation() == TopAbs_REVERSED else 1.0


def plane_of(face: TopoDS_Face) -> Plane | None:
    """Return the plane [mm] that a face lies in, None for a face that the kernel holds as curved.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    >>> found = map(plane_of, faces_of(BRepPrimAPI_MakeCylinder(1.0, 2.0).Shape()))
    >>> sorted(plane.origin for plane in found if plane)
    [(0.0, 0.0, 0.0), (0.0, 0.0, 2.0)]
    """
    surface = BRepAdaptor_Surface(face)
    if surface.GetType() != GeomAbs_Plane:
        return None
    at, way = surface.Plane().Location(), surface.Plane().Axis().Direction()
    return Plane((at.X(), at.Y(), at.Z()), (way.X(), way.Y(), way.Z()))


def within(
    face: TopoDS_Face, places: Iterable[Sequence[float]], most: int
) -> list[tuple[float, float]]:
    """Return the first places, `most` of them at most, that lie within a face's borders.

    Places are u, v [mm, rad or 1 by kind] of the face.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> face = faces_of(BRepPrimAPI_MakeBox(2.0, 2.0, 2.0).Shape())[0]
    >>> u0, u1, v0, v1 = bounds_of(face)
    >>> within(face, [(u0 - 1.0, v0), ((u0 + u1) / 2, (v0 + v1) / 2)], 5) == [
    ...     ((u0 + u1) / 2, (v0 + v1) / 2)
    ... ]
    True
    """
    explorer, kept = BRepClass_FaceExplorer(face), []
    for u, v in places:
        state = BRepClass_FClassifier(explorer, gp_Pnt2d(u, v), ON_BORDER).State()
        if state == TopAbs_IN:
            kept.append((u, v))
            if len(kept) == most:
                break
    return kept
