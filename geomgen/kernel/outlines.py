"""The lines of a solid along a direction of sight: its sharp edges and the outlines of its faces.

The kernel makes them from the exact surfaces; which stretches are seen is found elsewhere
(`kernel/sight.py`), because the kernel's own hiding took 14 to 17 s a view of the whole example.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepLib import BRepLib
from OCP.GCPnts import GCPnts_TangentialDeflection
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape, HLRBRep_TypeOfResultingEdge
from OCP.TopoDS import TopoDS_Edge, TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.look import Look
from geomgen.kernel.mesh_record import Floats
from geomgen.kernel.probing import edges_in
from geomgen.kernel.seams import Seams

KINDS = {
    "sharp": HLRBRep_TypeOfResultingEdge.HLRBRep_Sharp,
    "outline": HLRBRep_TypeOfResultingEdge.HLRBRep_OutLine,
    "smooth": HLRBRep_TypeOfResultingEdge.HLRBRep_Rg1Line,
    "sewn": HLRBRep_TypeOfResultingEdge.HLRBRep_RgNLine,
}
# A sampled curve turns no further than this between points [rad].
TURN = 0.2


@dataclass(frozen=True)
class Outline:
    """A line of a solid through points (n, 3) [mm]: sharp, outline, smooth or sewn."""

    kind: str
    points: Floats


def outlines(
    shape: TopoDS_Shape,
    look: Look,
    tolerance: float = 0.1,
    known: Seams | None = None,
    part: str = "",
) -> list[Outline]:
    """Return all lines of a solid along `look`, hidden or not, within `tolerance` [mm].

    Lines along the seams that are `known` are left out where they are no outline; None adds all
    seams between faces that meet without an edge. GeometryError, naming `part`, when the kernel
    finds no line at all.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> len(outlines(box, Look((0.8, 0.6, 0.0), (0.0, 0.0, 1.0))))
    12
    """
    algorithm = HLRBRep_Algo()
    algorithm.Add(shape, 0)
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*look.toward), gp_Dir(*look.right))
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    reader = HLRBRep_HLRToShape(algorithm)
    found = [
        Outline(kind, points)
        for kind in KINDS
        if known is None or kind in ("sharp", "outline")
        for points in _read(reader, kind, tolerance)
    ]
    if known is not None:
        toward = np.array(look.toward)
        found = [one for one in found if not known.hold(one.points, toward, tolerance)]
    if not found:
        raise GeometryError("it has no line to draw", part=part, step="view")
    return found


def _read(reader: HLRBRep_HLRToShape, kind: str, tolerance: float) -> Iterator[Floats]:
    lines = reader.CompoundOfEdges(KINDS[kind], True, True)
    if lines is None or lines.IsNull():
        return
    BRepLib.BuildCurves3d_s(lines)
    for edge in edges_in(lines):
        yield _sampled(edge, tolerance)


def _sampled(edge: TopoDS_Edge, tolerance: float) -> Floats:
    curve = BRepAdaptor_Curve(edge)
    points = GCPnts_TangentialDeflection(curve, TURN, 0.5 * tolerance)
    many = range(1, points.NbPoints() + 1)
    return np.array([points.Value(i).Coord() for i in many], dtype=float)
