"""A run that is told to stop leaves nothing behind: no child, no temporary file, no half a set."""

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import psutil
import pytest

from geomgen.processes.stopping import Stopped, stoppable

ROOT = Path(__file__).parents[2]
CONFIG = ROOT / "configs" / "saltmarsh.toml"


@pytest.mark.parametrize(
    "number", [signal.SIGTERM, pytest.param(signal.SIGHUP, marks=pytest.mark.long)]
)
def test_a_build_that_is_told_to_stop_clears_up(tmp_path, number):
    spare, out = tmp_path / "spare", tmp_path / "out"
    spare.mkdir()
    run = subprocess.Popen(
        [sys.executable, "-m", "geomgen.cli", "build", CONFIG, "--afresh", "--out", out],
        cwd=ROOT,
        env={**os.environ, "TMPDIR": str(spare)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        end = time.monotonic() + 120
        # At work: something was kept by a child, in the folder for temporary files.
        while not any(p.is_file() for p in spare.rglob("??/*")) and time.monotonic() < end:
            time.sleep(0.05)
        children = psutil.Process(run.pid).children(recursive=True)
        assert children
        run.send_signal(number)
        answer, words = run.communicate(timeout=60)
    finally:
        run.kill()
    assert (run.returncode, answer) == (128 + number, "")
    assert words == f"geomgen: stopped by {number.name}\n"
    assert list(spare.iterdir()) == []
    assert [p.name for p in out.iterdir()] == [".saltmarsh.lock"]
    assert psutil.wait_procs(children, timeout=2)[1] == []


def test_one_signal_is_raised_once_and_the_former_answers_come_back():
    former = [signal.getsignal(n) for n in (signal.SIGTERM, signal.SIGHUP)]

    def told_twice():
        with stoppable():
            try:
                signal.raise_signal(signal.SIGTERM)
            finally:
                signal.raise_signal(signal.SIGHUP)

    with pytest.raises(Stopped) as caught:
        told_twice()
    assert caught.value.number == signal.SIGTERM
    assert [signal.getsignal(n) for n in (signal.SIGTERM, signal.SIGHUP)] == former


def test_what_is_ignored_stays_ignored():
    former = signal.signal(signal.SIGHUP, signal.SIG_IGN)
    try:
        with stoppable():
            signal.raise_signal(signal.SIGHUP)
    finally:
        signal.signal(signal.SIGHUP, former)


def test_another_thread_is_left_alone():
    seen = []

    def run():
        with stoppable():
            seen.append(signal.getsignal(signal.SIGTERM))

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()
    assert seen == [signal.getsignal(signal.SIGTERM)]
