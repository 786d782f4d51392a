"""Closing skins: edges in a plane, caps and rims, faces sewn to one solid that looks outward."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
)
from OCP.BRepGProp import BRepGProp
from OCP.BRepLib import BRepLib
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
from OCP.GProp import GProp_GProps
from OCP.ShapeFix import ShapeFix_Face
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_FORWARD, TopAbs_SHELL
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import (
    TopoDS,
    TopoDS_Edge,
    TopoDS_Face,
    TopoDS_Shape,
    TopoDS_Shell,
    TopoDS_Solid,
    TopoDS_Wire,
)
from OCP.TopTools import TopTools_ListOfShape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import within
from geomgen.kernel.solids.properties import bounding_box

SEWING = 1e-5


@dataclass(frozen=True)
class Lean:
    """How planes across a body lean: dx/dz [1] and the waterline [mm] where stations are taken."""

    slope: float = 0.0
    height: float = 0.0


UPRIGHT = Lean()


def free_edges_at(
    faces: tuple[TopoDS_Face, ...], station: float, lean: Lean = UPRIGHT
) -> list[TopoDS_Edge]:
    """Return the edges of `faces` that lie in the plane at `station` [mm]."""
    return _edges_where(faces, lambda p: p.X() - lean.slope * (p.Z() - lean.height) - station)


def edges_in_centre(faces: Sequence[TopoDS_Shape]) -> list[TopoDS_Edge]:
    """Return the edges of `faces` that lie in the centre plane."""
    return _edges_where(faces, lambda p: p.Y())


def _edges_where(
    faces: Sequence[TopoDS_Shape], off: Callable[[gp_Pnt], float]
) -> list[TopoDS_Edge]:
    found = []
    for face in faces:
        walk = TopExp_Explorer(face, TopAbs_EDGE)
        while walk.More():
            edge = TopoDS.Edge(walk.Current())
            walk.Next()
            if BRep_Tool.Degenerated_s(edge):
                continue
            curve = BRepAdaptor_Curve(edge)
            a, b = curve.FirstParameter(), curve.LastParameter()
            if max(abs(off(curve.Value(a + s * (b - a)))) for s in (0.0, 0.37, 1.0)) < 1e-4:
                found.append(edge)
    return found


def wire_of(edges: Sequence[TopoDS_Edge]) -> TopoDS_Wire:
    """Return the closed wire of `edges` given in any order."""
    many = TopTools_ListOfShape()
    for edge in edges:
        many.Append(edge)
    maker = BRepBuilderAPI_MakeWire()
    maker.Add(many)
    if not maker.IsDone():
        raise GeometryError("the edges of a rim do not close", step="rim")
    return maker.Wire()


def plane_face(
    station: float, outer: TopoDS_Wire, inner: TopoDS_Wire | None = None, lean: Lean = UPRIGHT
) -> TopoDS_Face:
    """Return the plane face at a station [mm] inside `outer`, without the inside of `inner`."""
    plane = gp_Pln(gp_Pnt(station, 0, lean.height), gp_Dir(1, 0, -lean.slope))
    maker = BRepBuilderAPI_MakeFace(plane, outer, True)
    if inner is None:
        return maker.Face()
    maker.Add(inner)
    mend = ShapeFix_Face(maker.Face())
    mend.FixOrientation()
    return mend.Face()


def sew(faces: list[TopoDS_Shape], part: str) -> TopoDS_Solid:
    """Return the closed solid of `faces`; GeometryError when they leave a gap.

    Faces that close to several shells make a solid with voids: the shell that holds the most is
    the outside, the others must stand inside it.
    """
    sewing = BRepBuilderAPI_Sewing(SEWING)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    shells = []
    walk = TopExp_Explorer(sewing.SewedShape(), TopAbs_SHELL)
    while walk.More():
        shells.append(TopoDS.Shell(walk.Current()))
        walk.Next()
    if sewing.NbFreeEdges() or not shells:
        raise GeometryError(
            f"its faces do not close ({sewing.NbFreeEdges()} free edges, {len(shells)} shells)",
            part=part,
            step="sewing",
        )
    if len(shells) == 1:
        # Which way its faces look the kernel tells in a tenth of the time of their volume.
        for shell in (shells[0], TopoDS.Shell(shells[0].Reversed())):
            solid = _closed(BRepBuilderAPI_MakeSolid(_plain(shell)), part)
            if solid.Orientation() == TopAbs_FORWARD:
                return solid
    outside, *voids = sorted((_outward(shell) for shell in shells), key=lambda pair: -pair[0])
    maker = BRepBuilderAPI_MakeSolid(_plain(outside[1]))
    for _, shell in voids:
        if not within(bounding_box(shell), bounding_box(outside[1])):
            raise GeometryError(
                f"its faces make {len(shells)} bodies that lie beside each other",
                part=part,
                step="sewing",
            )
        maker.Add(_plain(TopoDS.Shell(shell.Reversed())))
    return _closed(maker, part)


def _closed(maker: BRepBuilderAPI_MakeSolid, part: str) -> TopoDS_Solid:
    """Return the solid with its flag so that it has an inside; GeometryError when it has none."""
    solid = maker.Solid()
    if not BRepLib.OrientClosedSolid_s(solid):
        raise GeometryError("its shell is not closed", part=part, step="sewing")
    return solid


def _outward(shell: TopoDS_Shell) -> tuple[float, TopoDS_Shell]:
    """Return the rough volume inside a shell [mm3], and the shell looking outward.

    The shell itself has to look outward: a solid turned by its own flag comes back from a file
    inside out.
    """
    whole = GProp_GProps()
    BRepGProp.VolumeProperties_s(shell, whole)
    turned = shell if whole.Mass() > 0 else TopoDS.Shell(shell.Reversed())
    return abs(whole.Mass()), turned


def _plain(shell: TopoDS_Shell) -> TopoDS_Shell:
    """Return a shell of the same faces that carries no turn of its own, only its faces do."""
    builder, plain = BRep_Builder(), TopoDS_Shell()
    builder.MakeShell(plain)
    walk = TopExp_Explorer(shell, TopAbs_FACE)
    while walk.More():
        builder.Add(plain, walk.Current())
        walk.Next()
    plain.Closed(True)
    return plain
