"""The curve of an edge: its parameters, points on it one by one."""

import numpy as np
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopoDS import TopoDS_Edge

from geomgen.arrays import Floats
from geomgen.kernel.plain import Vec3

HALVINGS = 12


class EdgeCurve:
    """An edge's curve from `first` to `last`; `backward` where the edge runs against it.

    >>> from geomgen.kernel.brep.primitives import box
    >>> from geomgen.kernel.solids.probing import edges_in
    >>> curve = EdgeCurve(edges_in(box((0, 0, 0), (2, 2, 2)))[0])
    >>> curve.last - curve.first, len(curve.points(curve.even(5)))
    (2.0, 5)
    """

    def __init__(self, edge: TopoDS_Edge) -> None:
        self._curve = BRepAdaptor_Curve(edge)
        self.first = float(self._curve.FirstParameter())
        self.last = float(self._curve.LastParameter())
        self.backward = bool(edge.Orientation() == TopAbs_REVERSED)

    def at(self, parameter: float) -> Vec3:
        """Return the point [mm] at a parameter."""
        point = self._curve.Value(parameter)
        return (point.X(), point.Y(), point.Z())

    def points(self, parameters: Floats) -> Floats:
        """Return the points (n, 3) [mm] at parameters (n,)."""
        return np.array([self.at(at) for at in parameters.tolist()]).reshape(-1, 3)

    def even(self, count: int) -> Floats:
        """Return parameters (count,) [mm, rad or 1 by kind], spread evenly over the edge."""
        return np.linspace(self.first, self.last, count)

    def near(self, chord: float, count: int) -> Floats:
        """Return points (n, 3) along the edge, so close that chords keep within `chord` [mm] of it.

        `count` of them are spread evenly to begin with; a chord is halved HALVINGS times at most.

        >>> from geomgen.kernel.brep.primitives import cylinder
        >>> from geomgen.kernel.solids.probing import edges_in
        >>> edges = edges_in(cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 50.0, 20.0))
        >>> sorted(len(EdgeCurve(edge).near(0.01, 9)) for edge in edges)[::3]
        [9, 257]
        """
        at = self.even(count)
        points = self.points(at)
        for _ in range(HALVINGS):
            middles = 0.5 * (at[:-1] + at[1:])
            between = self.points(middles)
            off = np.linalg.norm(between - 0.5 * (points[:-1] + points[1:]), axis=1)
            wide = np.flatnonzero(off > chord)
            if not len(wide):
                break
            at = np.insert(at, wide + 1, middles[wide])
            points = np.insert(points, wide + 1, between[wide], axis=0)
        return points
