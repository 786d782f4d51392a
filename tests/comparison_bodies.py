"""A plain machine for the tests: a pod, two booms, a wing, as meshes."""

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshing.proven import mesh


def machine(buttock_line=780.0, span=8000.0, radius=250.0):
    """Return meshes by name; the arguments are what the tests change [mm]."""
    solids = {
        "pod": cylinder((0.0, 0.0, 800.0), (1.0, 0.0, 0.0), radius, 2900.0),
        "wing": box((1300.0, -span / 2, 1300.0), (2400.0, span / 2, 1420.0)),
        "boom_right": cylinder((1600.0, buttock_line, 1280.0), (1.0, 0.0, 0.0), 45.0, 3200.0),
        "boom_left": cylinder((1600.0, -buttock_line, 1280.0), (1.0, 0.0, 0.0), 45.0, 3200.0),
    }
    return {name: mesh(solid, 0.1) for name, solid in solids.items()}
