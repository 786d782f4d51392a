"""Which figures of a study are looked at, and which variants are the best compromises."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import groupby

from geomgen.studies.best import Sense, non_dominated, sense_of
from geomgen.studies.row import VariantOutcome
from geomgen.sweeping.plan import SweepPlan
from geomgen.verdicts.check import Check

# A figure that changes by less than this share of itself is shown first only when asked for.
LITTLE = 1e-3
# Below this share of a number a difference is the rounding of a computer.
ROUNDING = 1e-9
# Whether meshes, joints and entries of the file are in order is met or not: more of it makes no
# better machine. By itself it is not weighed, and not shown first.
IN_ORDER = ("mesh.", "parts.", "mass.flown", "mass.engine", "mass.propeller")
MASS, LOADS = "kg", "gear."
MOST = 3


@dataclass(frozen=True)
class FigureAxis:
    """A figure or varied number of all variants: id, words, unit, values in the order asked.

    `sense` says which way is good, None where neither is; `judged` that a limit decides on it;
    `varied` that it is a key of the study. `bound` [unit] is how far a value may be off.
    """

    id: str
    what: str
    unit: str
    values: tuple[float | None, ...]
    sense: Sense | None = None
    judged: bool = False
    varied: bool = False
    bound: float = 0.0

    @cached_property
    def known(self) -> list[float]:
        """The values [unit] of the variants that have one."""
        return [value for value in self.values if value is not None]

    @property
    def spread(self) -> float:
        """How much it changes, as a share [1] of its largest size."""
        if len(self.known) < 2:
            return 0.0
        return (max(self.known) - min(self.known)) / max(max(map(abs, self.known)), 1e-12)

    @cached_property
    def hair(self) -> float:
        """The difference [unit] up to which two values are the same, as far as can be told."""
        return max(self.bound, ROUNDING * max(map(abs, self.known), default=0.0))

    @property
    def differs(self) -> bool:
        """Whether it tells variants apart."""
        return bool(self.known) and max(self.known) - min(self.known) > self.hair

    @property
    def is_mass(self) -> bool:
        """Whether it is the mass of something, not a load on wheels that is told as one."""
        return self.unit == MASS and not self.id.startswith(LOADS)

    @property
    def counts(self) -> bool:
        """Whether it is worth a look by itself: it differs, and it is a margin or a mass."""
        of_the_machine = not self.id.startswith(IN_ORDER)
        told = self.judged or (self.is_mass and not self.varied)
        return told and of_the_machine and self.differs and self.spread > LITTLE

    def moves_with(self, other: "FigureAxis") -> bool:
        """Tell whether no variant is better in one of the two and worse in the other.

        >>> light = FigureAxis("m", "", "kg", (1.0, 2.0, 3.0), "low")
        >>> light.moves_with(FigureAxis("a", "", "mm", (9.0, 8.0, 7.0), "high"))
        True
        >>> light.moves_with(FigureAxis("b", "", "mm", (7.0, 8.0, 9.0), "high"))
        False
        """
        pairs = sorted(
            (a, b)
            for a, b in zip(self._goodness(), other._goodness(), strict=True)
            if a is not None and b is not None
        )
        best = -math.inf
        for _, level in groupby(pairs, key=lambda pair: pair[0]):
            second = [b for _, b in level]
            if second[0] < best:
                return False
            best = max(best, second[-1])
        return True

    def _goodness(self) -> list[float | None]:
        way = -1.0 if self.sense == "low" else 1.0
        return [None if value is None else way * value for value in self.levels()]

    def like(self, other: "FigureAxis") -> bool:
        """Tell whether it has the same values as another, as far as can be told."""
        hair = max(self.hair, other.hair)
        pairs = zip(self.values, other.values, strict=True)
        return all(
            a is b or (a is not None and b is not None and abs(a - b) <= hair) for a, b in pairs
        )

    def levels(self) -> tuple[float | None, ...]:
        """Return the values [unit], those not told from a smaller one as that smaller one.

        >>> FigureAxis("a", "", "mm", (3.0, 1.0, None, 1.005), bound=0.01).levels()
        (3.0, 1.0, None, 1.0)
        """
        level: dict[float, float] = {}
        low, hair = -math.inf, self.hair
        for value in sorted(self.known):
            low = low if value - low <= hair else value
            level[value] = low
        return tuple(None if value is None else level[value] for value in self.values)


@dataclass(frozen=True)
class Best:
    """The best compromises: what was weighed, which way is good, the numbers of the variants.

    `absent` are names that were asked for, to weigh or to show, and that no variant has.
    """

    senses: Mapping[str, Sense]
    numbers: tuple[int, ...]
    absent: tuple[str, ...] = ()


def axes_of(plan: SweepPlan, outcomes: Sequence[VariantOutcome]) -> dict[str, FigureAxis]:
    """Return every varied number and every measured figure, by id."""
    found: dict[str, FigureAxis] = {}
    for i, vary in enumerate(plan.varies):
        if vary.key.dimension is not None:
            values = tuple(variant.values[i].number for variant in plan.variants)
            name, unit = vary.key.as_set, vary.key.unit or "1"
            found[name] = FigureAxis(name, vary.key.words, unit, values, varied=True)
    first: dict[str, Check] = {}
    columns: dict[str, list[float | None]] = {}
    bounds: dict[str, float] = {}
    for i, outcome in enumerate(outcomes):
        for check in outcome.checks:
            if check.comparison == "one of":
                continue
            id_ = check.id
            if id_ not in columns:
                first[id_], columns[id_], bounds[id_] = check, [None] * len(outcomes), 0.0
            columns[id_][i] = check.measured
            if check.error_bound is not None and check.error_bound > bounds[id_]:
                bounds[id_] = check.error_bound
    for id_, check in first.items():
        measured, bound = tuple(columns[id_]), bounds[id_]
        judged = check.comparison != "none" and check.binding
        sense = sense_of(check.comparison) or ("low" if check.unit == MASS else None)
        found[id_] = FigureAxis(id_, check.what, check.unit, measured, sense, judged, bound=bound)
    return found


def named(name: str, axes: Mapping[str, FigureAxis]) -> list[str]:
    """Return the ids that a name stands for: a figure, a varied key, or a family of figures.

    >>> named("duct.turn_angle", {"duct.turn_angle.left": None, "duct.turn_angle.right": None})
    ['duct.turn_angle.left', 'duct.turn_angle.right']
    >>> named("wing.incidence", {"set wing.incidence": None, "wing.area": None})
    ['set wing.incidence']
    """
    for whole in (name, f"set {name}"):
        if whole in axes:
            return [whole]
    return [id_ for id_ in axes if id_.startswith(f"{name}.")]


def chosen_axes(plan: SweepPlan, axes: Mapping[str, FigureAxis]) -> tuple[str, ...]:
    """Return the two or three axes to show first: those asked for, else a sensible choice.

    Of a family the first member is shown. A sensible choice is what is weighed, then the judged
    figures that change most, no two of the same values, then varied keys; what does not differ only
    to have two.
    """
    asked = [id_ for name in plan.axes for id_ in named(name, axes)[:1]]
    if len(asked) >= 2:
        return tuple(asked)
    traded = weighed(axes)
    others = [a for a in axes.values() if a.counts and a not in traded]
    others.sort(key=lambda axis: (axis.sense is None, -axis.spread))
    figures = [*traded, *others]
    varied = [axis for axis in axes.values() if axis.varied and axis.differs]
    picked: list[FigureAxis] = []
    for axis in [*figures, *varied]:
        if len(picked) < 3 and not any(axis.like(other) for other in picked):
            picked.append(axis)
    rest = [axis for axis in axes.values() if axis not in picked]
    rest.sort(key=lambda axis: not axis.differs)
    return tuple(axis.id for axis in [*picked, *rest[: max(0, 2 - len(picked))]])


def weighed(axes: Mapping[str, FigureAxis]) -> list[FigureAxis]:
    """Return the masses and margins that are at odds, at most three: the largest changes first.

    Of figures that get better together one stands for all, a mass before a margin.
    """
    pool = [axis for axis in axes.values() if axis.counts and axis.sense is not None]
    pool.sort(key=lambda axis: (not axis.is_mass, -axis.spread))
    kept: list[FigureAxis] = []
    for axis in pool:
        if len(kept) < MOST and not any(axis.moves_with(other) for other in kept):
            kept.append(axis)
    return kept


def weighed_senses(
    plan: SweepPlan, axes: Mapping[str, FigureAxis], outcomes: Sequence[VariantOutcome]
) -> dict[str, Sense]:
    """Return what is weighed, and which way is good: what `--best` names, else what is at odds.

    By itself nothing is weighed that some variant has no figure of only because it waits.
    """
    if plan.senses:
        senses: dict[str, Sense] = {}
        for name, way in plan.senses.items():
            senses |= dict.fromkeys(named(name, axes), way)
        return senses
    first = [i for i, outcome in enumerate(outcomes) if outcome.checks and not outcome.exact]
    told = {
        id_: axis for id_, axis in axes.items() if all(axis.values[i] is not None for i in first)
    }
    return {axis.id: axis.sense for axis in weighed(told) if axis.sense is not None}


def best_of(plan: SweepPlan, outcomes: Sequence[VariantOutcome]) -> Best:
    """Return the best compromises among the variants that passed all their checks.

    Weighed is what `--best` names, of a family all members, else the masses and margins that are at
    odds. A difference that is smaller than what a figure may be off counts as none. First answers
    that were not followed by exact ones take no part.
    """
    axes = axes_of(plan, outcomes)
    senses = weighed_senses(plan, axes, outcomes)
    known = axes_of(plan, [o if o.exact else replace(o, checks=()) for o in outcomes])
    levels = [known[id_].levels() if id_ in known else [None] * len(outcomes) for id_ in senses]
    rows = [
        [column[i] if outcome.passed and outcome.exact else None for column in levels]
        for i, outcome in enumerate(outcomes)
    ]
    flags = non_dominated(rows, list(senses.values()))
    numbers = [v.number for v, good in zip(plan.variants, flags, strict=True) if good]
    absent = [name for name in (*plan.senses, *plan.axes) if not named(name, axes)]
    return Best(senses, tuple(numbers), tuple(dict.fromkeys(absent)))
