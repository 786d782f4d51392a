"""The builder's process by itself: what Ctrl-C is to it, and how its end is put into words."""

import signal
import time
from pathlib import Path

from watched_aircraft import aircraft, built

from geomgen.parameters import load
from geomgen.pipeline.watching_builder import Builder, ended

CTRL_C = 1 << (signal.SIGINT - 1)


def mask(pid: int, name: str) -> int:
    text = Path(f"/proc/{pid}/status").read_text()
    return int(next(line for line in text.splitlines() if line.startswith(name)).split()[1], 16)


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
