"""Who holds a target is told, and waited for as long as that run lives, no longer."""

import fcntl
import platform
import subprocess
import sys
import threading
import time

import pytest

from geomgen.errors import FileWriteError
from geomgen.processes import target_lock
from geomgen.processes.target_lock import locked

HOLD = """
import sys, time
from pathlib import Path
from geomgen.processes.target_lock import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def holder(tmp_path):
    run = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path / "set")],
        stdout=subprocess.PIPE,
        text=True,
    )
    assert run.stdout.readline() == "held\n"
    yield run
    run.kill()
    run.wait()
    run.stdout.close()


def test_it_is_waited_for_as_long_as_the_holder_lives(tmp_path, holder, monkeypatch):
    """Far longer than the time that a dead one is given."""
    monkeypatch.setattr(target_lock, "GRACE", 0.1)
    said, taken = [], threading.Event()

    def take():
        with locked(tmp_path / "set", said.append):
            taken.set()

    second = threading.Thread(target=take)
    second.start()
    assert not taken.wait(1.0)
    holder.kill()
    holder.wait()
    assert taken.wait(20)
    second.join()
    (words,) = said
    assert words.startswith(f"waiting for another run of geomgen (process {holder.pid}, since ")
    assert words.endswith(f"): it is at work on {tmp_path / 'set'}")


def test_a_killed_holder_holds_nobody_up(tmp_path, holder):
    holder.kill()
    holder.wait()
    with locked(tmp_path / "set", pytest.fail):
        pass


def test_a_lock_that_outlives_its_holder_is_told(tmp_path, monkeypatch):
    """As when something that the dead run had started still has the file open."""
    monkeypatch.setattr(target_lock, "GRACE", 0.2)
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait()
    path = tmp_path / ".set.lock"
    path.write_text(f" {gone.pid} 14:03:12 {platform.node()}")
    with open(path, "rb") as left:
        fcntl.flock(left, fcntl.LOCK_EX)
        started = time.monotonic()
        with (
            pytest.raises(FileWriteError, match=rf"process {gone.pid}.*has ended") as caught,
            locked(tmp_path / "set"),
        ):
            pass
        assert time.monotonic() - started >= 0.2
    assert caught.value.exit_code == 4
    assert "--out" in caught.value.advice


def test_another_machine_is_named_and_not_asked():
    holder = ("999999999", "14:03:12", "elsewhere")
    assert target_lock._lives(holder)
    assert "process 999999999 on elsewhere" in target_lock._words(holder)
