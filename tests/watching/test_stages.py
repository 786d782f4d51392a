"""The real stages on the real example, through the builder's own process."""

import json
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from functools import partial
from itertools import groupby

import pytest
from watched_aircraft import aircraft, edit

from geomgen.errors import FileWriteError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.mesh_part import MeshPart
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.model import Model
from geomgen.parameters import load
from geomgen.regeneration.first import FirstAnswers
from geomgen.watching import stages as module
from geomgen.watching.live_page.state_results import DrawnState, FirstJudged, Judged, Modelled
from geomgen.watching.stages import stages
from geomgen.watching.watch import Watch
from geomgen.workflows import check

RED = (1.0, 0.0, 0.0)
SLOW = """
import pathlib, sys, time
folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True)
(folder / "half").write_text("x")
time.sleep(60)
"""


@pytest.mark.long
def test_a_real_aircraft_is_watched(tmp_path):
    """The checks are those of `check` of the same file; a change shows in model and drawings."""
    file, told = aircraft(tmp_path), []
    watch = Watch(file, (), tmp_path / "out", told.append)
    try:
        for revision in (1, 2):
            end = time.monotonic() + 600
            while watch.state.section("drawings") is None or (
                watch.state.section("drawings")["revision"] != revision
            ):
                assert time.monotonic() < end, watch.state.section("status")
                watch.step()
            if revision == 1:
                edit(file, 'height = "56 mm"', 'height = "48 mm"')
        assert [one.kind for one in told] == ["first", "built", "first", "built"]
        assert told[3].checks == check(file, out=tmp_path / "other").checks
        assert "inlet.area" in {change.id for change in told[3].changes}
        assert "prop.radial_clearance" not in {change.id for change in told[3].changes}
        shown = watch.state.section("model")
        assert (shown["revision"], shown["first"], shown["stamp"]) == (2, False, 6)
        model = json.loads(watch.state.body("model"))
        kinds = {trace["meta"].get("kind", "part") for trace in model["traces"]}
        assert kinds == {"part", "span", "opening"}
        assert len(watch.state.section("drawings")["shown"]) >= 3
        for shown in watch.state.section("drawings")["shown"]:
            assert b"<svg" in watch.state.body(shown["name"])[:200]
    finally:
        watch.stop()


@pytest.mark.long
def test_what_is_not_wanted_any_more_ends_at_once(tmp_path):
    """Verdict first, then the model; and while drawings are made, a word ends them."""

    class Enough(BaseException):
        pass

    asked = []

    def say(words):
        asked.append((time.monotonic(), words))
        if "three-view" in words and asked[-1][0] - began(asked) > 0.5:
            raise Enough

    found = []

    def run():
        for made in stages(load(aircraft(tmp_path)), tmp_path / "out", say):
            found.append(type(made))

    with pytest.raises(Enough):
        run()
    # First answers come as they are known, all of them before anything else.
    assert [kind for kind, _ in groupby(found)][:4] == [FirstJudged, Modelled, Judged, Modelled]
    assert DrawnState not in found
    assert time.monotonic() - asked[-1][0] < 2.0


def test_a_first_shape_is_drawn_by_its_meshes_and_whole_parts_are_drawn_once(monkeypatch):
    """A box that meshes were cut to, and one that is whole: only the first is drawn again."""
    monkeypatch.setattr(module, "_last", {})
    whole = meshed(box((0, 0, 0), (10, 20, 30)), 0.1, part="wing").mesh
    cut = MeshPart(whole.vertices + 50.0, whole.triangles, 0.1)
    parts = ("pod", "wing")
    model = Model(families=dict(zip(parts, parts, strict=True)), colours=dict.fromkeys(parts, RED))
    shape = Shape(model, {"pod": "a", "wing": "b"}, {"pod": cut.mesh, "wing": whole})
    first = FirstAnswers((), (), (), 0.1, 1, 0, shape=shape)
    (made,) = module._first_model(first, lambda _: None)
    traces = json.loads(made.text)["traces"]
    assert made.first
    assert [trace["name"] for trace in traces] == ["pod", "wing"]
    asked = []

    def mesh_of(name):
        asked.append(name)
        return whole

    exact = module.bodies_of(model, {"pod": "c", "wing": "b"}, mesh_of)
    assert asked == ["pod"]
    assert [part.points.max() for part in exact] == [30.0, 30.0]
    # The next first shape has its cut parts as they were, if nothing moved them.
    again = module.bodies_of(model, shape.hashes, mesh_of, first=True)
    assert asked == ["pod"]
    assert again[0].points.max() == 80.0


def test_a_first_shape_that_is_not_there_holds_nothing_up():
    class Gone(Shape):
        def mesh(self, part):
            raise FileWriteError("gone", path=part)

    model = Model(families={"wing": "wing"}, colours={"wing": RED})
    for shape in (None, Gone(model, {"wing": "d"}, {})):
        first = FirstAnswers((), (), (), 0.1, 1, 0, shape=shape)
        assert list(module._first_model(first, lambda _: None)) == []


@dataclass
class Shape:
    """A first shape of given meshes."""

    model: Model
    hashes: dict
    meshes: dict

    def mesh(self, part):
        return self.meshes[part]


def began(asked):
    return next(when for when, words in asked if "three-view" in words)


def test_drawings_that_are_overtaken_leave_no_folder(tmp_path, monkeypatch):
    """Their processes are killed in the middle of them, and can't clear up."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    class Overtaken(BaseException):
        pass

    def slow(folder):
        return partial(subprocess.run, [sys.executable, "-c", SLOW, str(folder / "drawings")])

    jobs = ("three-view", "sections")
    monkeypatch.setattr(
        module, "_beside", lambda p, state, spare: {name: slow(spare / name) for name in jobs}
    )
    end = time.monotonic() + 20

    def say(_):
        if len(list(tmp_path.rglob("half"))) == 2 or time.monotonic() > end:
            raise Overtaken

    def run():
        for _ in module._answers(None, None, say):
            pass

    with pytest.raises(Overtaken):
        run()
    assert time.monotonic() < end
    assert list(tmp_path.iterdir()) == []
