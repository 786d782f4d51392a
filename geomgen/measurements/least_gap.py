"""The least of several gaps: what it may be off, and which of them need be looked at for it."""

from collections.abc import Iterable, Mapping, Sequence
from math import inf

# Gaps of equal parts on both sides differ by the rounding of a computer [mm].
ROUNDING = 1e-9


def bound_of_least(gaps: Sequence[tuple[float, float]]) -> float:
    """Return the bound of the least of gaps with bounds, both [mm]: another may be nearer still.

    >>> bound_of_least([(9.0, 3.0), (8.0, 1.0)]), bound_of_least([(9.0, 1.5), (8.0, 1.0)])
    (2.0, 1.0)
    """
    gap, bound = min(gaps)
    most = gap - min(each - own for each, own in gaps)
    return most if most > bound + ROUNDING else bound


def before_each(offs: Mapping[str, float], always: float) -> dict[str, tuple[str, ...]]:
    """Return by name, the nearest first, which gaps are to be known before one is looked at.

    `offs` say how far off [mm] each is at least, by boxes. None comes before those within `always`
    [mm]: they are looked at in any case. All else waits, so that what is told as the least does not
    hang on how loose the boxes are.

    >>> before_each({"far": 90.0, "near": 3.0, "next": 8.0}, 10.0)
    {'near': (), 'next': (), 'far': ('near', 'next')}
    """
    order = sorted(offs, key=lambda name: (offs[name], name))
    return {name: tuple(order[:k]) if offs[name] > always else () for k, name in enumerate(order)}


def may_be_nearest(off: float, known: Iterable[tuple[float, float]]) -> bool:
    """Say whether what is `off` [mm] at least may be nearer than the least of gaps with bounds.

    >>> may_be_nearest(9.0, [(8.5, 1.0)]), may_be_nearest(9.6, [(8.5, 1.0)])
    (True, False)
    """
    return off <= min((gap + bound for gap, bound in known), default=inf)
