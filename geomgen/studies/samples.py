"""A sample of N variants that fills the ranges, instead of every combination.

Sobol's sequence (scrambled by Owen's way) where N is a power of two, for which it is balanced;
Halton's, scrambled, otherwise. Both as scipy.stats.qmc makes them; the seed is part of the answer.
"""

from collections.abc import Sequence

from geomgen.errors import ParameterError
from geomgen.studies.vary import MOST_VARIANTS, Variant, Vary, too_many


def sample(varies: Sequence[Vary], many: int, seed: int = 0) -> tuple[Variant, ...]:
    """Return up to `many` different variants: points in the ranges, items of the lists.

    The same seed gives the same variants. Points that fall together, as they must where there are
    fewer combinations than points, count once. ParameterError when `many` is not from 1 to 20,000,
    and for a seed below 0.

    >>> from geomgen.studies.vary import varies_of
    >>> tables = {"firewall": {}}
    >>> asked = varies_of(["firewall.station=1.8m:2m", "firewall.gap=1 mm,2 mm"], tables, True)
    >>> len(sample(asked, 8)), sample(asked, 8) == sample(asked, 8), sample(asked, 8, 1) == sample(
    ...     asked, 8)
    (8, True, False)
    """
    if many > MOST_VARIANTS:
        raise too_many(many)
    if seed < 0:
        raise _refused("--seed", "not a seed", seed, "a whole number from 0 on")
    if many < 1:
        raise _refused("--samples", "not a number of samples", many, f"from 1 to {MOST_VARIANTS}")
    rows = dict.fromkeys(
        tuple(vary.at(float(share)) for vary, share in zip(varies, point, strict=True))
        for point in shares(len(varies), many, seed)
    )
    return tuple(Variant(number, row) for number, row in enumerate(rows, 1))


def _refused(option: str, problem: str, written: int, allowed: str) -> ParameterError:
    return ParameterError(problem, file=option, written=str(written), allowed=allowed)


def design_of(many: int) -> str:
    """Return the name of the sequence that a sample of so many is taken from.

    >>> design_of(64), design_of(50)
    ('Sobol', 'Halton')
    """
    return "Sobol" if many & (many - 1) == 0 else "Halton"


def shares(keys: int, many: int, seed: int) -> list[list[float]]:
    """Return `many` points [1] of the unit cube of `keys` dimensions, spread evenly."""
    from scipy.stats import qmc

    maker = qmc.Sobol if design_of(many) == "Sobol" else qmc.Halton
    points: list[list[float]] = maker(keys, scramble=True, rng=seed).random(many).tolist()
    return points
