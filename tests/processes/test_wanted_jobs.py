"""Jobs in children: answers, errors, and that nothing goes on when nobody wants it."""

import os
import time
from functools import partial

import pytest

from geomgen.errors import FileWriteError, GeometryError
from geomgen.processes.wanted_jobs import answered


def slow():
    time.sleep(0.5)
    return "slow"


def fail(error):
    raise error


def work(folder):
    (folder / str(os.getpid())).touch()
    time.sleep(30)


def test_answers_come_and_the_quick_one_does_not_wait():
    said = []
    found = list(answered({"slow": slow, "a": partial(int, 1), "b": partial(int, 2)}, said.append))
    assert found == [("a", 1), ("b", 2), ("slow", "slow")]
    assert said[0] == "slow, a"


@pytest.mark.parametrize(
    "error",
    [
        GeometryError("the walls meet", part="pod", step="wall", look_at=["pod.wall"]),
        FileWriteError("the disk is full", path="a", advice="free some"),
    ],
)
def test_errors_of_a_child_are_raised_here(error):
    with pytest.raises(type(error)) as caught:
        list(answered({"a": partial(fail, error)}, lambda _: None))
    assert caught.value.as_dict() == error.as_dict()


def test_a_fault_and_a_crash_name_their_job():
    with pytest.raises(RuntimeError, match=r"bay: a fault .*ZeroDivisionError"):
        list(answered({"bay": partial(divmod, 1, 0)}, lambda _: None))
    with pytest.raises(GeometryError, match=r"broke down.*7"):
        list(answered({"bay": partial(os._exit, 7)}, lambda _: None))


def test_children_end_at_once_when_the_answers_are_not_wanted(tmp_path):
    asked = []

    def still(_):
        asked.append(time.monotonic())
        if len(list(tmp_path.iterdir())) == 2:
            raise KeyboardInterrupt

    started = time.monotonic()
    with pytest.raises(KeyboardInterrupt):
        list(answered({"a": partial(work, tmp_path), "b": partial(work, tmp_path)}, still))
    assert time.monotonic() - started < 10
    for child in tmp_path.iterdir():
        with pytest.raises(ProcessLookupError):
            os.kill(int(child.name), 0)
