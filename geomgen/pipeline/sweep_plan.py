"""What a study asks, worked out before anything is built: no kernel here."""

import copy
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters import Parameters, fingerprint
from geomgen.parameters.inheritance import read_with_bases
from geomgen.parameters.overrides import apply, value_of
from geomgen.parameters.positions import Path as KeyPath
from geomgen.parameters.reading import records_of
from geomgen.parameters.refusal import ManyParametersError, Origin
from geomgen.pipeline.set_too import not_set_too
from geomgen.studies.best import BEST, Sense, senses_of
from geomgen.studies.progress import Planning
from geomgen.studies.samples import sample
from geomgen.studies.vary import Variant, Vary, grid, overrides_of, varies_of
from geomgen.studies.vary_key import VARY

AXES = "--axes"
AXES_FORM = "up to three ids of figures or varied keys, with commas between"
# So many variants are read between two words on how far it is.
APART = 200

Tell = Callable[[Planning], None]


@dataclass(frozen=True)
class Question:
    """What is asked: a parameter file with its overrides, what is varied, how it is looked at.

    `samples` None is the whole grid. `axes` are ids of figures or varied keys; `best` is text such
    as `firewall.mass=low,inlet.area=high`.
    """

    path: str | Path
    vary: tuple[str, ...]
    overrides: tuple[str, ...] = ()
    samples: int | None = None
    seed: int = 0
    axes: str = ""
    best: str = ""


@dataclass(frozen=True)
class Plan:
    """A question worked out: every variant with its records, or why they are refused.

    `fingerprints` are those of the records, empty where they are refused.
    """

    question: Question
    base: Parameters
    varies: tuple[Vary, ...]
    variants: tuple[Variant, ...]
    records: tuple[Parameters | ParameterError, ...]
    fingerprints: tuple[str, ...]
    axes: tuple[str, ...]
    senses: dict[str, Sense]


def plan_of(question: Question, tell: Tell | None = None) -> Plan:
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
    senses = senses_of(question.best)
    axes = _axes_of(question.axes)
    _known_figures(base, varies, {AXES: axes, BEST: tuple(senses)})
    _not_all_out_of_range(varies, variants)
    laid = copy.deepcopy(tables)
    apply(laid, origins, overrides_of(varies, variants[0]))
    origins |= {vary.key.path: Origin(VARY, None) for vary in varies}
    records: list[Parameters | ParameterError] = []
    for own in _tables(laid, varies, variants):
        try:
            records.append(records_of(own, origins, file.parent))
        except ParameterError as error:
            records.append(error)
        _tell_now_and_then(tell, records, len(variants))
    _any_left(records)
    prints = tuple("" if isinstance(r, ParameterError) else fingerprint(r) for r in records)
    return Plan(question, base, varies, variants, tuple(records), prints, axes, senses)


def _not_all_out_of_range(varies: Sequence[Vary], variants: Sequence[Variant]) -> None:
    """Refuse a key none of whose values is in its own range, before any variant is read whole."""
    for i, vary in enumerate(varies):
        refusals: list[ParameterError] = []
        for value in dict.fromkeys(variant.values[i] for variant in variants):
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


def _any_left(records: Sequence[Parameters | ParameterError]) -> None:
    errors = [record for record in records if isinstance(record, ParameterError)]
    if len(errors) < len(records):
        return
    first = errors[0]
    if isinstance(first, ManyParametersError):
        first = first.errors[0]
    many = "the only variant is" if len(errors) == 1 else f"all {len(errors)} variants are"
    raise ParameterError(
        f"{many} refused: {first.problem}",
        file=VARY,
        key=first.key,
        written=first.written,
        allowed=first.allowed,
        advice=first.advice,
    )


def _axes_of(text: str) -> tuple[str, ...]:
    axes = tuple(filter(None, (part.strip() for part in text.split(","))))
    if len(axes) > 3 or len(set(axes)) < len(axes) or len(axes) == 1:
        raise ParameterError(
            "not two or three axes", file="--axes", written=text, allowed=AXES_FORM
        )
    return axes


def _known_figures(
    base: Parameters, varies: Sequence[Vary], asked: dict[str, tuple[str, ...]]
) -> None:
    """Refuse names that no check, figure or varied key can have, before hours of building."""
    from geomgen.sizing.targets import targets
    from geomgen.verdicts.judge import INFORMATIVE

    due = [t.id for t in targets(base) if t.comparison != "one of"]
    keys = [vary.key.name for vary in varies if vary.key.dimension is not None]
    known = dict.fromkeys([*keys, *due, *INFORMATIVE])
    for option, names in asked.items():
        for name in names:
            if not any(_stands_for(name, other) for other in known):
                raise ParameterError(
                    "no such figure", file=option, written=name, allowed=", ".join(known)
                )


def _stands_for(name: str, known: str) -> bool:
    """Say whether a name is that of a known figure, of its family, or of a family's member.

    >>> [_stands_for(n, "duct.turn_angle.*") for n in ("duct", "duct.turn_angle.left", "duct.turn")]
    [True, True, False]
    >>> _stands_for("inlet.area.left", "inlet.area"), _stands_for("set pod.wall", "pod.wall")
    (False, True)
    """
    one = known.removesuffix(".*")
    if name.removeprefix("set ") == one or one.startswith(f"{name}."):
        return True
    return known.endswith(".*") and name.startswith(f"{one}.")
