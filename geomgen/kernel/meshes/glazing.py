"""What of a mesh bars the sight: all but what lies in the glass."""

from functools import lru_cache
from typing import Any

import numpy as np

from geomgen.kernel.plain import Glass
from geomgen.kernel.second_library import second_library

# So many are kept.
KEPT = 8
# The glass is cut out so far beyond the mesh [mm].
BEYOND = 10.0


@lru_cache(maxsize=KEPT)
def less_glass(hull: Any, glass: Glass | None) -> Any:
    """Return the second library's mesh without what lies between the glass's ends above its sill.

    Looks all round ask for the same ones: the last are kept.

    >>> block = second_library().Manifold.cube([100.0, 10.0, 20.0])
    >>> round(less_glass(block, Glass(10.0, 60.0, 15.0, 5.0)).volume())
    15000
    >>> less_glass(block, None) is block
    True
    """
    if glass is None:
        return hull
    low, high = np.array(hull.bounding_box()).reshape(2, 3)
    top = max(high[2], glass.fore_sill, glass.aft_sill) + BEYOND
    corners = [
        (x, y, z)
        for x, sill in ((glass.fore, glass.fore_sill), (glass.aft, glass.aft_sill))
        for y in (low[1] - BEYOND, high[1] + BEYOND)
        for z in (sill, top)
    ]
    return hull - second_library().Manifold.hull_points(np.array(corners))
