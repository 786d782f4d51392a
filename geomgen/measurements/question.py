"""Questions: the small steps that a survey is made of, each looking at as few parts as may be.

A question gets the parts that it names and nothing else, so that what it depends on is known
before it is asked, and its answer can be kept for as long as those parts stay what they are.
"""

import json
from collections import Counter, deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from OCP.TopoDS import TopoDS_Shape

    from geomgen.kernel.interference.meeting import Body

# None, True, numbers, texts, and lists and tables of these: what JSON carries without loss.
Answer = Any


@dataclass(frozen=True)
class Given:
    """What a question may look at: solids, solids with their meshes, earlier answers, by name.

    KeyError for anything that the question did not name.
    """

    solids: "Mapping[str, TopoDS_Shape]" = field(default_factory=dict)
    bodies: "Mapping[str, Body]" = field(default_factory=dict)
    answers: Mapping[str, Answer] = field(default_factory=dict)


@dataclass(frozen=True)
class MeasurementQuestion:
    """One question: what it asks for, and all that the answer depends on.

    `solids` and `bodies` name parts, `after` other questions whose answers it needs; `plain` is
    all the plain geometry that it is about, told apart by its `repr`. Where `due` says no to the
    answers named in `after` and `first`, it is not asked and its answer is None; those of `first`
    only decide that, and the answer does not depend on them. `weight` is its time [s], about.
    What is `slow` is not asked for a first answer.
    """

    name: str
    ask: Callable[[Given], Answer]
    solids: tuple[str, ...] = ()
    bodies: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    plain: tuple[object, ...] = ()
    first: tuple[str, ...] = ()
    due: Callable[[Mapping[str, Answer]], bool] | None = None
    weight: float = 0.3
    slow: bool = False


# What a first answer is where meshes alone do not tell: the exact one is awaited.
WAITS = "waits for the exact figure"
WAITING: Answer = {"part": "", "refused": WAITS, "waits": True}


def is_waiting(answer: Answer) -> bool:
    """Say whether an answer is awaited from the exact solids.

    >>> is_waiting(WAITING), is_waiting({"refused": "the kernel can't"}), is_waiting(None)
    (True, False, False)
    """
    return isinstance(answer, dict) and bool(answer.get("waits"))


def text_of(answer: Answer) -> str:
    """Return an answer as text; numbers come back exactly.

    >>> from_text(text_of({"gap": 0.1 + 0.2, "at": (1.0, 2.0)}))
    {'gap': 0.30000000000000004, 'at': [1.0, 2.0]}
    """
    return json.dumps(answer, separators=(",", ":"))


def from_text(text: str) -> Answer:
    """Return the answer that a text stands for."""
    return json.loads(text)


def by_name(questions: Sequence[MeasurementQuestion]) -> dict[str, MeasurementQuestion]:
    """Return questions by their names; RuntimeError where two have one name.

    >>> by_name([MeasurementQuestion("gap", len), MeasurementQuestion("gap", len)])
    Traceback (most recent call last):
    RuntimeError: several questions have one name: gap
    """
    count = Counter(question.name for question in questions)
    if len(count) < len(questions):
        twice = ", ".join(name for name, times in count.items() if times > 1)
        raise RuntimeError(f"several questions have one name: {twice}")
    return {question.name: question for question in questions}


Ask = Callable[[MeasurementQuestion, dict[str, Answer], Callable[[Answer], None]], None]


class Questionnaire:
    """Asks questions as soon as the answers that they need are there; `answers` fills up.

    `ask(question, needed, done)` has one asked, now or later, and `done` called with the answer.
    What needs an answer that is waiting waits too.
    RuntimeError where two questions have one name: one would be told the other's answer.

    >>> twice = lambda given: 2 * given.answers["one"]
    >>> double = MeasurementQuestion("double", twice, after=("one",))
    >>> one = MeasurementQuestion("one", lambda given: 1)
    >>> asked = lambda q, needed, done: done(q.ask(Given(answers=needed)))
    >>> Questionnaire([double, one], asked).answers
    {'one': 1, 'double': 2}
    """

    def __init__(self, questions: Sequence[MeasurementQuestion], ask: Ask) -> None:
        self.answers: dict[str, Answer] = {}
        self._ask = ask
        self._waiting = by_name(questions)
        self._told: deque[str] = deque()
        self._telling = False
        for question in questions:
            self._try(question)

    def _try(self, question: MeasurementQuestion) -> None:
        if question.name not in self._waiting:
            return
        awaited = (*question.after, *question.first)
        if not all(name in self.answers for name in awaited):
            return
        del self._waiting[question.name]
        needed = {name: self.answers[name] for name in question.after}
        if any(is_waiting(self.answers[name]) for name in awaited):
            self._done(question.name, WAITING)
        elif question.due and not question.due({name: self.answers[name] for name in awaited}):
            self._done(question.name, None)
        else:
            self._ask(question, needed, lambda answer: self._done(question.name, answer))

    def _done(self, name: str, answer: Answer) -> None:
        """Keep an answer and try what awaits it; in turn, for a chain of them may be long."""
        self.answers[name] = answer
        self._told.append(name)
        if self._telling:
            return
        self._telling = True
        try:
            while self._told:
                told = self._told.popleft()
                for other in [q for q in self._waiting.values() if told in (*q.after, *q.first)]:
                    self._try(other)
        finally:
            self._telling = False
