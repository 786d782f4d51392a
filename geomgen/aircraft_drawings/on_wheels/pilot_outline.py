"""The pilot's outline as he is seen from a side: all his limbs in one shadow."""

from collections.abc import Sequence

import shapely

from geomgen.drafting.arcs import fitted
from geomgen.drafting.record import HIDDEN, Path
from geomgen.kernel.plain import Limb
from geomgen.kernel.visibility.look import Look

# What he sweeps, and where his head may lean to, are not himself.
APART = ("reach", "head leant")
# Chords to a quarter of a ball, and what lines and arcs through them may add [mm].
QUARTER, FIT = 16, 0.3


def pilot_outline(limbs: Sequence[Limb], look: Look) -> tuple[Path, ...]:
    """Return the outline [mm of the view] of rods with round ends; nothing where there are none.

    >>> look = Look((1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    >>> arm = Limb("arm", (0.0, 0.0, 0.0), (100.0, 0.0, 0.0), 20.0, 20.0)
    >>> (outline,) = pilot_outline([arm], look)
    >>> round(abs(outline.area()) / (4000 + 3.1416 * 400), 2)
    1.0
    """
    own = [limb for limb in limbs if not limb.name.startswith(APART)]
    whole = shapely.union_all([_rod(limb, look) for limb in own])
    pieces = [piece for piece in shapely.get_parts(whole) if not piece.is_empty]
    return tuple(fitted(one.exterior.coords, FIT, True, (), HIDDEN, "pilot") for one in pieces)


def _rod(limb: Limb, look: Look) -> shapely.Geometry:
    ends = ((limb.start, limb.start_radius), (limb.end, limb.end_radius))
    balls = [shapely.Point(look.flat(at)).buffer(radius, QUARTER) for at, radius in ends]
    return shapely.convex_hull(shapely.union_all(balls))
