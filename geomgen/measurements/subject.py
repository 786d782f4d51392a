"""One subject of a survey: what is asked about it, and what the answers say."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.measurements.question import Answer, MeasurementQuestion
from geomgen.measurements.record import Measurement

Boxes = Mapping[str, Box]


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

    The boxes that `ask` gets are loose ones of all parts, in their order. One that `tells` what
    could not be measured gets answers that are waiting as if they were refused; without, it says
    nothing while one is.
    """

    ask: Callable[[Model, Boxes], Iterable[MeasurementQuestion]]
    say: Callable[[Answered], list[Measurement]]
    tells: bool = False
