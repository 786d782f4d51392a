"""The command itself: in this process with a builder of milliseconds, and as it is started."""

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path

import pytest
from few_cases import few
from watched_aircraft import aircraft, built, edit

from geomgen.commands import watch as command
from geomgen.errors import FileWriteError, ParameterError
from geomgen.processes.temporary import clear_left
from geomgen.watching import watch
from geomgen.watching.live_page.server import listening


def args_of(*given):
    parser = argparse.ArgumentParser()
    command.add(parser)
    for flag in ("--json", "--quiet", "--trace"):
        parser.add_argument(flag, action="store_true")
    return parser.parse_args([str(one) for one in given])


@pytest.fixture
def quick(monkeypatch):
    """Let the command use the builder of milliseconds."""
    whole = watch.watch
    monkeypatch.setattr(watch, "watch", lambda *given, **more: whole(*given, stages=built, **more))


def end_after(ready, signal_number=signal.SIGINT):
    """Press Ctrl-C as soon as something is so."""

    def wait():
        end = time.monotonic() + 30
        while not ready() and time.monotonic() < end:
            time.sleep(0.05)
        os.kill(os.getpid(), signal_number)

    thread = threading.Thread(target=wait)
    thread.start()
    return thread


@pytest.mark.parametrize("number", few([signal.SIGINT, signal.SIGTERM]))
def test_ctrl_c_ends_it_with_nought(quick, tmp_path, capsys, number):
    file, shown, state = aircraft(tmp_path), [], {"edited": False}

    def ready():
        shown.append(capsys.readouterr().out)
        text = "".join(shown)
        if "revision 1" in text and not state["edited"]:
            edit(file, 'wall = "4 mm"', 'wall = "3 mm"')
            state["edited"] = True
        return "revision 2" in text

    thread = end_after(ready, number)
    before = signal.getsignal(number)
    assert command.run(args_of(file, "--out", tmp_path / "out")) == 0
    thread.join()
    assert signal.getsignal(number) is before
    text = "".join(shown) + capsys.readouterr().out
    assert "page, for this machine's browser only: http://127.0.0.1:" in text
    assert "pod.wall: 4.00 mm → 3.00 mm, margin -1.00 mm, PASS → FAIL" in text
    assert "1 of 2 checks fail" in text
    assert "local codes" in text


def test_json_is_an_object_a_line(quick, tmp_path, capsys):
    file, shown = aircraft(tmp_path), []

    def ready():
        shown.append(capsys.readouterr().out)
        return '"built"' in "".join(shown)

    thread = end_after(ready)
    assert command.run(args_of(file, "--out", tmp_path, "--json", "--no-page")) == 0
    thread.join()
    rows = [json.loads(line) for line in "".join(shown).splitlines()]
    assert [row["event"] for row in rows] == ["built"]
    assert rows[0]["checks"][0]["id"] == "pod.wall"


def test_no_such_file_and_a_port_in_use(quick, tmp_path):
    with pytest.raises(ParameterError, match="no such file"):
        command.run(args_of(tmp_path / "none.toml"))
    taken = listening(None)
    number = taken.getsockname()[1]
    with pytest.raises(FileWriteError, match="in use") as caught:
        command.run(args_of(aircraft(tmp_path), "--port", number))
    taken.close()
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("text", ["0", "65536", "-1", "x", "1.5", "８４７０"])
def test_what_is_no_port(text):
    with pytest.raises(argparse.ArgumentTypeError):
        command.port(text)


START = """
import sys
import tempfile
sys.path.insert(0, {tests!r})
from watched_aircraft import built
if __name__ == "__main__":
    import argparse
    from geomgen.commands import watch as command
    from geomgen.watching import watch as watching
    whole = watching.watch
    watching.watch = lambda *given, **more: whole(*given, stages=built, **more)
    parser = argparse.ArgumentParser()
    command.add(parser)
    for flag in ("--json", "--quiet", "--trace"):
        parser.add_argument(flag, action="store_true")
    sys.exit(command.run(parser.parse_args()))
"""


def test_as_a_process_ctrl_c_leaves_nothing_behind(tmp_path):
    """Ctrl-C in a terminal goes to all of its processes; nothing is printed but what was asked."""
    file, script = aircraft(tmp_path), tmp_path / "start.py"
    script.write_text(START.format(tests=str(Path(__file__).parents[1])), encoding="utf-8")
    running = subprocess.Popen(
        [sys.executable, str(script), str(file), "--out", str(tmp_path / "out")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    for line in running.stdout:
        if "revision 1" in line:
            break
    children = Path(f"/proc/{running.pid}/task/{running.pid}/children").read_text().split()
    os.killpg(running.pid, signal.SIGINT)
    _, errors = running.communicate(timeout=20)
    assert running.returncode == 0
    assert errors == ""
    assert children
    end = time.monotonic() + 5
    while any(map(lives, children)) and time.monotonic() < end:
        time.sleep(0.05)
    assert not any(map(lives, children))


def lives(child):
    """Say whether a process is there and has not ended."""
    try:
        return Path(f"/proc/{child}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.mark.parametrize(
    "number",
    few([signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL], 3),
    ids=lambda n: n.name,
)
def test_no_temporary_folder_is_left_however_it_ends(tmp_path, monkeypatch, number):
    """Killed, the run can't clear up: then the next one does."""
    file, script, spare = aircraft(tmp_path), tmp_path / "start.py", tmp_path / "spare"
    spare.mkdir()
    edit(file, 'title = "Saltmarsh shore-bird counter"', 'title = "litter slow"')
    text = START.format(tests=str(Path(__file__).parents[1]))
    wrapped = "from geomgen.processes.temporary import temporary_folder\n" + text.replace(
        "    sys.exit(command.run(parser.parse_args()))",
        "    with temporary_folder():\n        command.run(parser.parse_args())",
    )
    script.write_text(wrapped, encoding="utf-8")
    running = subprocess.Popen(
        [sys.executable, str(script), str(file), "--out", str(tmp_path / "out"), "--no-page"],
        stdout=subprocess.DEVNULL,
        env={**os.environ, "TMPDIR": str(spare)},
        start_new_session=True,
    )
    end = time.monotonic() + 30
    while not list(spare.rglob("half")) and time.monotonic() < end:
        time.sleep(0.05)
    assert list(spare.rglob("half"))
    os.kill(running.pid, number)
    running.wait(20)
    if number == signal.SIGKILL:
        monkeypatch.setattr(tempfile, "tempdir", str(spare))
        # Its children end a moment after it.
        while list(spare.iterdir()) and time.monotonic() < end:
            clear_left()
    assert list(spare.iterdir()) == []
