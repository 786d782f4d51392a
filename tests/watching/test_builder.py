"""The builder's process by itself: what Ctrl-C is to it, and how its end is put into words."""

import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from watched_aircraft import aircraft, built, edit

from geomgen.parameters import load
from geomgen.watching.builder import Builder, ended

CTRL_C = 1 << (signal.SIGINT - 1)


def mask(pid: int, name: str) -> int:
    text = Path(f"/proc/{pid}/status").read_text()
    return int(next(line for line in text.splitlines() if line.startswith(name)).split()[1], 16)


FIRST = """
import signal, sys
sys.path.insert(0, {tests!r})
if __name__ == "__main__":
    from test_builder import CTRL_C, mask
    from watched_aircraft import built
    from geomgen.watching.builder import Builder
    builder = Builder(built, {tests!r})
    print(bool(mask(builder.pid, "SigBlk:") & CTRL_C))
    builder.stop()
"""


def test_the_first_process_that_is_spawned_is_no_exception(tmp_path) -> None:
    """With the first one Python starts a helper of its own, and meddles with the signals."""
    script = tmp_path / "first.py"
    here = Path(__file__).parent
    text = FIRST.format(tests=str(here.parent))
    script.write_text(
        text.replace("import signal, sys\n", f"import sys\nsys.path.insert(0, {str(here)!r})\n")
    )
    found = subprocess.run([sys.executable, script], capture_output=True, text=True, timeout=60)
    assert (found.stdout, found.stderr) == ("True\n", "")


def test_ctrl_c_never_meets_it_unready(tmp_path) -> None:
    """Blocked while it still imports, ignored from then on; the parent's own is as it was."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, [])
    builder = Builder(built, tmp_path)
    try:
        assert mask(builder.pid, "SigBlk:") & CTRL_C
        assert signal.pthread_sigmask(signal.SIG_BLOCK, []) == before
        builder.build(1, load(aircraft(tmp_path)))
        end, kinds = time.monotonic() + 30.0, []
        while "done" not in kinds and time.monotonic() < end:
            builder.pipe.poll(0.2)
            kinds += [message.kind for message in builder.messages()]
        assert kinds[0] == "begun"
        assert kinds[-1] == "done"
        assert mask(builder.pid, "SigIgn:") & CTRL_C
        assert not mask(builder.pid, "SigBlk:") & CTRL_C
    finally:
        builder.stop()
    assert ended(-signal.SIGKILL) == "was killed (SIGKILL)"


@pytest.mark.parametrize("how", ["stopped", "killed", "crashed"])
def test_its_temporary_files_go_with_it_however_it_ends(tmp_path, monkeypatch, how) -> None:
    """Its children too are killed in the middle of what they write."""
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(temporary))
    file = aircraft(tmp_path)
    words = "litter slow die" if how != "crashed" else "litter die"
    edit(file, 'title = "Saltmarsh shore-bird counter"', f'title = "{words}"')
    builder = Builder(built, tmp_path)
    try:
        builder.build(1, load(file))
        end, found = time.monotonic() + 30.0, []
        while not list(temporary.rglob("half")) and time.monotonic() < end:
            builder.pipe.poll(0.05)
            found += builder.messages()
        assert list(temporary.rglob("half"))
        if how == "killed":
            os.kill(builder.pid, signal.SIGKILL)
        while how != "stopped" and time.monotonic() < end:
            if "lost" in {message.kind for message in found}:
                break
            builder.pipe.poll(0.05)
            found += builder.messages()
        if how != "stopped":
            builder.restart(False)
            assert not list(temporary.rglob("half"))
    finally:
        builder.stop()
    assert list(temporary.iterdir()) == []
