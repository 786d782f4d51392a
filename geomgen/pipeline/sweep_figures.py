"""Which figures of a study are looked at, and which variants are the best compromises."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geomgen.pipeline.sweep_plan import Plan
from geomgen.studies.best import Sense, non_dominated, sense_of
from geomgen.studies.variant_row import Outcome
from geomgen.verdicts.check import Check

# A figure that changes by less than this share of itself does not tell variants apart.
SAME = 1e-9


@dataclass(frozen=True)
class Axis:
    """A figure or varied number of all variants: id, words, unit, values in the order asked.

    `sense` says which way is good, None where neither is; `judged` that a limit decides on it;
    `varied` that it is a key of the study.
    """

    id: str
    what: str
    unit: str
    values: tuple[float | None, ...]
    sense: Sense | None = None
    judged: bool = False
    varied: bool = False

    @property
    def spread(self) -> float:
        """How much it changes, as a share of its largest size."""
        known = [value for value in self.values if value is not None]
        if len(known) < 2:
            return 0.0
        return (max(known) - min(known)) / max(max(abs(v) for v in known), 1e-12)


@dataclass(frozen=True)
class Best:
    """The best compromises: what was weighed, which way is good, the numbers of the variants.

    `absent` are names that were asked for, to weigh or to show, and that no variant has.
    """

    senses: Mapping[str, Sense]
    numbers: tuple[int, ...]
    absent: tuple[str, ...] = ()


def axes_of(plan: Plan, outcomes: Sequence[Outcome]) -> dict[str, Axis]:
    """Return every varied number and every measured figure, by id."""
    found: dict[str, Axis] = {}
    for i, vary in enumerate(plan.varies):
        if vary.key.dimension is not None:
            values = tuple(variant.values[i].number for variant in plan.variants)
            name, unit = vary.key.as_set, vary.key.unit or "1"
            found[name] = Axis(name, vary.key.words, unit, values, varied=True)
    first: dict[str, Check] = {}
    by_id = [{check.id: check for check in outcome.checks} for outcome in outcomes]
    for rows in by_id:
        for id_, check in rows.items():
            if check.comparison != "one of":
                first.setdefault(id_, check)
    for id_, check in first.items():
        measured = tuple(rows[id_].measured if id_ in rows else None for rows in by_id)
        judged = check.comparison != "none" and check.binding
        found[id_] = Axis(id_, check.what, check.unit, measured, sense_of(check.comparison), judged)
    return found


def named(name: str, axes: Mapping[str, Axis]) -> list[str]:
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


def chosen_axes(plan: Plan, axes: Mapping[str, Axis]) -> tuple[str, ...]:
    """Return the two or three axes to show first: those asked for, else a sensible choice.

    Of a family the first member is shown. A sensible choice is the judged figures that change most,
    those with a good way first and no two of the same values; varied keys where figures are not
    enough.
    """
    asked = [id_ for name in plan.axes for id_ in named(name, axes)[:1]]
    if len(asked) >= 2:
        return tuple(asked)
    figures = [axis for axis in axes.values() if axis.judged and axis.spread > SAME]
    figures.sort(key=lambda axis: (axis.sense is None, -axis.spread))
    varied = [axis for axis in axes.values() if axis.varied]
    picked: list[Axis] = []
    for axis in [*figures, *varied, *axes.values()]:
        if len(picked) < 3 and axis.values not in [other.values for other in picked]:
            picked.append(axis)
    return tuple(axis.id for axis in picked)


def best_of(plan: Plan, outcomes: Sequence[Outcome]) -> Best:
    """Return the best compromises among the variants that passed all their checks.

    Weighed is what `--best` names, of a family all members, else the chosen axes that have a good
    way.
    """
    axes = axes_of(plan, outcomes)
    senses: dict[str, Sense] = {}
    if plan.senses:
        for name, way in plan.senses.items():
            senses |= dict.fromkeys(named(name, axes), way)
    else:
        chosen = (axes[id_] for id_ in chosen_axes(plan, axes))
        senses = {axis.id: axis.sense for axis in chosen if axis.sense is not None}
    rows = [
        [axes[id_].values[i] if outcome.passed else None for id_ in senses]
        for i, outcome in enumerate(outcomes)
    ]
    flags = non_dominated(rows, list(senses.values()))
    numbers = [v.number for v, good in zip(plan.variants, flags, strict=True) if good]
    absent = [name for name in (*plan.senses, *plan.axes) if not named(name, axes)]
    return Best(senses, tuple(numbers), tuple(dict.fromkeys(absent)))
