"""Where straight lines pass the skin of a solid that is loaded once."""

from OCP.gp import gp_Dir, gp_Lin, gp_Pnt
from OCP.IntCurvesFace import IntCurvesFace_ShapeIntersector
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.kernel.plain import Vec3


class LineCrossings:
    """The skin of a solid as straight lines pass it; a touch nearer than `grazing` counts."""

    def __init__(self, solid: TopoDS_Shape, grazing: float) -> None:
        self._lines = IntCurvesFace_ShapeIntersector()
        self._lines.Load(solid, grazing)

    def along(
        self, point: Vec3, way: Vec3, low: float, high: float
    ) -> list[tuple[float, TopoDS_Face]]:
        """Return how far [mm] from a point along a direction each face is passed, and the face.

        >>> from geomgen.kernel.brep.primitives import box
        >>> lines = LineCrossings(box((0, 0, 0), (1, 2, 3)), 1e-6)
        >>> sorted(round(far, 9) for far, _ in lines.along((0.5, 0.5, 1.0), (0, 0, 1), -9.0, 9.0))
        [-1.0, 2.0]
        """
        lines = self._lines
        lines.Perform(gp_Lin(gp_Pnt(*point), gp_Dir(*way)), low, high)
        return [(lines.WParameter(i), lines.Face(i)) for i in range(1, lines.NbPnt() + 1)]
