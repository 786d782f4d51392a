"""First answers: near enough by their own bounds, on the examples and on strangers; what waits."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from strangers.aircraft import aircraft

from geomgen.errors import GeometryError, ParameterError
from geomgen.parameters import load
from geomgen.regeneration.first import LOG, first_answers, logged
from geomgen.regeneration.making import Making
from geomgen.regeneration.regenerating import regenerate
from geomgen.regeneration.store import Store
from geomgen.verdicts.first import strayed

CONFIGS = Path(__file__).parents[2] / "configs"
EXAMPLES = ("saltmarsh", "hayfield", "tight")
# Asked of solids or of files alone, or dear however coarse the meshes are.
NEVER = ("mesh.deviation", "inlet.way", "exit.way", "inlet.pressure", "cooling.air_rise")


def ratios(first, exact):
    """Return of each figure that is off its bound over its error (n,)."""
    known = {check.id: check.measured for check in exact}
    off = [
        (one.check.error_bound, abs(one.check.measured - known[one.check.id]))
        for one in first
        if one.check.measured is not None
        and one.check.error_bound is not None
        and known.get(one.check.id) is not None
    ]
    return np.array([bound / error for bound, error in off if error > 1e-9])


@pytest.mark.long
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_first_answer_of_an_example_is_off_by_more_than_its_bound(tmp_path, name):
    p, store = load(CONFIGS / f"{name}.toml"), Store(tmp_path)
    first = first_answers(p, store)
    exact = regenerate(p, store)
    assert not first.why
    assert strayed(first.checks, exact.checks) == []
    assert ratios(first.checks, exact.checks).min() > 1.0
    waiting = {one.check.id for one in first.checks if not one.final}
    assert all(any(id_.startswith(stem) for id_ in waiting) for stem in NEVER[:1])
    assert len(waiting) < len(first.checks) / 3
    again = first_answers(p, store)
    assert (again.made, again.checks) == (0, first.checks)


@pytest.mark.long
@pytest.mark.parametrize("grade", ["fair", "uneven", "wide"])
@pytest.mark.parametrize("number", range(100))
def test_no_first_answer_of_a_stranger_is_off_by_more_than_its_bound(tmp_path, grade, number):
    file = tmp_path / "stranger.toml"
    file.write_text(aircraft(grade, number), encoding="utf-8")
    store = Store(tmp_path / "kept")
    try:
        p = load(file)
        exact = regenerate(p, store)
    except (ParameterError, GeometryError):
        pytest.skip("it is refused, or can't be built")
    first = first_answers(p, store)
    assert [one.words for one in strayed(first.checks, exact.checks)] == []


@pytest.fixture(scope="module")
def answered(saltmarsh, tmp_path_factory):
    """First answers about a machine of few parts, two of them cut: a fin and the boom's mate."""
    return first_answers(saltmarsh, Store(tmp_path_factory.mktemp("first")))


@pytest.mark.long
def test_what_waits_says_so_and_is_never_passed(answered):
    rows = {one.check.id: one for one in answered.checks}
    assert rows["mesh.deviation"].waits
    assert rows["prop.tip_mach"].final
    for one in answered.checks:
        assert one.final or one.as_dict()["verdict"] == "waits"


def test_only_steps_that_cut_are_made_in_another_way(saltmarsh):
    from geomgen.regeneration.cache import BuildCache

    making = Making(saltmarsh, BuildCache(None), lambda _: None, 1, 0.2)
    cuts = {name for name, step in making.worker.steps.items() if step.cuts}
    assert {"pod", "scoop 0", "wing to boom"} <= cuts
    assert not {"hull", "wing", "boom", "firewall", "engine"} & cuts


def test_a_first_shape_reads_cut_parts_and_whole_ones(saltmarsh):
    from geomgen.kernel.brep.primitives import box
    from geomgen.kernel.mesh_part import MeshPart
    from geomgen.kernel.meshes.mesh_bytes import mesh_bytes
    from geomgen.kernel.meshing.proven import meshed
    from geomgen.kernel.model import Model
    from geomgen.regeneration.cache import BuildCache
    from geomgen.regeneration.first import FirstShape
    from geomgen.regeneration.worker_jobs import RegenerationWorker

    cache = BuildCache(None)
    made = meshed(box((0, 0, 0), (1, 2, 3)), 0.1, part="wing")
    cut = MeshPart(2.0 * made.mesh.vertices, made.mesh.triangles, 0.1)
    hashes = {
        "wing": cache.keep_body(mesh_bytes(made)),
        "pod": cache.keep_body(cut.as_bytes()),
    }
    shape = FirstShape(Model(), hashes, RegenerationWorker(saltmarsh, cache, 0.1))
    # Closed form: 1 by 2 by 3, and twice as large.
    assert [shape.mesh(name).volume for name in hashes] == pytest.approx([6.0, 48.0])


def test_what_the_exact_figure_does_not_bear_out_is_said_and_logged(saltmarsh, tmp_path):
    from geomgen.measurements.record import Measurement
    from geomgen.sizing.target import Target
    from geomgen.verdicts.first import first_judged
    from geomgen.verdicts.judge import judge

    target = Target("gap", "gap", "at least", "mm", low=20.0)
    gap = Measurement("gap", "pod", "gap", 25.0, "mm", "meshes", error_bound=0.2)
    first = first_judged([gap], [target])
    assert logged(tmp_path, saltmarsh, first, judge([replace(gap, value=25.1)], [target])) == ()
    assert not (tmp_path / LOG).exists()
    (words,) = logged(tmp_path, saltmarsh, first, judge([replace(gap, value=25.6)], [target]))
    assert "gap: the first answer 25.0" in words
    row = json.loads((tmp_path / LOG).read_text("utf-8"))
    assert row["strayed"][0]["exact"] == 25.6
    assert "[pod]" in row["parameters"]
