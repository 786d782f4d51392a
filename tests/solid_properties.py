"""Volume, area and centroid of a shape in one record, for tests that want all of them."""

from typing import NamedTuple

from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.properties import area, centroid, volume


class MassProperties(NamedTuple):
    """Volume [mm3], area [mm2], centroid [mm] of a shape, and the bounds on volume and area."""

    volume: float
    area: float
    centroid: Vec3
    volume_error: float
    area_error: float


def mass_properties(shape, eps=1e-8) -> MassProperties:
    """Return what a shape has; GeometryError when it can't be had."""
    inside, skin, middle = volume(shape, eps), area(shape, eps), centroid(shape, 100 * eps)
    return MassProperties(inside.value, skin.value, middle, inside.error, skin.error)
