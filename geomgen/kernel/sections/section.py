"""Every cut by a plane is asked for here, whatever is cut.

- `plane_cut`, `regions`: solids, by the kernel's boolean, proved; exact faces, and outlines within
  a chord of them. `clear_of_faces` moves a plane out of the faces that lie in it.
- `faces_in_plane`: the faces that a solid itself has in a plane, without any cut.
- `outlines`: one body with its mesh, some ten times as fast: exact rings with the bound of their
  area; None where the mesh does not settle it. `cut_body` and `outlined` are its two halves, for
  openings between several bodies.
- `mesh_rings`: a closed mesh, the rings of its cut, as near as the mesh is.
- `MeshSlices`: a mesh at many levels, points only, as near as the mesh is; `passed` any polygons.
- `along_wire`: the exact outline that a wire of the kernel's cut has.
- `cross_section`: a mesh of the second library, as its flat section.
- `edge_passes`, `nil_on_rows`: edges, and rows of an open skin, to the last digits.
"""

from geomgen.kernel.second_library import cross_section as cross_section
from geomgen.kernel.sections.body_outlines import BodyCut as BodyCut
from geomgen.kernel.sections.body_outlines import Outlined as Outlined
from geomgen.kernel.sections.body_outlines import all_seen as all_seen
from geomgen.kernel.sections.body_outlines import alone as alone
from geomgen.kernel.sections.body_outlines import cut_body as cut_body
from geomgen.kernel.sections.body_outlines import outlined as outlined
from geomgen.kernel.sections.body_outlines import outlines as outlines
from geomgen.kernel.sections.exact_outline import ExactOutline as ExactOutline
from geomgen.kernel.sections.exact_outline import along_wire as along_wire
from geomgen.kernel.sections.exact_rings import ROUNDED as ROUNDED
from geomgen.kernel.sections.exact_rings import summed as summed
from geomgen.kernel.sections.mesh_rings import mesh_rings as mesh_rings
from geomgen.kernel.sections.mesh_slices import MeshSlices as MeshSlices
from geomgen.kernel.sections.mesh_slices import ends as ends
from geomgen.kernel.sections.mesh_slices import passed as passed
from geomgen.kernel.sections.own_faces import faces_in_plane as faces_in_plane
from geomgen.kernel.sections.passes import edge_passes as edge_passes
from geomgen.kernel.sections.passes import nil_on_rows as nil_on_rows
from geomgen.kernel.sections.plane_cut import CutRegion as CutRegion
from geomgen.kernel.sections.plane_cut import PlaneCut as PlaneCut
from geomgen.kernel.sections.plane_cut import clear_of_faces as clear_of_faces
from geomgen.kernel.sections.plane_cut import plane_cut as plane_cut
from geomgen.kernel.sections.plane_cut import regions as regions
from geomgen.kernel.sections.plane_cut import shared as shared
