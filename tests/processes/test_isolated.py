"""Signals and exit codes as POSIX counts them."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from geomgen.errors import GeometryError
from geomgen.processes.isolated import isolated

ROOT = Path(__file__).parents[2]


def twice(job):
    return {"twice": 2 * job}


def hang(mark):
    Path(mark).write_text(str(subprocess.Popen(["sleep", "60"]).pid))
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    while True:
        time.sleep(1)


def fail(_):
    raise GeometryError("the walls meet", part="pod")


def no_traveller(_):
    return lambda: None


def loud(_):
    os.write(1, b"kernel chatter")
    print("more", flush=True)
    return 1


def test_an_answer_comes_back():
    end = isolated(twice, 21)
    assert (end.how, end.answer) == ("done", {"twice": 42})


def test_a_large_answer_comes_back_whole():
    assert isolated(bytes, 5_000_000).answer == bytes(5_000_000)


def crash(number):
    os.kill(os.getpid(), number)
    time.sleep(10)


@pytest.mark.parametrize("number", [signal.SIGSEGV, signal.SIGABRT, signal.SIGKILL])
def test_a_crash_costs_this_job_only(number):
    end = isolated(crash, number)
    assert end.how == "crashed"
    assert signal.Signals(number).name in end.words
    assert isolated(abs, -1).answer == 1


def test_a_process_that_leaves_without_an_answer_is_a_crash():
    assert "code 7" in isolated(os._exit, 7).words
    assert isolated(os._exit, 0).how == "crashed"


def test_a_hang_is_killed_at_the_limit_with_all_that_it_started(tmp_path):
    started = time.monotonic()
    end = isolated(hang, str(tmp_path / "mark"), 1.5)
    assert end.how == "timed out"
    assert 1.5 <= time.monotonic() - started < 5
    grandchild = int((tmp_path / "mark").read_text())
    assert not psutil.pid_exists(grandchild) or (
        psutil.Process(grandchild).status() == psutil.STATUS_ZOMBIE
    )


def test_an_exception_is_told_in_words():
    end = isolated(fail, None)
    assert (end.how, end.words) == ("raised", "pod: the walls meet")


def test_an_answer_that_can_not_travel_is_told():
    assert isolated(no_traveller, None).how == "raised"


def test_what_the_job_prints_is_thrown_away(capfd):
    assert isolated(loud, None).answer == 1
    assert capfd.readouterr() == ("", "")


def test_the_job_ends_with_the_process_that_asked(tmp_path):
    """Kill the asker: the job must not write its mark two seconds later."""
    mark = tmp_path / "mark"
    code = (
        "import sys, time\n"
        "from geomgen.processes.isolated import isolated\n"
        "def job(path):\n"
        "    print('on', file=open(path + '.on', 'w'))\n"
        "    time.sleep(1.0)\n"
        "    open(path, 'w').close()\n"
        "if __name__ == '__main__':\n"
        "    isolated(job, sys.argv[1])\n"
    )
    script = tmp_path / "asker.py"
    script.write_text(code, encoding="ascii")
    way = {**os.environ, "PYTHONPATH": str(ROOT)}
    asker = subprocess.Popen([sys.executable, str(script), str(mark)], env=way)
    until = time.monotonic() + 60
    while not (tmp_path / "mark.on").exists() and time.monotonic() < until:
        time.sleep(0.02)
    asker.kill()
    asker.wait()
    time.sleep(1.3)
    assert not mark.exists()
