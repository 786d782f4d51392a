"""A proven mesh with fewer triangles, for a screen: never further off than what is asked."""

import numpy as np

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.normals import shaded
from geomgen.kernel.second_library import hull_of, second_library


def simpler(mesh: Mesh, give: float, part: str = "") -> tuple[Floats, Ints]:
    """Return points (n, 3) [mm] and triangles (m, 3) that lie within `give` [mm] of a closed mesh.

    Points are doubled along sharp edges, so that a viewer that smooths over shared points keeps
    them sharp. GeometryError when the mesh is not closed.
    """
    body = hull_of(mesh)
    if body.status() != second_library().Error.NoError:
        raise GeometryError("its mesh is not closed", part=part, step="simplify")
    fewer = body.simplify(give).to_mesh64()
    vertices = np.asarray(fewer.vert_properties[:, :3], dtype=np.float64)
    made = shaded(vertices, np.asarray(fewer.tri_verts, dtype=np.int64), give, off=give)
    return made.points, made.triangles
