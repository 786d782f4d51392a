"""Meshes that are wrong, as `mesh.deviation` and whatever is measured on meshes sees them.

How a machine can be wrong while `mesh.deviation` passes, and what sees it:

- one part's mesh is coarse, the others are fine: the largest counts and is named;
- a part whose deviation is not a number, first or last in the list: no figure, which is no pass;
- another part's mesh, the other side's, a moved one, one in inches, one inside out, one with a
  triangle or a face lost: refused before anything is measured;
- a small move of a part that is round all over (no corner, a wide loose box): NOT SEEN here;
- a vertex off inside the part's box after the deviation was measured: NOT SEEN here, the figure is
  taken when the mesh is made (test_deviation); what leaves the tool is proved again from the file.

Closed form: the sag of a chord, r (1 - cos(turn / 2)) (elementary geometry, DERIVED).
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from surveyed_models import meshes_of, model_of, surveyed

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.measurements.survey.whole import bodies_of, survey
from geomgen.sizing.target import Target
from geomgen.verdicts.judge import judge

X = (1.0, 0.0, 0.0)
LIMIT = Target("mesh.deviation.*", "deviation", "at most", "mm", high=0.1)


def machine():
    boom = cylinder((0, 500, 0), X, 40.0, 900.0)
    return model_of(
        {
            "pod": box((0, -100, -100), (900, 100, 100)),
            "boom_right": boom,
            "boom_left": mirrored(boom),
        }
    )


def judged(model, meshes):
    (found,) = [c for c in judge(survey(model, meshes), [LIMIT]) if c.id == "mesh.deviation"]
    return found


def test_a_pipes_mesh_is_off_by_its_sag() -> None:
    rod = cylinder((0, 0, 0), X, 40.0, 900.0)
    model = model_of({"pod": rod})
    meshes = meshes_of(model)
    around = meshes["pod"][0].vertices
    turns = np.unique(np.round(np.degrees(np.arctan2(around[:, 2], around[:, 1])), 6)).size
    found = judged(model, meshes)
    assert found.measured == pytest.approx(40.0 * (1 - math.cos(math.pi / turns)), rel=1e-4)
    assert found.verdict == "pass"


@pytest.mark.parametrize("name", ["boom_right", "boom_left"])
def test_one_coarse_mesh_among_fine_ones_fails_and_is_named(name) -> None:
    model = machine()
    meshes = meshes_of(model)
    coarse = meshes_of(model_of({name: model.parts[name]}), 1.5)
    found = judged(model, {**meshes, **coarse})
    assert found.verdict == "fail"
    assert found.part == name
    assert found.measured == coarse[name][1].largest > 0.1


@pytest.mark.parametrize("name", ["pod", "boom_right", "boom_left"])
@pytest.mark.parametrize("off", [math.nan, math.inf])
def test_a_deviation_that_is_no_number_is_no_pass(name, off) -> None:
    from geomgen.measurements.survey.whole import mesh_deviation

    rows = {n: (0.05, 0.05, 0.04, (0.0, 0.0, 0.0)) for n in ("pod", "boom_right", "boom_left")}
    rows[name] = (off, off, off, (0.0, 0.0, 0.0))
    (found,) = judge([mesh_deviation(rows)], [LIMIT])
    assert found.verdict == "not_measured"
    assert found.part == name


def wrong(mesh, how):
    if how == "moved":
        return replace(mesh, vertices=mesh.vertices + np.array([0.0, 5.0, 0.0]))
    if how == "in inches":
        return replace(mesh, vertices=mesh.vertices / 25.4)
    if how == "in metres":
        return replace(mesh, vertices=mesh.vertices * 1000.0)
    if how == "inside out":
        return replace(mesh, triangles=mesh.triangles[:, ::-1], uv=mesh.uv[:, ::-1])
    if how == "a triangle lost":
        return replace(mesh, triangles=mesh.triangles[1:], face=mesh.face[1:], uv=mesh.uv[1:])
    vertices = mesh.vertices.copy()
    vertices[0] = np.nan
    return replace(mesh, vertices=vertices)


@pytest.mark.parametrize("name", ["pod", "boom_right", "boom_left"])
@pytest.mark.parametrize(
    "how", ["moved", "in inches", "in metres", "inside out", "a triangle lost", "nowhere"]
)
def test_a_wrong_mesh_is_refused_before_anything_is_measured(name, how) -> None:
    model = machine()
    meshes = meshes_of(model)
    mesh, off = meshes[name]
    with pytest.raises(GeometryError):
        bodies_of(model, {**meshes, name: (wrong(mesh, how), off)})


@pytest.mark.parametrize(("a", "b"), [("boom_right", "boom_left"), ("pod", "boom_left")])
def test_meshes_that_were_swapped_are_refused(a, b) -> None:
    model = machine()
    meshes = meshes_of(model)
    with pytest.raises(GeometryError, match="another part's"):
        bodies_of(model, {**meshes, a: meshes[b], b: meshes[a]})


def test_right_meshes_are_taken() -> None:
    assert surveyed(machine())["mesh.deviation"].value <= 0.1
