"""Jobs that build on each other, errors of children, and a child that the kernel brings down."""

import os
import signal

import pytest

from geomgen.errors import FaultError, GeometryError, ParameterError
from geomgen.processes import role
from geomgen.processes.worker import CHOICE
from geomgen.processes.worker_pool import WorkerPool, answers


def work(message):
    kind, value = message
    if kind == "fail":
        raise GeometryError("no such shape", part="pod", step="loft", look_at=["pod.wall"])
    if kind == "fall":
        os.kill(os.getpid(), signal.SIGKILL)
    if kind == "refuse":
        raise ParameterError("no unit", file="a.toml", key="wing.waterline", line=7)
    if kind == "fault":
        return {}[value]
    if kind == "who":
        return os.getpid(), role.threads_allowed(), role.may_have_children()
    return value * 2


def no_traveller(message):
    return lambda: message


def fall(name):
    if name == "wing":
        os.kill(os.getpid(), signal.SIGKILL)
    return name


@pytest.mark.parametrize("jobs", [1, 2])
def test_an_answer_may_add_further_jobs(jobs) -> None:
    """Doubling 1 ten times is 2^10 (closed form)."""
    pool, last = WorkerPool(work, jobs), []

    def more(value):
        last.append(value)
        if len(last) < 10:
            pool.add("again", 1.0, lambda: ("double", value), more)

    pool.add("first", 1.0, lambda: ("double", 1), more)
    pool.run()
    assert last[-1] == 2**10


@pytest.mark.parametrize("jobs", [1, 2])
def test_all_jobs_are_done_heaviest_first(jobs) -> None:
    pool, said, got = WorkerPool(work, jobs), [], []
    for i in range(20):
        pool.add(f"job {i}", float(i), lambda i=i: ("double", i), got.append)
    pool.run(said.append)
    assert sorted(got) == [2 * i for i in range(20)]
    assert said[0] in {"job 19", "job 18"}
    assert len(said) == 20


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_childs_error_comes_back_as_it_was(jobs) -> None:
    pool = WorkerPool(work, jobs)
    pool.add("pod", 1.0, lambda: ("fail", 0), lambda _: None)
    with pytest.raises(GeometryError) as caught:
        pool.run()
    assert (caught.value.part, caught.value.look_at) == ("pod", ["pod.wall"])


def test_children_have_no_threads_and_no_children() -> None:
    pool, seen = WorkerPool(work, 2), []
    for _ in range(4):
        pool.add("who", 1.0, lambda: ("who", 0), seen.append)
    pool.run()
    assert os.getpid() not in {pid for pid, _, _ in seen}
    assert {(threads, fork) for _, threads, fork in seen} == {(False, False)}


def test_a_fallen_child_is_an_error_that_names_its_job() -> None:
    pool = WorkerPool(work, 2)
    pool.add("trim of the wing", 1.0, lambda: ("fall", 0), lambda _: None)
    pool.add("other", 2.0, lambda: ("double", 1), lambda _: None)
    with pytest.raises(GeometryError, match="broke down") as caught:
        pool.run()
    assert caught.value.part == "trim of the wing"


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_fault_of_ours_says_of_what_in_words(jobs) -> None:
    pool = WorkerPool(work, jobs)
    pool.add("mesh of the pod", 1.0, lambda: ("fault", "no key"), lambda _: None)
    with pytest.raises(
        FaultError, match=r"mesh of the pod: a fault .*KeyError: 'no key'"
    ) as caught:
        pool.run()
    assert "Traceback" not in str(caught.value) + str(caught.value.as_dict())
    assert "test_worker_pool.py" in caught.value.frames


def test_what_a_child_refuses_comes_back_as_a_refusal() -> None:
    pool = WorkerPool(work, 2)
    pool.add("wing", 1.0, lambda: ("refuse", 0), lambda _: None)
    with pytest.raises(ParameterError) as caught:
        pool.run()
    assert (caught.value.key, caught.value.line) == ("wing.waterline", 7)


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_second_run_starts_again_after_an_error(jobs) -> None:
    pool, got = WorkerPool(work, jobs), []
    pool.add("fails", 1.0, lambda: ("fail", 0), got.append)
    for i in range(5):
        pool.add("left behind", 0.5, lambda i=i: ("double", 100 + i), lambda _: None)
    with pytest.raises(GeometryError):
        pool.run()
    pool.add("works", 1.0, lambda: ("double", 4), got.append)
    said = []
    pool.run(said.append)
    assert (got, said) == ([8], ["works"])


def test_an_answer_that_can_not_travel_says_so() -> None:
    pool = WorkerPool(no_traveller, 2)
    for _ in range(2):
        pool.add("mesh of the pod", 1.0, lambda: "a", lambda _: None)
    with pytest.raises(FaultError, match=r"(?s)mesh of the pod.*pickling"):
        pool.run()


def test_answers_come_from_children_by_name() -> None:
    assert dict(answers(len, ["a", "bb", "ccc"])) == {"a": 1, "bb": 2, "ccc": 3}


def test_answers_of_a_fallen_child_are_not_waited_for() -> None:
    with pytest.raises(GeometryError, match="broke down") as caught:
        list(answers(fall, ["pod", "wing", "boom", "fin"]))
    assert caught.value.part == "wing"


def test_a_way_to_start_that_is_none_is_refused(monkeypatch) -> None:
    monkeypatch.setenv(CHOICE, "forked")
    with pytest.raises(ParameterError, match="forked") as caught:
        list(answers(len, ["a", "b"]))
    assert caught.value.exit_code == 2
    assert "spawn" in caught.value.allowed
