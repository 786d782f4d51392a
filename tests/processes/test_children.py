"""Children end at once with a parent that is killed, also in the middle of a call of the kernel."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from geomgen.processes.children import STOPPING, held_back

ROOT = Path(__file__).parents[2]
# Work as the kernel does it: one long call, during which nothing of Python runs in the process.
START = """
import ctypes, os, sys, threading, time
from pathlib import Path

def work(_):
    ctypes.PyDLL(None).sleep(60)

def nothing():
    pass

def on_end(job):
    from geomgen.processes.isolated import isolated
    return isolated(work, job, 60.0)

def stages(p, out, say):
    from geomgen.processes.worker_pool import answers
    list(answers(work, ["a", "b"], jobs=2))
    yield

def pool():
    from geomgen.processes.worker_pool import answers
    list(answers(work, ["a", "b"], jobs=2))

def guard():
    on_end("a")

def drawings():
    from functools import partial
    from geomgen.processes.wanted_jobs import answered
    list(answered({"a": partial(work, 0), "b": partial(work, 0)}, lambda _: None))

def sweep():
    from geomgen.processes.executors import Processes, ended
    list(ended(on_end, ["a"], Processes(1, nothing)))

def watch():
    from geomgen.watching.builder import Builder
    builder = Builder(stages, Path("."))
    builder.build(1, None)
    while True:
        time.sleep(0.1)
        builder.messages()

if __name__ == "__main__":
    globals()[sys.argv[1]]()
"""


def lives(process: psutil.Process) -> bool:
    return process.is_running() and process.status() != psutil.STATUS_ZOMBIE


def asleep(parent: psutil.Process, many: int) -> list[psutil.Process]:
    """Return all that a process has started, as soon as so many of it are in the long call."""
    end = time.monotonic() + 60
    while time.monotonic() < end:
        found = parent.children(recursive=True)
        calls = [Path(f"/proc/{p.pid}/wchan") for p in found]
        if sum("nanosleep" in wchan.read_text() for wchan in calls if wchan.exists()) >= many:
            return found
        time.sleep(0.05)
    raise AssertionError(f"not at work: {parent.children(recursive=True)}")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="what Linux does for a child")
@pytest.mark.parametrize(
    ("what", "many"),
    [
        *(("pool", 2), ("watch", 2)),
        *(
            pytest.param(*row, marks=pytest.mark.long)
            for row in (("guard", 1), ("drawings", 2), ("sweep", 1))
        ),
    ],
)
def test_no_child_outlives_a_killed_parent(tmp_path, what, many):
    script = tmp_path / "start.py"
    script.write_text(START, encoding="ascii")
    run = subprocess.Popen(
        [sys.executable, str(script), what],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    try:
        children = asleep(psutil.Process(run.pid), many)
        assert len(children) >= many
    finally:
        run.kill()
        run.wait()
    _, left = psutil.wait_procs(children, timeout=2.0)
    assert [p for p in left if lives(p)] == []


ORPHAN = """
import multiprocessing, os, sys, time
from geomgen.processes.children import follow_parent

def child(note, platform, late):
    sys.platform = platform or sys.platform
    while late and os.getppid() == late:
        time.sleep(0.01)
    follow_parent()
    with open(note, "w") as file:
        file.write(str(os.getpid()))
    time.sleep(60)

if __name__ == "__main__":
    note, method, platform, late = sys.argv[1:]
    given = (note, platform, os.getpid() if late else 0)
    multiprocessing.get_context(method).Process(target=child, args=given, daemon=True).start()
    while not late and not (os.path.exists(note) and open(note).read()):
        time.sleep(0.01)
    os._exit(0)
"""


def orphan(tmp_path, method, platform, late):
    script, note = tmp_path / "orphan.py", tmp_path / "note"
    script.write_text(ORPHAN, encoding="ascii")
    subprocess.run(
        [sys.executable, str(script), str(note), method, platform, late],
        check=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    return note


# A forked child elsewhere would hold its own parent's sign of life open: only Linux forks.
BEGUN = pytest.mark.parametrize(
    ("method", "platform"),
    [("fork", ""), pytest.param("spawn", "", marks=pytest.mark.long), ("spawn", "other")],
)


@BEGUN
def test_a_child_whose_parent_has_ended_ends(tmp_path, method, platform):
    note = orphan(tmp_path, method, platform, "")
    end = time.monotonic() + 2.0
    while psutil.pid_exists(int(note.read_text())) and time.monotonic() < end:
        time.sleep(0.02)
    assert not psutil.pid_exists(int(note.read_text()))


@BEGUN
def test_a_parent_that_ends_before_the_child_could_ask(tmp_path, method, platform):
    note = orphan(tmp_path, method, platform, "late")
    time.sleep(1.5 if method == "spawn" else 0.5)
    assert not note.exists()


def test_signals_are_held_back_while_a_child_starts():
    former = signal.pthread_sigmask(signal.SIG_BLOCK, [])
    with held_back():
        assert set(STOPPING) <= signal.pthread_sigmask(signal.SIG_BLOCK, [])
    assert signal.pthread_sigmask(signal.SIG_BLOCK, []) == former


HEARD = """
import multiprocessing, signal, sys
from geomgen.processes.children import follow_parent, held_back

def child():
    follow_parent()
    print(*(signal.getsignal(n).name for n in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)))
    print(*signal.pthread_sigmask(signal.SIG_BLOCK, []), flush=True)

signal.signal(signal.SIGHUP, getattr(signal, sys.argv[1]))
signal.signal(signal.SIGTERM, lambda *_: None)
process = multiprocessing.get_context("fork").Process(target=child)
with held_back():
    process.start()
process.join()
"""


@pytest.mark.parametrize("hangup", ["SIG_DFL", "SIG_IGN"])
def test_what_a_child_hears(hangup):
    """Ctrl-C is the parent's; what was ignored from the start (nohup) stays so."""
    found = subprocess.run(
        [sys.executable, "-c", HEARD, hangup],
        capture_output=True,
        text=True,
        timeout=60,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert found.stdout.split() == ["SIG_IGN", "SIG_DFL", hangup], found.stderr
