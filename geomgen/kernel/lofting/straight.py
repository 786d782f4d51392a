"""Solids between flat polygons, straight from each corner to its fellow in the next polygon."""

from collections.abc import Sequence

from OCP.BRepBuilderAPI import BRepBuilderAPI_MakePolygon
from OCP.BRepOffsetAPI import BRepOffsetAPI_ThruSections
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Solid, TopoDS_Wire

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.solids.booleans import solids_of, volume
from geomgen.kernel.solids.validity import require_valid


def straight_solid(polygons: Sequence[Floats], part: str) -> TopoDS_Solid:
    """Return the solid through polygons (k, 3) [mm] of equally many corners, in their order.

    Raises GeometryError when the kernel makes no sound solid of them.

    >>> import numpy as np
    >>> square = np.array([[0.0, 0, 0], [2, 0, 0], [2, 0, 2], [0, 0, 2]])
    >>> round(volume(straight_solid([square, square + [0.0, 5, 0]], "bar")), 6)
    20.0
    """
    maker = BRepOffsetAPI_ThruSections(True, True)
    maker.CheckCompatibility(False)
    for corners in polygons:
        maker.AddWire(_ring(corners))
    maker.Build()
    found = solids_of(maker.Shape()) if maker.IsDone() else []
    if len(found) != 1:
        raise GeometryError("the kernel makes no solid of its sections", part=part, step="sections")
    require_valid(found[0], part, "sections")
    if volume(found[0]) <= 0.0:
        raise GeometryError("its solid is inside out", part=part, step="sections")
    return found[0]


def _ring(corners: Floats) -> TopoDS_Wire:
    ring = BRepBuilderAPI_MakePolygon()
    for x, y, z in corners.tolist():
        ring.Add(gp_Pnt(x, y, z))
    ring.Close()
    return ring.Wire()
