"""Signals and exit codes as POSIX counts them."""

import os
import signal
import subprocess
import sys
import time

import pytest

from geomgen.errors import GeometryError
from geomgen.studies.guarded import guarded


def test_an_answer_comes_back():
    end = guarded(lambda job: {"twice": 2 * job}, 21)
    assert (end.how, end.answer) == ("done", {"twice": 42})


def test_a_large_answer_comes_back_whole():
    assert guarded(lambda n: b"x" * n, 5_000_000).answer == b"x" * 5_000_000


def crash(number):
    os.kill(os.getpid(), number)
    time.sleep(10)


@pytest.mark.parametrize("number", [signal.SIGSEGV, signal.SIGABRT, signal.SIGKILL])
def test_a_crash_costs_this_job_only(number):
    end = guarded(crash, number)
    assert end.how == "crashed"
    assert signal.Signals(number).name in end.words
    assert guarded(abs, -1).answer == 1


def test_a_process_that_leaves_without_an_answer_is_a_crash():
    assert "code 7" in guarded(os._exit, 7).words
    assert guarded(os._exit, 0).how == "crashed"


def test_a_hang_is_killed_at_the_limit_with_all_that_it_started():
    started = time.monotonic()
    read, write = os.pipe()

    def hang(_):
        subprocess.Popen(["sleep", "60"], pass_fds=(write,))
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        while True:
            time.sleep(1)

    end = guarded(hang, None, 0.5)
    os.close(write)
    assert end.how == "timed out"
    assert 0.5 <= time.monotonic() - started < 3
    # The pipe ends only when nobody holds it any more: the grandchild is gone too.
    assert os.read(read, 1) == b""
    os.close(read)


def test_an_exception_is_told_in_words():
    def fail(_):
        raise GeometryError("the walls meet", part="pod")

    end = guarded(fail, None)
    assert (end.how, end.words) == ("raised", "pod: the walls meet")


def test_an_answer_that_can_not_travel_is_told():
    assert guarded(lambda _: lambda: None, None).how == "raised"


def test_what_the_job_prints_is_thrown_away(capfd):
    def loud(_):
        os.write(1, b"kernel chatter")
        print("more", flush=True)
        return 1

    assert guarded(loud, None).answer == 1
    assert capfd.readouterr() == ("", "")


def test_the_job_ends_with_the_process_that_asked(tmp_path):
    """Kill the asker: the job must not write its mark two seconds later."""
    mark = tmp_path / "mark"
    code = (
        "import sys, time\n"
        "from geomgen.studies.guarded import guarded\n"
        "def job(path):\n"
        "    print('on', file=open(path + '.on', 'w'))\n"
        "    time.sleep(1.0)\n"
        "    open(path, 'w').close()\n"
        "guarded(job, sys.argv[1])\n"
    )
    asker = subprocess.Popen([sys.executable, "-c", code, str(mark)])
    while not (tmp_path / "mark.on").exists():
        time.sleep(0.02)
    asker.kill()
    asker.wait()
    time.sleep(1.3)
    assert not mark.exists()
