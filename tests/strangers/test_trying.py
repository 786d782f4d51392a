"""What comes of a process is told apart: built, refused, unclear, hang, fault, wrong."""

import multiprocessing
import os
import time

import pytest
from strangers import trying
from strangers.trying import tried

from geomgen.errors import FileWriteError, GeometryError, ParameterError


def end_of(monkeypatch, run, cpu=30):
    monkeypatch.setattr(trying, "_run", run)
    return tried("fair", 1, "text", "solids", cpu)


def raising(error):
    def run(text, stage):
        raise error

    return run


@pytest.mark.parametrize(
    ("error", "outcome", "by"),
    [
        (ParameterError("out of range", key="pod.wall"), "refused", "input"),
        (ParameterError("no such thing"), "unclear", "input"),
        (GeometryError("it folds", part="pod", look_at=["pod.wall"]), "refused", "geometry"),
        (GeometryError("it folds", part="pod"), "unclear", "geometry"),
        (GeometryError("it folds", look_at=["where wing and pod meet"]), "unclear", "geometry"),
        (FileWriteError("disk full"), "unclear", "file"),
        (ValueError("poles"), "fault", ""),
        (MemoryError(), "fault", ""),
    ],
)
def test_errors_are_told_apart(monkeypatch, error, outcome, by):
    found = end_of(monkeypatch, raising(error))
    assert (found.outcome, found.by) == (outcome, by)


def test_a_process_that_never_answers_hangs(monkeypatch):
    clock = multiprocessing.RawValue("d", 0.0)

    def ever(text, stage):
        while True:
            clock.value = time.process_time()

    found = end_of(monkeypatch, ever, cpu=1)
    assert found.outcome == "hang"
    assert "1 s of processor time" in found.message
    # The system ends it by ticks of the clock, which count for more where the machine is shared;
    # what is told is the time that the process had, by its own clock.
    assert found.cpu == pytest.approx(clock.value, abs=0.1)
    assert 0.0 < clock.value < 8
    assert found.wall > 0.9


def test_a_process_that_waits_for_ever_hangs(monkeypatch):
    monkeypatch.setattr(trying, "WALL", 1)
    found = end_of(monkeypatch, lambda text, stage: time.sleep(100))
    assert found.outcome == "hang"
    assert found.wall < 20


def test_a_process_that_breaks_down_is_a_fault(monkeypatch):
    found = end_of(monkeypatch, lambda text, stage: os._exit(3))
    assert found.outcome == "fault"
    assert "broke down" in found.message


def test_what_is_built_wrong_is_wrong(monkeypatch):
    monkeypatch.setattr("strangers.looking.problems_of", lambda *_: ["wing: open"])
    monkeypatch.setattr("geomgen.parameters.load", lambda file: None)
    monkeypatch.setattr("geomgen.workflows.assemble", lambda p: None)
    found = tried("fair", 1, "text", "solids")
    assert (found.outcome, found.message) == ("wrong", "wing: open")


def test_a_file_that_is_no_parameter_file_is_refused():
    found = tried("fair", 1, "[pod]\nwall = 3", "solids")
    assert (found.outcome, found.by) == ("refused", "input")
    assert "pod.wall" in found.message
