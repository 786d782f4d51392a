"""One subject of a survey: what is asked about it, and what the answers say."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import Model
from geomgen.measurements.answers import joined_rows, rows
from geomgen.measurements.question import Answer, Question
from geomgen.measurements.record import Measurement

Boxes = Mapping[str, Box]
Bodies = Mapping[str, Body]


@dataclass(frozen=True)
class Answered:
    """What a subject speaks from: the model, all parts' names, all answers.

    `known` is what the subjects before it said.
    """

    model: Model
    parts: Sequence[str]
    answers: Mapping[str, Answer]
    known: Sequence[Measurement] = ()


@dataclass(frozen=True)
class Subject:
    """`ask` returns the questions about a model, by its plain geometry; `say` the measurements.

    The boxes that `ask` gets are loose ones of all parts, in their order.
    """

    ask: Callable[[Model, Boxes], Iterable[Question]]
    say: Callable[[Answered], list[Measurement]]


def of_families(
    name: str,
    id_: str,
    unit: str,
    families: Sequence[str],
    measure: Callable[[Model, Bodies], list[Measurement]],
    plain: Callable[[Model], tuple[object, ...]],
    weight: float = 0.3,
) -> Subject:
    """Return the subject of one question: `measure` looks at all parts of some families.

    It is asked where the model has a part of the first of them. `measure` gets the plain geometry,
    of which it may use what `plain` names, and those parts; an id and unit stand for what could not
    be measured.
    """

    def ask(model: Model, boxes: Boxes) -> Iterator[Question]:
        own = {n: model.families[n] for n in boxes if model.families.get(n) in families}
        if families[0] not in own.values():
            return
        only = replace(model, parts={}, families=own)
        yield Question(
            name,
            lambda given: rows(lambda: measure(only, given.bodies)),
            bodies=tuple(own),
            plain=(own, *plain(model)),
            weight=weight,
        )

    return Subject(ask, lambda said: joined_rows(id_, unit, said.answers.get(name)))
