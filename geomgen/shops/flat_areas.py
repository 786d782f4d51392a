"""What flat areas have together or share, also where they are all but the same.

Two outlines that differ in the last digits only (the faces of a slab of a prismatic body) can have
nothing in common, or twice their area together, when they are laid over each other as they are.
"""

from collections.abc import Sequence
from functools import reduce

import shapely

# Corners are set on a grid of this width [mm]: far below any tolerance, far above the last digits.
SNAP = 1e-6


def united(areas: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """Return what lies in any of the areas.

    >>> united([shapely.box(0, 0, 2, 1), shapely.box(1, 0, 3, 1)]).area
    3.0
    """
    return shapely.union_all(list(areas), grid_size=SNAP)


def shared(areas: Sequence[shapely.Geometry]) -> shapely.Geometry:
    """Return what lies in all of the areas, of which there must be one at least.

    >>> shared([shapely.box(0, 0, 2, 1), shapely.box(1, 0, 3, 1)]).area
    1.0
    """
    return reduce(lambda one, other: shapely.intersection(one, other, grid_size=SNAP), areas)
