"""The questions of a regeneration: kept answers are taken, the others asked by the pool."""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from geomgen.measurements.answers import record_of
from geomgen.measurements.question import WAITING
from geomgen.measurements.record import Measurement
from geomgen.regeneration import fingerprints
from geomgen.regeneration.making import MadeModel, Making

if TYPE_CHECKING:
    from geomgen.measurements.question import Answer, MeasurementQuestion, Questionnaire

# A subject before another has all its questions before those of the other.
AHEAD = 1e4


class Asking:
    """The measuring of bodies that are made; `measured` does it.

    Questions of the subjects `urgent` come first, then the subjects that take least: so most
    figures are whole soonest. What is asked of the parts `lacking` waits; where nothing may be made
    (`kept_only`), so does what is not kept.
    """

    def __init__(
        self,
        making: Making,
        outcome: MadeModel,
        urgent: Collection[int] = (),
        lacking: Collection[str] = (),
        kept_only: bool = False,
    ) -> None:
        self.making, self.cache, self.outcome = making, making.cache, outcome
        self.solids = {row["name"]: row["solid"] for row in outcome.parts}
        self.first = making.first is not None
        # Which subject told each figure, once something was asked.
        self.told_by: dict[str, int] = {}
        self.records: list[Measurement] = []
        self._urgent, self._lacking, self._kept_only = urgent, lacking, kept_only
        # The bodies of each question that is to be asked; jobs that are gathered to be ranked.
        self._wanted: list[dict[str, tuple[str, str]]] = []
        self._jobs: list[tuple[MeasurementQuestion, Any, Callable[[str], None]]] = []
        self._gathers = False
        self._ranks: dict[str, float] = {}
        self._found: Questionnaire | None = None

    def measured(self) -> list[Measurement]:
        """Return all measurements; those of the very same bodies and places are taken at once."""
        for _ in self.steps():
            pass
        return self.records

    def steps(self) -> Iterator[None]:
        """Do what `measured` does, and yield with each answer; at the end all are in `records`."""
        o = self.outcome
        about: list[Any] = [[row["name"], row["family"], row["solid"]] for row in o.parts]
        about += ["first"] if self.first else []
        key = fingerprints.of("survey", fingerprints.of_program(), about, o.meshes, o.places)
        rows = self.cache.facts(key)
        if rows is not None:
            self.records = [record_of(row) for row in rows]
            return
        yield from self._asked()
        self.cache.keep_facts(key, [asdict(record) for record in self.records])

    def so_far(self) -> list[Measurement]:
        """Return the measurements that the answers known so far make; all others wait."""
        from geomgen.measurements.survey.questions import told_by

        if self._found is None:
            return self.records
        answers = dict.fromkeys(self.making.worker.questions, WAITING) | self._found.answers
        found = told_by(self.outcome.bare(), [row["name"] for row in self.outcome.parts], answers)
        self.told_by |= {record.id: place for place, record in found}
        return [record for _, record in found]

    def look(self) -> None:
        """Put all questions; what is kept is answered, the rest is ready to be asked."""
        from geomgen.kernel.brep.boxes import Box
        from geomgen.measurements.question import Questionnaire
        from geomgen.measurements.survey.questions import subjects_of

        boxes = {
            row["name"]: Box(tuple(row["box"][0]), tuple(row["box"][1]))
            for row in self.outcome.parts
        }
        about = self.outcome.bare(), boxes
        self.making.worker.about = about
        # Exact figures are wanted together: there the longest job goes first.
        self._gathers = self.first
        self._found = Questionnaire(list(self.making.worker.questions.values()), self._ask)
        self._gathers = False
        if self._jobs:
            self._rank(subjects_of(*about))

    def _asked(self) -> Iterator[None]:
        from geomgen.measurements.survey.whole import mesh_deviation

        self.look()
        yield
        self.making.worker.hold(self._wanted)
        yield from self.making.steps()
        records = self.so_far()
        # First answers are told by coarser meshes than the files hold.
        self.records = records if self.first else [*records, mesh_deviation(self.making.off)]

    def _rank(self, subjects: dict[str, int]) -> None:
        """Give jobs to the pool, subject after subject; those that follow go with their subject."""
        work: defaultdict[int, float] = defaultdict(float)
        for question, *_ in self._jobs:
            work[subjects[question.name]] += question.weight
        ahead = {place: place in self._urgent for place in subjects.values()}
        order = sorted(ahead, key=lambda place: (not ahead[place], work[place], place))
        rank = {place: AHEAD * (len(order) - i) for i, place in enumerate(order)}
        self._ranks = {name: rank[place] for name, place in subjects.items()}
        for job in self._jobs:
            self._add(*job)

    def _add(
        self, question: "MeasurementQuestion", message: Any, told: Callable[[str], None]
    ) -> None:
        if self._gathers:
            self._jobs.append((question, message, told))
            return
        weight = self._ranks.get(question.name, 0.0) + question.weight
        self.making.pool().add(f"measured: {question.name}", weight, lambda: message, told)

    def _ask(
        self,
        question: "MeasurementQuestion",
        needed: "dict[str, Answer]",
        done: "Callable[[Answer], None]",
    ) -> None:
        lacking = any(name in self._lacking for name in (*question.solids, *question.bodies))
        if lacking or (self.first and question.slow):
            done(WAITING)
            return
        solids = {name: self.solids[name] for name in question.solids}
        bodies = {n: (self.solids[n], self.outcome.meshes[n]) for n in question.bodies}
        about = [question.name, repr(question.plain), solids, bodies, needed]
        # Of the very same solid and mesh a first answer is told by the mesh alone.
        about += ["first"] if self.first and bodies else []
        key = fingerprints.of("answer", fingerprints.of_program(), about)
        kept = self.cache.facts(key)
        if kept is not None:
            self.cache.kept += 1
            done(kept["answer"])
            return
        if self._kept_only:
            done(WAITING)
            return

        def told(text: str) -> None:
            from geomgen.measurements.question import from_text

            answer = from_text(text)
            self.cache.made += 1
            self.cache.keep_facts(key, {"answer": answer})
            done(answer)

        self._wanted.append(bodies)
        self._add(question, ("question", question.name, solids, bodies, needed), told)
