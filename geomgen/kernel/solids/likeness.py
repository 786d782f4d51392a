"""Are two solids the same geometry? Told from points on all their edges and surfaces, quickly."""

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.arrays import Floats
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.meshing.edges import mapped, vertex_points

ALONG = (0.1, 0.3, 0.5, 0.7, 0.9)
ACROSS = (0.0, 0.23, 0.5, 0.77, 1.0)
# Parameters of unbounded surfaces; their edges say how far they are used.
FAR = 1e50


def likeness(shape: TopoDS_Shape) -> Floats:
    """Return points (n, 3) [mm] on all vertices, edges and spline surfaces, in the shape's order.

    >>> from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
    >>> likeness(BRepPrimAPI_MakeBox(1.0, 2.0, 3.0).Shape()).shape
    (68, 3)
    """
    numbers, found = mapped(shape, TopAbs_EDGE), []
    for i in range(1, numbers.Size() + 1):
        edge = TopoDS.Edge(numbers.FindKey(i))
        if not BRep_Tool.Degenerated_s(edge):
            curve = BRepAdaptor_Curve(edge)
            a, b = curve.FirstParameter(), curve.LastParameter()
            found += [curve.Value(a + share * (b - a)) for share in ALONG]
    for face in faces_of(shape):
        surface = BRep_Tool.Surface_s(face)
        u0, u1, v0, v1 = surface.Bounds()
        if max(abs(u0), abs(u1), abs(v0), abs(v1)) < FAR:
            found += [
                surface.Value(u0 + p * (u1 - u0), v0 + q * (v1 - v0))
                for p in ACROSS
                for q in ACROSS
            ]
    points = np.array([(p.X(), p.Y(), p.Z()) for p in found]).reshape(-1, 3)
    return np.concatenate([vertex_points(shape)[1], points])


def alike(a: Floats, b: Floats, within: float) -> bool:
    """Return whether two likenesses agree within a distance [mm] in every point.

    >>> alike(np.zeros((2, 3)), np.full((2, 3), 0.1), 0.01)
    False
    """
    return a.shape == b.shape and bool(np.all(np.abs(a - b) <= within))
