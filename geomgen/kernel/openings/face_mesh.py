"""Triangles of a plane face, to fill it on a picture or a page; held to its exact area."""

import numpy as np
from OCP.TopoDS import TopoDS_Face

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import cross
from geomgen.kernel.meshing.kernel_mesher import kernel_mesh

ANGULAR = 0.2
# The triangles may miss this share of the face.
MISSED = 2e-3


def face_triangles(face: TopoDS_Face, area: float, sag: float = 0.05) -> tuple[Floats, Ints]:
    """Return vertices (n, 3) [mm] and triangles (m, 3) of a plane face whose `area` [mm2] is known.

    GeometryError when the kernel can't mesh it or the triangles don't add up to the area.

    >>> from geomgen.kernel.openings.window import window
    >>> from geomgen.kernel.plain import Plane
    >>> square = window(Plane((0, 0, 0), (1, 0, 0)), (0.0, 0.0, 0.0), 5.0)
    >>> vertices, triangles = face_triangles(square, 100.0)
    >>> vertices.shape, triangles.shape
    ((4, 3), (2, 3))
    """
    mesh = kernel_mesh(face, sag, sag, ANGULAR)
    corners = mesh.corners
    doubled = cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    filled = 0.5 * float(np.linalg.norm(doubled, axis=1).sum())
    if abs(filled - area) > MISSED * area:
        raise GeometryError(
            f"the triangles of a section fill {filled:.1f} mm^2 of {area:.1f}", step="opening"
        )
    return mesh.vertices, mesh.triangles
