"""Whether a mesh can be that of a solid, told in no time from what it takes up of space."""

import numpy as np
from OCP.BRep import BRep_Tool
from OCP.TopAbs import TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.mesh import Mesh

# Places are exact to this [mm].
NOISE = 1e-6


def why_not_its_mesh(solid: TopoDS_Shape, mesh: Mesh, off: float) -> str:
    """Say why a mesh can't be a solid's that it is said to be `off` [mm] from; empty if it may be.

    All of it lies in the solid's box, all corners of the solid lie in its own, but for `off`. A
    small move of a body whose loose box is wide (a torus) is not seen.

    >>> from dataclasses import replace
    >>> from geomgen.kernel.meshing.proven import mesh
    >>> from geomgen.kernel.brep.primitives import box
    >>> cube = box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    >>> made = mesh(cube, 0.1)
    >>> why_not_its_mesh(cube, made, 0.1)
    ''
    >>> why_not_its_mesh(cube, replace(made, vertices=made.vertices + 1.0), 0.1)
    "it lies beside its solid: it is another part's, moved, or in another unit"
    """
    box, slack = loose_box(solid), off + NOISE
    low, high = np.array(box.low) - slack, np.array(box.high) + slack
    inside = bool(np.all((mesh.vertices >= low) & (mesh.vertices <= high)))
    if not inside or not _holds_corners(solid, mesh, slack):
        return "it lies beside its solid: it is another part's, moved, or in another unit"
    return "" if mesh.volume > 0.0 else "it is inside out"


def _holds_corners(solid: TopoDS_Shape, mesh: Mesh, slack: float) -> bool:
    low, high = mesh.vertices.min(axis=0) - slack, mesh.vertices.max(axis=0) + slack
    search = TopExp_Explorer(solid, TopAbs_VERTEX)
    while search.More():
        corner = TopoDS.Vertex(search.Current())
        p, room = BRep_Tool.Pnt_s(corner), BRep_Tool.Tolerance_s(corner)
        at = np.array([p.X(), p.Y(), p.Z()])
        if np.any(at < low - room) or np.any(at > high + room):
            return False
        search.Next()
    return True
