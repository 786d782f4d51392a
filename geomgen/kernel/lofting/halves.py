"""Right-hand halves of bodies that are their own mirror image, capped in the centre plane."""

from typing import cast

from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.ShapeAnalysis import ShapeAnalysis_FreeBounds
from OCP.ShapeFix import ShapeFix_Face
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid, TopoDS_Wire
from OCP.TopTools import TopTools_HSequenceOfShape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.lofting.bodies import LoftedSkin, end_of, flat, opens
from geomgen.kernel.lofting.sewing import (
    edges_in_centre,
    free_edges_at,
    plane_face,
    sew,
    wire_of,
)
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.solids.properties import kernel_box

# Edges of a cap belong together where their ends are no further apart than this [mm].
JOINED = 1e-5


def half_tube(outer: LoftedSkin, inner: LoftedSkin, part: str) -> TopoDS_Solid:
    """Return the right-hand half of the hollow solid between two skins (`bodies.tube`)."""
    faces: list[TopoDS_Shape] = [*outer.right, *inner.right]
    for at_start in (True, False):
        if opens(outer, inner, at_start):
            faces.append(_half_rim(outer, inner, end_of(outer, at_start)))
        else:
            faces += [_half_cap(skin, at_start) for skin in (outer, inner) if flat(skin, at_start)]
    return sew([*faces, *_caps(faces, part)], part)


def _half_cap(skin: LoftedSkin, at_start: bool) -> TopoDS_Face:
    """Return the right-hand half of the plane face that closes a skin at one of its ends."""
    station = end_of(skin, at_start)
    edges = free_edges_at(skin.right, station, skin.lean)
    across = BRepBuilderAPI_MakeEdge(*_ends_in_centre(edges)).Edge()
    return plane_face(station, wire_of([*edges, across]), None, skin.lean)


def _half_rim(outer: LoftedSkin, inner: LoftedSkin, station: float) -> TopoDS_Face:
    """Return the right-hand half of a plane rim."""
    edges = [free_edges_at(skin.right, station, outer.lean) for skin in (outer, inner)]
    ends = [_ends_in_centre(each) for each in edges]
    across = [BRepBuilderAPI_MakeEdge(a, b).Edge() for a, b in zip(*ends, strict=True)]
    return plane_face(station, wire_of([*edges[0], *edges[1], *across]), None, outer.lean)


def _ends_in_centre(edges: list[TopoDS_Edge]) -> tuple[gp_Pnt, gp_Pnt]:
    """Return the lowest and the highest end of edges that run from the centre plane to it."""
    ends = [TopExp.FirstVertex_s(edge) for edge in edges]
    ends += [TopExp.LastVertex_s(edge) for edge in edges]
    points = sorted((BRep_Tool.Pnt_s(end) for end in ends), key=lambda point: point.Z())
    return points[0], points[-1]


def _caps(faces: list[TopoDS_Shape], part: str) -> list[TopoDS_Face]:
    """Return the plane faces that close a half in the centre plane."""
    edges = TopTools_HSequenceOfShape()
    for edge in edges_in_centre(faces):
        edges.Append(edge)
    wires = TopTools_HSequenceOfShape()
    ShapeAnalysis_FreeBounds.ConnectEdgesToWires_s(edges, JOINED, False, wires)
    closed = [TopoDS.Wire(wires.Value(i)) for i in range(1, wires.Length() + 1)]
    if not all(wire.Closed() for wire in closed):
        raise GeometryError("its outline in the centre plane is open", part=part, step="half")
    plane = gp_Pln(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0))
    return [_cap(plane, wire, inside) for wire, inside in _nested(plane, closed)]


def _cap(plane: gp_Pln, outline: TopoDS_Wire, holes: list[TopoDS_Wire]) -> TopoDS_Face:
    maker = BRepBuilderAPI_MakeFace(plane, outline, True)
    if not holes:
        return maker.Face()
    for hole in holes:
        maker.Add(hole)
    mend = ShapeFix_Face(maker.Face())
    mend.FixOrientation()
    return mend.Face()


def _nested(plane: gp_Pln, wires: list[TopoDS_Wire]) -> list[tuple[TopoDS_Wire, list[TopoDS_Wire]]]:
    """Return the outlines that no other holds, each with those that it holds."""
    boxes = [kernel_box(_cap(plane, wire, [])) for wire in wires]

    def inside(i: int, j: int) -> bool:
        low, high = boxes[i], boxes[j]
        return all(high.low[k] < low.low[k] and low.high[k] < high.high[k] for k in (0, 2))

    every = range(len(wires))
    outer = [j for j in every if not any(inside(j, k) for k in every)]
    return [(wires[j], [wires[i] for i in every if inside(i, j)]) for j in outer]


def doubled(half: TopoDS_Shape, part: str) -> TopoDS_Solid:
    """Return a half that is capped in the centre plane, joined to its mirror image as one solid.

    The caps go; the two skins are sewn along their common outline, so no boolean is needed.
    """
    if isinstance(half, MeshPart):
        return cast(TopoDS_Solid, half.doubled())
    skin = [face for face in faces_of(half) if not _in_centre_plane(face)]
    if not capped(half):
        raise GeometryError("it has no cap in the centre plane", part=part, step="doubling")
    other = [face for face in faces_of(mirrored(half)) if not _in_centre_plane(face)]
    return sew([*skin, *other], part)


def capped(half: TopoDS_Shape) -> bool:
    """Say whether a body has a cap in the centre plane, so that it is half of a larger one."""
    if isinstance(half, MeshPart):
        return bool(half.caps.any())
    return any(_in_centre_plane(face) for face in faces_of(half))


def _in_centre_plane(face: TopoDS_Shape) -> bool:
    box = loose_box(face)
    return max(abs(box.low[1]), abs(box.high[1])) < 1e-4
