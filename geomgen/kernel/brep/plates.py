"""Flat faces with holes, and the plates that stand on them."""

from collections.abc import Sequence

from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakePolygon,
    BRepBuilderAPI_MakeWire,
)
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Trsf, gp_Vec
from OCP.ShapeFix import ShapeFix_Face
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Face, TopoDS_Solid, TopoDS_Wire

from geomgen.kernel.brep.wires import edges_along, outer_wire
from geomgen.kernel.plain import Plane, Vec3


def flat_face(corners: Sequence[Vec3]) -> TopoDS_Face:
    """Return the face within a polygon [mm] that lies in a plane.

    >>> from geomgen.kernel.solids.properties import area
    >>> area(flat_face([(0, 0, 0), (2, 0, 0), (2, 3, 0), (0, 3, 0)])).value
    6.0
    """
    ring = BRepBuilderAPI_MakePolygon()
    for corner in corners:
        ring.Add(gp_Pnt(*corner))
    ring.Close()
    return BRepBuilderAPI_MakeFace(ring.Wire(), True).Face()


def pierced_face(
    plane: Plane,
    outer: TopoDS_Wire,
    holes: Sequence[TopoDS_Wire],
    drilled: Sequence[Vec3],
    radius: float,
) -> TopoDS_Face:
    """Return the face of a plane within a wire, with holes, and round ones [mm] drilled."""
    way = gp_Dir(*plane.normal)
    made = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*plane.origin), way), outer, True)
    for hole in holes:
        made.Add(hole)
    for centre in drilled:
        circle = gp_Circ(gp_Ax2(gp_Pnt(*centre), way), radius)
        made.Add(BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire())
    mend = ShapeFix_Face(made.Face())
    mend.FixOrientation()
    return mend.Face()


def moved_face(face: TopoDS_Face, by: Vec3) -> TopoDS_Face:
    """Return a face moved by a vector [mm]."""
    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(*by))
    return TopoDS.Face(face.Moved(TopLoc_Location(shift)))


def plate(face: TopoDS_Face, by: Vec3) -> TopoDS_Solid:
    """Return the solid that a face sweeps along a vector [mm]."""
    return TopoDS.Solid(BRepPrimAPI_MakePrism(face, gp_Vec(*by), True).Shape())


def side_faces(face: TopoDS_Face, by: Vec3) -> list[TopoDS_Face]:
    """Return the faces that a face's outline sweeps along a vector [mm], both lids left out.

    >>> len(side_faces(flat_face([(0, 0, 0), (2, 0, 0), (2, 3, 0), (0, 3, 0)]), (0.0, 0.0, 1.0)))
    4
    """
    swept = BRepPrimAPI_MakePrism(face, gp_Vec(*by), True)
    return [TopoDS.Face(swept.Generated(edge).First()) for edge in edges_along(outer_wire(face))]
