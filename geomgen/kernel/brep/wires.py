"""Wires: those round a face, their edges in order, the flat face within one."""

from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.TopAbs import TopAbs_WIRE
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Wire


def wires_of(face: TopoDS_Face) -> list[TopoDS_Wire]:
    """Return the outlines of a face, the outer one among them."""
    found, walk = [], TopExp_Explorer(face, TopAbs_WIRE)
    while walk.More():
        found.append(TopoDS.Wire(walk.Current()))
        walk.Next()
    return found


def outer_wire(face: TopoDS_Face) -> TopoDS_Wire:
    """Return the outline round a face."""
    return BRepTools.OuterWire_s(face)


def inner_wires(face: TopoDS_Face) -> list[TopoDS_Wire]:
    """Return the outlines of a face's holes.

    >>> from geomgen.kernel.brep.primitives import box
    >>> from geomgen.kernel.brep.faces import faces_of
    >>> [len(inner_wires(face)) for face in faces_of(box((0, 0, 0), (1, 1, 1)))]
    [0, 0, 0, 0, 0, 0]
    """
    outer = outer_wire(face)
    return [wire for wire in wires_of(face) if not wire.IsSame(outer)]


def edges_along(wire: TopoDS_Wire) -> list[TopoDS_Edge]:
    """Return the edges of a wire that have a length, one joined to the next.

    >>> from geomgen.kernel.brep.primitives import box
    >>> from geomgen.kernel.brep.faces import faces_of
    >>> len(edges_along(outer_wire(faces_of(box((0, 0, 0), (1, 1, 1)))[0])))
    4
    """
    found, walk = [], BRepTools_WireExplorer(wire)
    while walk.More():
        edge = TopoDS.Edge(walk.Current())
        if not BRep_Tool.Degenerated_s(edge):
            found.append(edge)
        walk.Next()
    return found


def face_within(wire: TopoDS_Wire) -> TopoDS_Face:
    """Return the flat face within a wire that lies in a plane, without its holes."""
    return BRepBuilderAPI_MakeFace(wire, True).Face()
