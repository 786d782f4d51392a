"""Which variants need exact figures after first answers: those that decide what a study says."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from geomgen.studies.best import Sense, beaten, non_dominated
from geomgen.studies.row import VariantOutcome
from geomgen.sweeping.figures import axes_of, weighed_senses
from geomgen.sweeping.names import figures_known, meant
from geomgen.sweeping.plan import SweepPlan

if TYPE_CHECKING:
    from geomgen.arrays import Floats


# So many are due together while one that passes is looked for: own choice. Which rows are exact
# must not hang on how many workers there are.
TOGETHER = 4


def due_exactly(plan: SweepPlan, outcomes: Sequence[VariantOutcome]) -> tuple[int, ...]:
    """Return the places of the variants whose exact figures are due next; none at the end.

    First those that no first answer tells of, those near a limit that decides, and those without a
    figure that was asked for. Then, until none is left, those that may be best compromises: no
    exact one that passes is surely as good in all that is weighed, and better in one. Where
    nothing is weighed, a few at a time, until one passes.
    """
    left = [place for place, outcome in enumerate(outcomes) if not outcome.exact]
    asked = tuple(_asked(plan, plan.axes)), tuple(_asked(plan, plan.senses))
    found = [place for place in left if _told_too_little(outcomes[place], *asked)]
    # What fails whatever waits can't be chosen.
    open_ = [place for place in left if not outcomes[place].failing]
    if found or not open_:
        return tuple(found)
    axes = axes_of(plan, outcomes)
    senses = weighed_senses(plan, axes, outcomes)
    if not senses:
        passes = any(outcome.passed for outcome in outcomes)
        return () if passes else tuple(open_[:TOGETHER])
    return _may_be_best(outcomes, open_, senses)


def _asked(plan: SweepPlan, names: Iterable[str]) -> Iterator[str]:
    """Yield the figures that names stand for, as targets call them."""
    known = figures_known(plan.base, plan.varies)
    for name in names:
        yield from (id_ for id_ in meant(name, known) if not id_.startswith("set "))


def _told_too_little(outcome: VariantOutcome, shown: Sequence[str], weighed: Sequence[str]) -> bool:
    if outcome.status != "built":
        return True
    told = [check.id for check in outcome.checks if check.measured is not None]
    if not all(_among(id_, told) for id_ in shown):
        return True
    if outcome.failing:
        return False
    near = set(told).intersection(outcome.waiting)
    return bool(near) or not all(_among(id_, told) for id_ in weighed)


def _among(id_: str, told: Sequence[str]) -> bool:
    """Say whether a figure, or one of a family, is told.

    >>> _among("duct.turn_angle.*", ["duct.turn_angle.left"]), _among("duct", ["duct.turn_angle"])
    (True, False)
    """
    stem = id_.removesuffix("*")
    return id_ in told or (stem != id_ and any(own.startswith(stem) for own in told))


def _may_be_best(
    outcomes: Sequence[VariantOutcome], open_: Sequence[int], senses: dict[str, Sense]
) -> tuple[int, ...]:
    """Return those of open variants that may be best, as far as can be told: not all at once."""
    passing = [outcome for outcome in outcomes if outcome.exact and outcome.passed]
    values, bounds = _figures([outcomes[place] for place in open_], senses)
    left = ~beaten((values, bounds), _figures(passing, senses))
    rest = [place for place, is_left in zip(open_, left, strict=True) if is_left]
    flags = non_dominated(values[left].tolist(), ["low"] * len(senses))
    first = [place for place, flag in zip(rest, flags, strict=True) if flag]
    return tuple(first or rest)


def _figures(
    outcomes: Sequence[VariantOutcome], senses: dict[str, Sense]
) -> "tuple[Floats, Floats]":
    """Return figures so that low is good, nan where there is none, and their bounds."""
    import numpy as np

    signs = [1.0 if sense == "low" else -1.0 for sense in senses.values()]
    values = np.full((len(outcomes), len(senses)), np.nan)
    bounds = np.zeros_like(values)
    for i, outcome in enumerate(outcomes):
        known = {check.id: check for check in outcome.checks}
        for k, (id_, sign) in enumerate(zip(senses, signs, strict=True)):
            check = known.get(id_)
            if check is not None and check.measured is not None:
                values[i, k] = sign * check.measured
                bounds[i, k] = check.error_bound or 0.0
    return values, bounds
