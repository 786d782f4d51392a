"""What the least of several gaps may be off, where each has a bound of its own."""

from collections.abc import Sequence

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
