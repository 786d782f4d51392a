"""Solids between flat polygons, straight from each corner to its fellow in the next polygon."""

from collections.abc import Sequence

import numpy as np
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
from OCP.BRepFill import BRepFill
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.plates import flat_face
from geomgen.kernel.lofting.sewing import sew
from geomgen.kernel.solids.booleans import volume
from geomgen.kernel.solids.validity import require_valid

# Corners so near a plane lie in it [mm].
FLAT = 5e-8


def straight_solid(polygons: Sequence[Floats], part: str) -> TopoDS_Solid:
    """Return the solid through polygons (k, 3) [mm] of equally many corners, in their order.

    Sides that go on in one plane past a polygon are one face: a hole cut through a seam between
    two comes back faulty. Raises GeometryError when the kernel makes no sound solid of them.

    >>> import numpy as np
    >>> square = np.array([[0.0, 0, 0], [2, 0, 0], [2, 0, 2], [0, 0, 2]])
    >>> round(volume(straight_solid([square, square + [0.0, 5, 0]], "bar")), 6)
    20.0
    """
    corners = np.array(polygons, dtype=float)
    faces = [flat_face(end.tolist()) for end in (corners[0], corners[-1])]
    for strip in np.stack([corners, np.roll(corners, -1, axis=1)], axis=2).swapaxes(0, 1):
        faces += _faces_along(strip)
    solid = sew(list(faces), part)
    require_valid(solid, part, "sections")
    if volume(solid) <= 0.0:
        raise GeometryError("its solid is inside out", part=part, step="sections")
    return solid


def _faces_along(strip: Floats) -> list[TopoDS_Face]:
    """Return the faces through cross lines (n, 2, 3) [mm], as few as lie in planes."""
    found, low = [], 0
    while low < len(strip) - 1:
        high = low + 1
        while high < len(strip) - 1 and _lies_flat(strip[low : high + 2]):
            high += 1
        run = strip[low : high + 1]
        ring = [*run[:, 0].tolist(), *run[::-1, 1].tolist()]
        found.append(
            flat_face(ring)
            if _lies_flat(run)
            else BRepFill.Face_s(_edge(run[0]), _edge(run[1]))
        )  # fmt: skip
        low = high
    return found


def _lies_flat(run: Floats) -> bool:
    """Say whether cross lines (n, 2, 3) [mm] lie in the plane of the first and the last one."""
    across, away = run[-1, 1] - run[0, 0], run[-1, 0] - run[0, 1]
    normal = np.cross(across, away)
    off = (run.reshape(-1, 3) - run[0, 0]) @ (normal / np.linalg.norm(normal))
    return bool(np.abs(off).max() < FLAT)


def _edge(line: Floats) -> TopoDS_Edge:
    a, b = line.tolist()
    return BRepBuilderAPI_MakeEdge(gp_Pnt(*a), gp_Pnt(*b)).Edge()
