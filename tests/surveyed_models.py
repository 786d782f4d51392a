"""Models of plain solids, surveyed as `check` does it: proven meshes, every question."""

from functools import lru_cache
from unittest.mock import patch

from in_one_process import one_process
from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.meshing.proven import Meshed, meshed
from geomgen.kernel.model import Model
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Subject
from geomgen.measurements.survey import questions
from geomgen.measurements.survey.whole import survey

FAMILIES = ("prop_disc", "tail_fairing")


def model_of(parts, **more) -> Model:
    """Return a model whose parts are of the family that their names begin with."""
    families = {n: n if n in FAMILIES else n.split("_")[0] for n in parts}
    return Model(parts=dict(parts), families=families, **more)


def meshes_of(model: Model, tolerance: float = 0.1):
    made = {name: mesh_once(s, tolerance, name) for name, s in model.parts.items()}
    return {name: (m.mesh, m.deviation) for name, m in made.items()}


@lru_cache(maxsize=64)
def mesh_once(solid: TopoDS_Shape, tolerance: float, name: str) -> Meshed:
    """Return the proven mesh of a solid, of the same one the same."""
    return meshed(solid, tolerance, part=name)


def surveyed(model: Model, tolerance: float = 0.1, *asked: Subject) -> dict[str, Measurement]:
    """Return the records of a survey by their ids: of the subjects `asked`, or else of all."""
    with one_process(), patch.object(questions, "SUBJECTS", asked or questions.SUBJECTS):
        return {record.id: record for record in survey(model, meshes_of(model, tolerance))}
