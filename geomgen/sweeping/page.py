"""The page of a study, filled with what came of its variants."""

from collections.abc import Mapping, Sequence

from geomgen.errors import ParameterError
from geomgen.pages.study_page import CAUTIONS, AxisLine, KeyLine, StudyPage, VariantLine
from geomgen.parameters import fingerprint
from geomgen.studies.row import STATUS_WORDS, VariantOutcome
from geomgen.studies.samples import design_of
from geomgen.studies.vary import Variant
from geomgen.studies.vary_key import Key
from geomgen.sweeping.figures import Best, FigureAxis, axes_of, chosen_axes
from geomgen.sweeping.plan import VARIANTS, SweepPlan, toml_name
from geomgen.sweeping.versions import versions_used
from geomgen.verdicts.first import UNDECIDED


def page_of(
    plan: SweepPlan, outcomes: Sequence[VariantOutcome], best: Best, name: str
) -> StudyPage:
    """Return the page's records; `name` is that of the study's folder."""
    axes = axes_of(plan, outcomes)
    shown = chosen_axes(plan, axes)
    plotted = [
        axis
        for axis in axes.values()
        if axis.varied or axis.differs or axis.id in shown or axis.id in best.senses
    ]
    base = plan.base
    told = {v.key.as_set: told_of(v.key) for v in plan.varies}
    return StudyPage(
        name=base.name,
        title=base.title,
        revision=base.revision,
        keys=tuple(KeyLine(v.key.name, told_of(v.key), v.asked) for v in plan.varies),
        axes=tuple(_axis(axis, outcomes, told) for axis in plotted),
        shown=shown,
        variants=tuple(
            _variant(plan, i, outcome, best, name) for i, outcome in enumerate(outcomes)
        ),
        weighed=tuple(best.senses.items()),
        design=_design(plan),
        map_keys=_map_keys(plan),
        cautions=CAUTIONS,
        fingerprint=fingerprint(base),
        versions=versions_used(),
        absent=best.absent,
    )


def told_of(key: Key) -> str:
    """Return what a key is, in words, of which part.

    >>> from geomgen.studies.vary_key import key_of
    >>> told_of(key_of("spinner.length", {"spinner": {}}))
    'spinner: length'
    """
    return f"{key.part}: {key.words}" if key.part else key.words


def _axis(
    axis: FigureAxis, outcomes: Sequence[VariantOutcome], told: Mapping[str, str]
) -> AxisLine:
    ends = {
        (check.target.low, check.target.high)
        for outcome in outcomes
        for check in outcome.checks
        if check.id == axis.id
    }
    low, high = next(iter(ends)) if len(ends) == 1 and not axis.varied else (None, None)
    way = axis.sense or ""
    what = told.get(axis.id, axis.what)
    return AxisLine(axis.id, what, axis.unit, axis.values, way, axis.varied, low, high)


def _variant(
    plan: SweepPlan, at: int, outcome: VariantOutcome, best: Best, name: str
) -> VariantLine:
    variant: Variant = plan.variants[at]
    file = command = ""
    if not isinstance(plan.records[at], ParameterError):
        file = f"{VARIANTS}/{toml_name(variant.number)}"
        folder = f"{plan.base.name}.variant-{variant.number:04d}"
        command = f"geomgen build {name}/{file} --out {folder}"
    return VariantLine(
        variant.number,
        tuple(value.shown for value in variant.values),
        outcome.status == "built",
        UNDECIDED if outcome.undecided else STATUS_WORDS[outcome.status],
        outcome.checks,
        ": ".join(text for text in (outcome.part, outcome.message) if text),
        file,
        command,
        variant.number in best.numbers,
        outcome.exact,
        outcome.waits,
    )


def _design(plan: SweepPlan) -> str:
    q = plan.question
    if q.samples is None:
        many = len(plan.variants)
        return f"Every combination: {many} variant{'' if many == 1 else 's'}."
    kind = design_of(q.samples)
    return (
        f"A sample of {len(plan.variants)} variants that fills the ranges evenly: "
        f"{kind}'s sequence, scrambled, seed {q.seed}."
    )


def _map_keys(plan: SweepPlan) -> tuple[int, int] | None:
    """Return the two keys with most values, in the order asked, of a grid of two keys or more."""
    if plan.question.samples is not None:
        return None
    many = [i for i, vary in enumerate(plan.varies) if len(vary.values) > 1]
    if len(many) < 2:
        return None
    first, second = sorted(sorted(many, key=lambda i: -len(plan.varies[i].values))[:2])
    return first, second
