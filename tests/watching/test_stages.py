"""The real stages on the real example, through the builder's own process."""

import json
import subprocess
import sys
import tempfile
import time
from functools import partial

import pytest
from watched_aircraft import aircraft, edit

from geomgen.parameters import load
from geomgen.watching import stages as module
from geomgen.watching.live_page.state_results import DrawnState, FirstJudged, Judged, Modelled
from geomgen.watching.stages import stages
from geomgen.watching.watch import Watch
from geomgen.workflows import check

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
    assert found[:3] == [FirstJudged, Judged, Modelled]
    assert DrawnState not in found
    assert time.monotonic() - asked[-1][0] < 2.0


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
