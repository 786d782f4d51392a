"""Models of plain solids, surveyed as `check` does it: proven meshes, every question."""

from unittest.mock import patch

from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.plain import Model
from geomgen.measurements.record import Measurement
from geomgen.measurements.survey.whole import survey
from geomgen.processes import worker_pool

FAMILIES = ("prop_disc", "tail_fairing")


def model_of(parts, **more) -> Model:
    """Return a model whose parts are of the family that their names begin with."""
    families = {n: n if n in FAMILIES else n.split("_")[0] for n in parts}
    return Model(parts=dict(parts), families=families, **more)


def meshes_of(model: Model, tolerance: float = 0.1):
    made = {name: meshed(s, tolerance, part=name) for name, s in model.parts.items()}
    return {name: (m.mesh, m.deviation) for name, m in made.items()}


def surveyed(model: Model, tolerance: float = 0.1) -> dict[str, Measurement]:
    """Return every record of a survey by its id.

    Asked in this process: to fork two from one that holds all tests takes longer than the answers.
    """
    with patch.object(worker_pool, "processors", lambda: 1):
        return {record.id: record for record in survey(model, meshes_of(model, tolerance))}
