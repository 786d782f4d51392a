"""Planes with the two directions that the kernel gives them, and flat faces in them."""

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
from OCP.gp import gp_Ax3, gp_Dir, gp_Pln, gp_Pnt
from OCP.TopoDS import TopoDS_Face

from geomgen.kernel.plain import Plane, Vec3
from geomgen.kernel.plane_frame import Frame

Corner = tuple[float, float]


def frame_round(plane: Plane, seed: Vec3) -> Frame:
    """Return a plane with the seed [mm] as origin and the directions that the kernel gives it.

    >>> frame_round(Plane((5.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (5.0, 2.0, 3.0)).normal
    (1.0, 0.0, 0.0)
    """
    return _frame(gp_Ax3(gp_Pnt(*seed), gp_Dir(*plane.normal)))


def frame_of(face: TopoDS_Face) -> Frame:
    """Return the plane of a flat face, with the directions of its parameters.

    >>> from geomgen.kernel.plane_frame import at_waterline
    >>> frame_of(window(at_waterline(7.0), (0.0, 0.0), (1.0, 2.0))).origin
    (0.0, 0.0, 7.0)
    """
    return _frame(BRepAdaptor_Surface(face).Plane().Position())


def _frame(axes: gp_Ax3) -> Frame:
    o, x, y = axes.Location(), axes.XDirection(), axes.YDirection()
    return Frame(o.Coord(), x.Coord(), y.Coord())


def window(frame: Frame, low: Corner, high: Corner) -> TopoDS_Face:
    """Return the rectangular face of a plane between two corners in its coordinates [mm]."""
    axes = gp_Ax3(gp_Pnt(*frame.origin), gp_Dir(*frame.normal), gp_Dir(*frame.across))
    return BRepBuilderAPI_MakeFace(gp_Pln(axes), low[0], high[0], low[1], high[1]).Face()
