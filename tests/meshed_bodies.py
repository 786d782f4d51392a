"""Solids with their own proven meshes, and rings of them, for tests of what is told from meshes."""

from geomgen.kernel.interference.meeting import body_of
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.sections.exact_rings import ExactCut
from geomgen.kernel.sections.mesh_rings import mesh_rings


def body(solid, tolerance=0.1):
    made = meshed(solid, tolerance)
    return body_of(solid, made.mesh, made.deviation.largest)


def rings(one, frame):
    seen = ExactCut(one, frame)
    return [seen.ring(ring) for ring in mesh_rings(one.mesh, frame)]
