"""Plain solids stand for parts; their meshes are proven like those of real parts."""

from collections.abc import Callable

import pytest
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.interference.meeting import Body, body_of
from geomgen.kernel.meshing.proven import meshed

TOLERANCE = 0.1


def bodied(parts: dict[str, TopoDS_Shape], tolerance: float = TOLERANCE) -> dict[str, Body]:
    made = {name: meshed(solid, tolerance, part=name) for name, solid in parts.items()}
    return {n: body_of(parts[n], m.mesh, m.deviation.largest) for n, m in made.items()}


@pytest.fixture(scope="session")
def bodies() -> Callable[..., dict[str, Body]]:
    """Return a function that joins solids with proven meshes."""
    return bodied
