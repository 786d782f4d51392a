"""Every cut by a plane is asked for here, whatever is cut.

- `plane_cut`, `regions`: solids, by the kernel's boolean, proved; exact faces, and outlines within
  a chord of them. `clear_of_faces` moves a plane out of the faces that lie in it.
- `outlines`: one body with its mesh, some ten times as fast: exact rings with the bound of their
  area; None where the mesh does not settle it. `cut_body` and `outlined` are its two halves, for
  openings between several bodies.
- `mesh_rings`: a mesh, closed rings whose pieces know their triangles; as near as the mesh is.
- `MeshSlices`: the same at many levels, points only; `passed` any polygons.
- `along_wire`: the exact outline that a wire of the kernel's cut has.
- `cross_section`: a mesh of the second library, as its flat section.
- `edge_passes`, `nil_on_rows`: edges, and rows of an open skin, to the last digits.
"""

from geomgen.kernel.second_library import cross_section
from geomgen.kernel.sections.body_outlines import (
    BodyCut,
    Outlined,
    all_seen,
    alone,
    cut_body,
    outlined,
    outlines,
)
from geomgen.kernel.sections.exact_outline import ExactOutline, along_wire
from geomgen.kernel.sections.exact_rings import ROUNDED, Ring, summed
from geomgen.kernel.sections.mesh_rings import MeshRing, mesh_rings
from geomgen.kernel.sections.mesh_slices import MeshSlices, ends, passed
from geomgen.kernel.sections.passes import edge_passes, nil_on_rows
from geomgen.kernel.sections.plane_cut import (
    PlaneCut,
    Region,
    clear_of_faces,
    plane_cut,
    regions,
    shared,
)

__all__ = [
    "ROUNDED",
    "BodyCut",
    "ExactOutline",
    "MeshRing",
    "MeshSlices",
    "Outlined",
    "PlaneCut",
    "Region",
    "Ring",
    "all_seen",
    "alone",
    "along_wire",
    "clear_of_faces",
    "cross_section",
    "cut_body",
    "edge_passes",
    "ends",
    "mesh_rings",
    "nil_on_rows",
    "outlined",
    "outlines",
    "passed",
    "plane_cut",
    "regions",
    "shared",
    "summed",
]
