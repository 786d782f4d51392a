"""Executors: `concurrent.futures` of Python, and dask's (a real local cluster)."""

import os
import signal
import time
from functools import partial

import made_outcomes
import psutil
import pytest
from started import FORKS

from geomgen.errors import GeomgenError, ParameterError
from geomgen.processes.executors import Processes, Scheduled, ended, scheduled


def process(job):
    """Answer with the job and the process that it ran in."""
    return job, os.getpid(), os.getppid()


def end_worker(job):
    """Kill the worker itself the first time, as a system short of memory may; then answer."""
    folder, number = job
    mark = os.path.join(folder, f"died-{number}")
    if number == 2 and not os.path.exists(mark):
        open(mark, "w").close()
        os.kill(os.getppid(), signal.SIGKILL)
        time.sleep(5)
    return number


def always_end_worker(number):
    if number == 1:
        os.kill(os.getppid(), signal.SIGKILL)
        time.sleep(5)
    return number


def answers(work, jobs, workers, limit=20.0):
    task = partial(made_outcomes.guarded_by, work, limit)
    return {str(job): end for job, end in ended(task, jobs, workers)}


def test_every_job_is_done_in_a_child_of_a_warm_worker():
    found = answers(process, list(range(6)), Processes(2, made_outcomes.warm))
    assert sorted(end.answer[0] for end in found.values()) == list(range(6))
    assert len({end.answer[1] for end in found.values()}) == (6 if FORKS else 2)
    workers = {end.answer[2] for end in found.values()}
    assert 1 <= len(workers) <= 2
    assert not any(psutil.pid_exists(worker) for worker in workers)


def stamped(job):
    """Take a while; say from when to when, for a job and how long it takes [s]."""
    began = time.monotonic()
    time.sleep(job[1])
    return began, time.monotonic()


@pytest.mark.parametrize("lead", [True, False])
def test_the_others_wait_for_one_that_leads_and_for_no_other(lead):
    jobs, task = [(i, 0.3) for i in range(5)], partial(made_outcomes.guarded_by, stamped, 20.0)
    workers = Processes(2, made_outcomes.warm)
    spans = {job[0]: end.answer for job, end in ended(task, jobs, workers, lead)}
    (_, first_end), *rest = (spans[i] for i in range(5))
    assert all(began >= first_end for began, _ in rest) is lead
    assert any(a[0] < b[1] and b[0] < a[1] for a in rest for b in rest if a is not b)


def test_a_worker_that_dies_is_replaced_and_its_job_done_again(tmp_path):
    jobs = [(str(tmp_path), number) for number in range(5)]
    found = answers(end_worker, jobs, Processes(2, made_outcomes.warm))
    assert sorted(end.answer for end in found.values()) == list(range(5))
    assert (tmp_path / "died-2").exists()


def test_a_job_that_kills_every_worker_is_given_up():
    found = answers(always_end_worker, [1, 2, 3], Processes(1, made_outcomes.warm))
    assert found["1"].how == "crashed"
    assert "3 times" in found["1"].words
    assert [found["2"].answer, found["3"].answer] == [2, 3]


def test_closing_ends_what_is_under_way():
    before = psutil.Process().children()
    workers = Processes(1, made_outcomes.warm)
    stream = ended(
        partial(made_outcomes.guarded_by, made_outcomes.sleepy, 60.0), [0.0, 30.0], workers
    )
    next(stream)
    children = [p for p in psutil.Process().children() if p not in before]
    assert children
    started = time.monotonic()
    stream.close()
    assert time.monotonic() - started < 5
    assert psutil.wait_procs(children, timeout=5)[1] == []


@pytest.fixture(scope="module")
def cluster():
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as made:
        client = made.get_client()
        here = os.path.dirname(made_outcomes.__file__)
        client.run(made_outcomes.add_path, here)
        yield made
        client.close()


def test_dask_does_the_same_jobs(cluster):
    with scheduled(cluster.scheduler_address) as workers:
        assert workers.at_once() == 2
        # A study hands over first answers, then exact ones.
        for _ in range(2):
            found = answers(process, list(range(4)), workers)
            assert sorted(end.answer[0] for end in found.values()) == list(range(4))
    assert os.getpid() not in {end.answer[2] for end in found.values()}


def test_dask_contains_a_crash(cluster):
    with scheduled(cluster.scheduler_address) as workers:
        found = answers(made_outcomes.crash, [1], workers)
    assert "SIGSEGV" in found["1"].words


def test_dask_does_the_job_of_a_killed_worker_again(cluster, tmp_path):
    jobs = [(str(tmp_path), number) for number in range(5)]
    with scheduled(cluster.scheduler_address) as workers:
        found = answers(end_worker, jobs, workers)
    assert sorted(end.answer for end in found.values()) == list(range(5))
    assert (tmp_path / "died-2").exists()


def test_no_scheduler_is_told_soon():
    started = time.monotonic()
    with (
        pytest.raises(ParameterError, match="no scheduler answers") as refused,
        scheduled("tcp://127.0.0.1:9", 1.0),
    ):
        pass
    assert time.monotonic() - started < 6
    assert refused.value.exit_code == 2


def test_no_dask_is_told(monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)
    with pytest.raises(ParameterError, match="dask is not installed") as refused, scheduled("x"):
        pass
    assert "-e '.[dask]'" in refused.value.advice


def test_a_scheduler_without_workers_is_not_waited_for_for_ever(monkeypatch):
    class Empty:
        def get_executor(self, pure):
            return None

        def nthreads(self):
            return {}

    monkeypatch.setattr("geomgen.processes.executors.WITHOUT", 0.3)
    workers = Scheduled(Empty())
    workers.stop = lambda: None
    with pytest.raises(GeomgenError, match="no worker"):
        answers(process, [1], workers)
