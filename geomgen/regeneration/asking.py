"""The questions of a regeneration: kept answers are taken, the others asked by the pool."""

from collections.abc import Callable
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from geomgen.measurements.answers import record_of
from geomgen.measurements.question import WAITING
from geomgen.measurements.record import Measurement
from geomgen.regeneration import fingerprints
from geomgen.regeneration.making import MadeModel, Making

if TYPE_CHECKING:
    from geomgen.measurements.question import Answer, MeasurementQuestion


class Asking:
    """The measuring of bodies that are made; `measured` does it."""

    def __init__(self, making: Making, outcome: MadeModel) -> None:
        self.making, self.cache, self.outcome = making, making.cache, outcome
        self.solids = {row["name"]: row["solid"] for row in outcome.parts}
        self.first = making.first is not None
        # The bodies of each question that is to be asked.
        self._wanted: list[dict[str, tuple[str, str]]] = []

    def measured(self) -> list[Measurement]:
        """Return all measurements; those of the very same bodies and places are taken at once."""
        o = self.outcome
        about: list[Any] = [[row["name"], row["family"], row["solid"]] for row in o.parts]
        about += ["first"] if self.first else []
        key = fingerprints.of("survey", fingerprints.of_program(), about, o.meshes, o.places)
        rows = self.cache.facts(key)
        if rows is not None:
            return [record_of(row) for row in rows]
        found = self._asked()
        self.cache.keep_facts(key, [asdict(record) for record in found])
        return found

    def _asked(self) -> list[Measurement]:
        from geomgen.kernel.brep.boxes import Box
        from geomgen.measurements.question import Questionnaire
        from geomgen.measurements.survey.questions import joined
        from geomgen.measurements.survey.whole import mesh_deviation

        model = self.outcome.bare()
        boxes = {
            row["name"]: Box(tuple(row["box"][0]), tuple(row["box"][1]))
            for row in self.outcome.parts
        }
        self.making.worker.about = (model, boxes)
        found = Questionnaire(list(self.making.worker.questions.values()), self._ask)
        self.making.worker.hold(self._wanted)
        self.making.work()
        records = joined(model, list(boxes), found.answers)
        # First answers are told by coarser meshes than the files hold.
        return records if self.first else [*records, mesh_deviation(self.making.off)]

    def _ask(
        self,
        question: "MeasurementQuestion",
        needed: "dict[str, Answer]",
        done: "Callable[[Answer], None]",
    ) -> None:
        if self.first and question.slow:
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

        def told(text: str) -> None:
            from geomgen.measurements.question import from_text

            answer = from_text(text)
            self.cache.made += 1
            self.cache.keep_facts(key, {"answer": answer})
            done(answer)

        self._wanted.append(bodies)
        message = ("question", question.name, solids, bodies, needed)
        self.making.pool().add(f"measured: {question.name}", question.weight, lambda: message, told)
