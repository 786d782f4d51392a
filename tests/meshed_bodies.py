"""Solids with their own proven meshes, and rings of them, for tests of what is told from meshes."""

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeHalfSpace
from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.edges import TINY
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.sections.exact_rings import ExactCut
from geomgen.kernel.sections.mesh_rings import mesh_rings


def body(solid, tolerance=0.1):
    made = meshed(solid, tolerance)
    return body_of(solid, made.mesh, made.deviation.largest)


def rings(one, frame):
    seen = ExactCut(one, frame)
    return [seen.ring(ring) for ring in mesh_rings(one.mesh, frame)]


def crumbed_cube():
    """Return a cube of 10 mm less a corner so small that no mesh has an edge of that face."""
    knife = BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(10, 10, 10 - TINY / 5), gp_Dir(1, 1, 1))).Face()
    beyond = BRepPrimAPI_MakeHalfSpace(knife, gp_Pnt(20, 20, 20)).Solid()
    return BRepAlgoAPI_Cut(BRepPrimAPI_MakeBox(10.0, 10.0, 10.0).Shape(), beyond).Shape()
