"""Every measurement that a model has the parts for, in one go."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isfinite
from typing import Any

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.interference.meeting import Body, body_of
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.likely_of import why_not_its_mesh
from geomgen.kernel.meshing.deviation import Deviation
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Vec3
from geomgen.measurements.place import place
from geomgen.measurements.question import (
    Answer,
    Given,
    MeasurementQuestion,
    Questionnaire,
    by_name,
    from_text,
    text_of,
)
from geomgen.measurements.record import Measurement
from geomgen.measurements.survey.questions import joined, questions
from geomgen.processes.worker_pool import WorkerPool

Meshes = dict[str, tuple[Mesh, Deviation]]


def survey(
    model: Model, meshes: Meshes, progress: Callable[[str], None] | None = None
) -> list[Measurement]:
    """Measure the finished solids; `meshes` are their proven meshes, one per part."""
    bodies = bodies_of(model, meshes)
    asker = Asker(model, bodies)
    pool = WorkerPool(asker.work)

    def ask(
        q: MeasurementQuestion, needed: dict[str, Answer], done: Callable[[Answer], None]
    ) -> None:
        pool.add(q.name, q.weight, lambda: (q.name, needed), lambda text: done(from_text(text)))

    found = Questionnaire(list(asker.questions.values()), ask)
    pool.run(lambda name: progress(f"measured: {name}") if progress else None)
    off = {
        name: (d.largest, d.mesh_to_solid, d.solid_to_mesh, d.worst)
        for name, (_, d) in meshes.items()
    }
    return [*joined(model, list(model.parts), found.answers), mesh_deviation(off)]


@dataclass(frozen=True)
class Asker:
    """Asks the questions of one survey; it can be sent to another process."""

    model: Model
    bodies: Mapping[str, Body]

    def __reduce__(self) -> tuple[Any, ...]:
        return Asker, (self.model, self.bodies)

    @cached_property
    def questions(self) -> dict[str, MeasurementQuestion]:
        """All questions about the model, by name."""
        boxes = {name: loose_box(solid) for name, solid in self.model.parts.items()}
        return by_name(questions(replace(self.model, parts={}), boxes))

    def work(self, message: tuple[str, dict[str, Answer]]) -> str:
        """Ask a question by its name, with the answers that it needs; return its answer as text."""
        name, answers = message
        return answered(self.questions[name], self.model.parts, self.bodies, answers)


def answered(
    question: MeasurementQuestion,
    solids: Mapping[str, TopoDS_Shape],
    bodies: Mapping[str, Body],
    answers: Mapping[str, Answer],
) -> str:
    """Ask a question with the parts that it names and nothing else; return the answer as text."""
    given = Given(
        {name: solids[name] for name in question.solids},
        {name: bodies[name] for name in question.bodies},
        {name: answers[name] for name in question.after},
    )
    return text_of(question.ask(given))


def bodies_of(model: Model, meshes: Meshes) -> dict[str, Body]:
    """Join each part with its mesh; GeometryError for one that can't be the part's own."""
    for name, solid in model.parts.items():
        mesh, off = meshes[name]
        why = why_not_its_mesh(solid, mesh, off.largest)
        if why:
            raise GeometryError(f"its mesh can't be measured on: {why}", part=name, step="mesh")
    return {
        name: body_of(solid, meshes[name][0], meshes[name][1].largest)
        for name, solid in model.parts.items()
    }


Off = tuple[float, float, float, Vec3]


def mesh_deviation(off: Mapping[str, Off]) -> Measurement:
    """Return the largest distance [mm] between a part's mesh and its solid, both ways.

    `off` holds of each part the largest, mesh to solid, solid to mesh [mm], and where it is.
    """
    name = max(off, key=lambda n: off[n][0] if isfinite(off[n][0]) else inf)
    largest, there, back, worst = off[name]
    return Measurement(
        "mesh.deviation",
        name,
        "largest distance between a mesh and its solid, both ways",
        largest,
        "mm",
        f"points of every triangle and edge against the surfaces; "
        f"mesh to solid {there:.4f}, solid to mesh {back:.4f} mm",
        None,
        f"{name} at {place(worst)}",
    )
