"""The whole survey of a small made-up model: every figure by its id, none dropped."""

from pathlib import Path

import pytest

from geomgen.kernel.brep.primitives import cylinder, ring
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Ground, Plane
from geomgen.measurements.survey import whole as surveying
from geomgen.measurements.survey.whole import mesh_deviation, survey

X = (1.0, 0.0, 0.0)


def model() -> Model:
    """A disc between two booms, a round pod ahead of it."""
    axis = Axis((2000.0, 0.0, 800.0), X)
    parts = {
        "pod": cylinder((0, 0, 800), X, 300.0, 1900.0),
        "boom_right": cylinder((1000, 750, 800), X, 40.0, 2000.0),
        "boom_left": cylinder((1000, -750, 800), X, 40.0, 2000.0),
        "prop_disc": ring(axis, -30.0, 30.0, 80.0, 650.0),
    }
    families = {n: n.split("_")[0] for n in parts} | {"prop_disc": "prop_disc"}
    made = Model(parts=parts, families=families, thrust_line=axis)
    made.grounds = [Ground("static", Plane((0, 0, 0), (0, 0, 1)), "level")]
    return made


def meshes(m: Model):
    made = {n: meshed(s, 0.1, part=n) for n, s in m.parts.items()}
    return {n: (x.mesh, x.deviation) for n, x in made.items()}


def test_what_the_model_has_is_measured_and_nothing_else() -> None:
    m = model()
    said: list[str] = []
    found = {f.id: f for f in survey(m, meshes(m), said.append)}
    assert found["prop.radial_clearance"].value == pytest.approx(60.0, abs=1e-6)
    assert found["prop.axial_clearance"].value == pytest.approx(70.0, abs=1e-6)
    assert found["prop.ground_clearance.static"].value == pytest.approx(150.0, abs=1e-6)
    assert found["prop.tip_radius"].value == pytest.approx(650.0, abs=1e-6)
    assert found["parts.interference"].value == 0.0
    assert 0.0 < found["mesh.deviation"].value <= 0.1
    assert not {"firewall.area", "inlet.area", "engine.clearance"} & set(found)
    assert said


def test_every_figure_says_how_and_in_what_unit() -> None:
    m = model()
    found = survey(m, meshes(m))
    assert len({f.id for f in found}) == len(found)
    for record in found:
        assert record.unit in {"mm", "mm2", "mm3", "deg", "chord", "1"}
        assert record.method
        assert record.what


def test_without_a_swept_volume_the_figure_is_missing_and_says_why() -> None:
    m = model()
    del m.parts["prop_disc"]
    del m.families["prop_disc"]
    found = {f.id: f for f in survey(m, meshes(m))}
    assert found["prop.radial_clearance"].value is None
    assert "swept volume" in found["prop.radial_clearance"].note


def test_the_worst_mesh_is_named() -> None:
    m = model()
    made = {name: off for name, (_, off) in meshes(m).items()}
    worst = max(made, key=lambda n: made[n].largest)
    rows = {n: (d.largest, d.mesh_to_solid, d.solid_to_mesh, d.worst) for n, d in made.items()}
    found = mesh_deviation(rows)
    assert (found.part, found.value) == (worst, made[worst].largest)


def test_no_measurement_knows_the_parameters() -> None:
    folder = Path(surveying.__file__).parents[1]
    found = list(folder.rglob("*.py"))
    assert len(found) > 20
    for path in found:
        assert "geomgen.parameters" not in path.read_text()
