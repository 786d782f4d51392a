"""What a study asks, worked out before anything is built: no kernel here."""

import copy
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters, fingerprint
from geomgen.parameters.file_text.positions import Path as KeyPath
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.overrides import apply, value_of
from geomgen.parameters.reading.refusal import ManyParametersError, Origin
from geomgen.parameters.reading.set_too import not_set_too
from geomgen.parameters.values.place_values import hangs
from geomgen.studies.best import Sense, senses_of
from geomgen.studies.progress import Planning
from geomgen.studies.samples import sample
from geomgen.studies.vary import Value, Variant, Vary, grid, overrides_of, varies_of
from geomgen.studies.vary_key import VARY
from geomgen.sweeping.names import axes_asked, can_be_shown, can_be_weighed, figures_known

# So many variants are read between two words on how far it is.
APART = 200
# The folder of the variants' parameter files, in that of the study.
VARIANTS = "variants"

Tell = Callable[[Planning], None]


@dataclass(frozen=True)
class SweepQuestion:
    """What is asked: a parameter file with its overrides, what is varied, how it is looked at.

    `samples` None is the whole grid. `axes` are ids of figures or varied keys; `best` is text such
    as `firewall.mass=low,inlet.area=high`. `exact` asks for the exact figures of every variant, not
    only of those that decide.
    """

    path: str | Path
    vary: tuple[str, ...]
    overrides: tuple[str, ...] = ()
    samples: int | None = None
    seed: int = 0
    axes: str = ""
    best: str = ""
    exact: bool = False


@dataclass(frozen=True)
class SweepPlan:
    """A question worked out: every variant with its records, or why they are refused.

    `fingerprints` are those of the records, empty where they are refused.
    """

    question: SweepQuestion
    base: Parameters
    varies: tuple[Vary, ...]
    variants: tuple[Variant, ...]
    records: tuple[Parameters | ParameterError, ...]
    fingerprints: tuple[str, ...]
    axes: tuple[str, ...]
    senses: dict[str, Sense]


def plan_of(question: SweepQuestion, tell: Tell | None = None) -> SweepPlan:
    """Return the plan; ParameterError when the question, or every one of its variants, is refused.

    A variant that the parameters refuse is no reason to stop; it keeps its refusal. A long plan
    tells how far it is.
    """
    file = Path(question.path)
    tables, origins = read_with_bases(file)
    apply(tables, origins, list(question.overrides))
    base = records_of(copy.deepcopy(tables), dict(origins), file.parent)
    varies = varies_of(question.vary, tables, question.samples is not None)
    not_set_too([vary.key.slot for vary in varies], origins, VARY)
    if question.samples is None:
        variants = grid(varies)
    else:
        variants = sample(varies, question.samples, question.seed)
    senses, axes = senses_of(question.best), axes_asked(question.axes)
    known = figures_known(base, varies)
    can_be_shown(axes, known)
    can_be_weighed(tuple(senses), known)
    _not_all_out_of_range(varies, variants)
    laid = copy.deepcopy(tables)
    apply(laid, origins, overrides_of(varies, variants[0]))
    origins |= {vary.key.path: Origin(VARY, None) for vary in varies}
    records: list[Parameters | ParameterError] = []
    prints: list[str] = []
    for own in _tables(laid, varies, variants):
        try:
            record = records_of(own, origins, file.parent)
        except ParameterError as error:
            records.append(error)
            prints.append("")
        else:
            records.append(record)
            prints.append(fingerprint(record))
        _tell_now_and_then(tell, records, len(variants))
    _any_left(records)
    variants = _with_places(varies, variants, records)
    return SweepPlan(question, base, varies, variants, tuple(records), tuple(prints), axes, senses)


def _with_places(
    varies: Sequence[Vary],
    variants: Sequence[Variant],
    records: Sequence[Parameters | ParameterError],
) -> tuple[Variant, ...]:
    """Return the variants with what each place that hangs on a part became, as its number."""
    made = []
    for variant, record in zip(variants, records, strict=True):
        values = [
            _with_place(vary.key.path, value, record)
            for vary, value in zip(varies, variant.values, strict=True)
        ]
        made.append(replace(variant, values=tuple(values)))
    return tuple(made)


def _with_place(path: KeyPath, value: Value, record: Parameters | ParameterError) -> Value:
    if not isinstance(value_of(value.text), str) or not hangs(value_of(value.text)):
        return value
    if isinstance(record, ParameterError) or path not in record.hung:
        return replace(value, number=None)
    found: Any = record
    for part in path:
        found = found[part] if isinstance(part, int) else getattr(found, part)
    return replace(value, number=float(found))


def _not_all_out_of_range(varies: Sequence[Vary], variants: Sequence[Variant]) -> None:
    """Refuse a key none of whose values is in its own range, before any variant is read whole."""
    for i, vary in enumerate(varies):
        refusals: list[ParameterError] = []
        for value in dict.fromkeys(variant.values[i] for variant in variants):
            if vary.key.place(value.text) is not None:
                # What it hangs on may vary, too: each variant says whether it is in range.
                break
            try:
                vary.key.reader.read(value_of(value.text))
            except ParameterError as error:
                refusals.append(error)
            else:
                break
        else:
            raise _all_refused(refusals[0], len(variants), vary.key.name)


def _tables(
    laid: dict[str, Any], varies: Sequence[Vary], variants: Sequence[Variant]
) -> Iterator[dict[str, Any]]:
    """Yield the tables of each variant; what is not varied is shared with `laid`, and not copied.

    `laid` are the tables with the first variant laid over them.
    """
    for variant in variants:
        own = laid
        for vary, value in zip(varies, variant.values, strict=True):
            own = _with(own, vary.key.path, value_of(value.text))
        yield own


def _with(at: Any, path: KeyPath, value: object) -> Any:
    """Return a table or list with another value at a path.

    >>> _with({"pod": {"wall": "3 mm"}, "scoops": [{"width": "9 in"}]}, ("scoops", 0, "width"), 1)
    {'pod': {'wall': '3 mm'}, 'scoops': [{'width': 1}]}
    """
    copied = copy.copy(at)
    copied[path[0]] = _with(at[path[0]], path[1:], value) if len(path) > 1 else value
    return copied


def _tell_now_and_then(
    tell: Tell | None, records: Sequence[Parameters | ParameterError], many: int
) -> None:
    if tell is not None and len(records) % APART == 0:
        refused = sum(isinstance(record, ParameterError) for record in records)
        tell(Planning(many, len(records), refused))


def _any_left(records: Sequence[Parameters | ParameterError]) -> None:
    errors = [record for record in records if isinstance(record, ParameterError)]
    if len(errors) == len(records):
        raise _all_refused(errors[0], len(errors))


def _all_refused(first: ParameterError, many: int, key: str | None = None) -> ParameterError:
    if isinstance(first, ManyParametersError):
        first = first.errors[0]
    who = "the only variant is" if many == 1 else f"all {many} variants are"
    return ParameterError(
        f"{who} refused: {first.problem}",
        file=VARY,
        key=key or first.key,
        written=first.written,
        allowed=first.allowed,
        advice=first.advice,
    )


def toml_name(number: int) -> str:
    """Return the name of a variant's parameter file.

    >>> toml_name(7)
    '0007.toml'
    """
    return f"{number:04d}.toml"
