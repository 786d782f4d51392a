"""The lines of a solid along a direction of sight: its sharp edges and the outlines of its faces.

The kernel makes them from the exact surfaces; which stretches are seen is found elsewhere
(`sight.py`), because the kernel's own hiding took 14 to 17 s a view of the whole example.
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

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.solids.probing import edges_in
from geomgen.kernel.visibility.look import Look
from geomgen.kernel.visibility.seams import Seams

KINDS = {
    "sharp": HLRBRep_TypeOfResultingEdge.HLRBRep_Sharp,
    "outline": HLRBRep_TypeOfResultingEdge.HLRBRep_OutLine,
    "smooth": HLRBRep_TypeOfResultingEdge.HLRBRep_Rg1Line,
    "sewn": HLRBRep_TypeOfResultingEdge.HLRBRep_RgNLine,
}
# A sampled curve turns no further than this between points [rad].
TURN = 0.2
# Where an outline runs off its solid, that is looked at again so much from beside [rad]: at 10 m a
# line is then off by no more than 0.1 mm.
BESIDE = (0.0, 1e-6, -1e-6, 1e-5, -1e-5)


@dataclass(frozen=True)
class SightLine:
    """A line of a solid through points (n, 3) [mm]: sharp, outline, smooth or sewn."""

    kind: str
    points: Floats


def outlines(
    shape: TopoDS_Shape,
    look: Look,
    tolerance: float = 0.1,
    known: Seams | None = None,
    part: str = "",
) -> list[SightLine]:
    """Return all lines of a solid along `look`, hidden or not, within `tolerance` [mm].

    Lines along the seams that are `known` are left out where they are no outline; None adds all
    seams between faces that meet without an edge. GeometryError, naming `part`, when the kernel
    finds no line at all, or one that runs off the solid.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> box = BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()
    >>> len(outlines(box, Look((0.8, 0.6, 0.0), (0.0, 0.0, 1.0))))
    12
    """
    kinds = list(KINDS) if known is None else ["sharp", "outline"]
    found = _on_solid(shape, look, kinds, tolerance, part)
    if known is not None:
        toward = np.array(look.toward)
        found = [one for one in found if not known.hold(one.points, toward, tolerance)]
    if not found:
        raise GeometryError("it has no line to draw", part=part, step="view")
    return found


def _on_solid(
    shape: TopoDS_Shape, look: Look, kinds: list[str], tolerance: float, part: str
) -> list[SightLine]:
    """Return the lines of a solid, none of which leaves its box.

    Where a direction of sight lies in a face, the kernel may lay a spline with a pole kilometres
    off through an outline's points.
    """
    for angle in BESIDE:
        reader = _looked_at(shape, look.turned(angle))
        found = [SightLine(kind, pts) for kind in kinds for pts in _read(reader, kind, tolerance)]
        if not found or _within(loose_box(shape), found, tolerance):
            return found
    raise GeometryError("the kernel draws an outline that runs off it", part=part, step="view")


def _within(box: Box, lines: list[SightLine], give: float) -> bool:
    points = np.concatenate([line.points for line in lines])
    low, high = np.array(box.low) - give, np.array(box.high) + give
    return bool(np.all((points >= low) & (points <= high)))


def _looked_at(shape: TopoDS_Shape, look: Look) -> HLRBRep_HLRToShape:
    algorithm = HLRBRep_Algo()
    algorithm.Add(shape, 0)
    frame = gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*look.toward), gp_Dir(*look.right))
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    return HLRBRep_HLRToShape(algorithm)


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
