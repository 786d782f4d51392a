"""Edges at which two faces meet smoothly, and lines of a view that are nothing but such seams.

The kernel gives a seam as a sharp edge wherever it believes that the outline runs along it. A boom
seen from the nose got a line along its keel that way, though the skin there leans and is round.
"""

from dataclasses import dataclass

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.GCPnts import GCPnts_TangentialDeflection
from OCP.GeomAbs import GeomAbs_C0
from OCP.gp import gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from geomgen.arrays import Floats

# A curve turns no further than this between samples [rad].
TURN = 0.2
# An outline runs along a seam where the skin, turned about the seam by no more than this [sine],
# is seen edge on; beyond that the true outline stands clear of the seam.
EDGE_ON = 0.5


@dataclass(frozen=True)
class Seam:
    """A smooth edge through points (n, 3) [mm] with the unit normals (n, 3) of the skin there."""

    points: Floats
    normals: Floats


class Seams:
    """The smooth edges of a solid, ready to be asked what is one of them."""

    def __init__(self, found: list[Seam]) -> None:
        self.found = found
        none = np.zeros((0, 3))
        self._low = np.array([seam.points.min(axis=0) for seam in found] or none)
        self._high = np.array([seam.points.max(axis=0) for seam in found] or none)

    def hold(self, line: Floats, toward: Floats, tolerance: float) -> bool:
        """Say whether a line (n, 3) [mm] runs along a seam and is no outline towards the eye."""
        low, high = line.min(axis=0) + tolerance, line.max(axis=0) - tolerance
        near = np.all(self._low <= low, axis=1) & np.all(self._high >= high, axis=1)
        for place in np.flatnonzero(near).tolist():
            seam = self.found[place]
            off, nearest = _to_polyline(line, seam.points)
            if np.all(off <= tolerance):
                return bool(np.median(_leaning(seam, toward)[nearest]) > EDGE_ON)
        return False


def seams(shape: TopoDS_Shape, tolerance: float = 0.1) -> Seams:
    """Return the edges of a shape at which its faces meet smoothly, within `tolerance` [mm].

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> seams(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()).found
    []
    """
    beside = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(shape, TopAbs_EDGE, TopAbs_FACE, beside)
    found = []
    for number in range(1, beside.Size() + 1):
        edge = TopoDS.Edge(beside.FindKey(number))
        faces = [TopoDS.Face(face) for face in beside.FindFromIndex(number)]
        if len(faces) != 2 or BRep_Tool.Degenerated_s(edge):
            continue
        if BRep_Tool.Continuity_s(edge, faces[0], faces[1]) != GeomAbs_C0:
            found.append(_seam(edge, faces[0], tolerance))
    return Seams(found)


def _seam(edge: TopoDS_Edge, face: TopoDS_Face, tolerance: float) -> Seam:
    curve, surface = BRepAdaptor_Curve(edge), BRepAdaptor_Surface(face)
    samples = GCPnts_TangentialDeflection(curve, TURN, 0.5 * tolerance)
    points, normals = [], []
    flat = BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 0.0)
    for number in range(1, samples.NbPoints() + 1):
        spot = flat.Value(samples.Parameter(number))
        at, along_u, along_v = gp_Pnt(), gp_Vec(), gp_Vec()
        surface.D1(spot.X(), spot.Y(), at, along_u, along_v)
        across = along_u.Crossed(along_v)
        size = max(across.Magnitude(), 1e-300)
        points.append(samples.Value(number).Coord())
        normals.append((across.X() / size, across.Y() / size, across.Z() / size))
    return Seam(np.array(points), np.array(normals))


def _leaning(seam: Seam, toward: Floats) -> Floats:
    """Return the sine (n,) by which the skin is off being seen edge on, across the seam."""
    ahead = np.gradient(seam.points, axis=0)
    ahead /= np.maximum(np.linalg.norm(ahead, axis=1), 1e-300)[:, None]
    across = toward - (ahead @ toward)[:, None] * ahead
    size = np.maximum(np.linalg.norm(across, axis=1), 1e-9)
    return np.asarray(np.abs((seam.normals * across).sum(axis=1)) / size)


def _to_polyline(points: Floats, line: Floats) -> tuple[Floats, np.ndarray]:
    """Return the distance of points (n, 3) to a polyline (m, 3), and the nearest of its points."""
    start, ahead = line[:-1], np.diff(line, axis=0)
    square = np.maximum((ahead**2).sum(axis=1), 1e-300)
    share = np.clip(((points[:, None] - start) * ahead).sum(axis=2) / square, 0.0, 1.0)
    off = np.linalg.norm(start + share[..., None] * ahead - points[:, None], axis=2)
    place = off.argmin(axis=1)
    rows = np.arange(len(points))
    return off[rows, place], place + (share[rows, place] > 0.5)
