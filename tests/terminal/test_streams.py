"""Whatever standard output and error are, a command answers with its own exit code, no traceback.

A reader that leaves is told as by other programs: 141, 128 and the number of SIGPIPE.
"""

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
CONFIG = ROOT / "configs" / "saltmarsh.toml"
COMMANDS = [
    (["--help"], 0),
    (["size", str(CONFIG)], 0),
    pytest.param(["schema"], 0, marks=pytest.mark.long),
    (["check", str(CONFIG), "--set", "pod.wall=3"], 2),
    pytest.param(["size", "no/such/file.toml", "--json"], 2, marks=pytest.mark.long),
    (["fly"], 2),
]


def shell(arguments, after, **more):
    """Run a command as a shell does, with something done to its streams."""
    words = shlex.join([sys.executable, "-m", "geomgen.cli", *map(str, arguments)])
    env = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    return subprocess.run(
        ["sh", "-c", f"exec {words} {after}"],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env=env,
        timeout=120,
        **more,
    )


@pytest.mark.parametrize(("arguments", "code"), COMMANDS)
def test_closed_streams(arguments, code):
    whole = shell(arguments, "")
    assert whole.returncode == code
    assert "Traceback" not in whole.stderr
    for after, due in (
        (">&-", ("", whole.stderr)),
        ("2>&-", (whole.stdout, "")),
        ("<&- >&- 2>&-", ("", "")),
    ):
        found = shell(arguments, after)
        assert (found.returncode, found.stdout, found.stderr) == (code, *due), after


def left(arguments, stream):
    """Run a command one of whose streams is a pipe that nobody reads."""
    reading, writing = os.pipe()
    os.close(reading)
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, stream: writing}
    env = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
    found = subprocess.run(
        [sys.executable, "-m", "geomgen.cli", *arguments],
        text=True,
        cwd=ROOT,
        env=env,
        timeout=120,
        **pipes,
    )
    os.close(writing)
    return found


@pytest.mark.parametrize(("arguments", "code"), COMMANDS)
def test_a_reader_that_leaves(arguments, code):
    answers = code == 0 or "--json" in arguments
    found = left(arguments, "stdout")
    assert found.returncode == (141 if answers else code)
    assert (found.stderr == "") == answers
    assert "Traceback" not in found.stderr
    # Nobody hears the words beside the answer: the answer and its code are what they are.
    assert left(arguments, "stderr").returncode == code


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full device here")
@pytest.mark.parametrize("arguments", [["size", str(CONFIG)], ["size", "no/such.toml", "--json"]])
def test_an_answer_that_can_not_be_written_is_told(arguments):
    found = shell(arguments, "> /dev/full")
    assert found.returncode == 4
    assert found.stderr.startswith("geomgen: standard output: No space left on device\n  do: ")
    assert len(found.stderr.splitlines()) == 2


STREAMS = ["", ">&-", "2>&-", "<&- >&- 2>&-"]


@pytest.mark.parametrize(
    ("limit", "code", "after"),
    [
        # Nothing shut, and a check that passes: `tests/test_without_home.py` has that.
        pytest.param("25 mm", 0, "", marks=pytest.mark.long),
        *(("25 mm", 0, after) for after in STREAMS[1:]),
        ("400 mm", 1, ""),
        *(pytest.param("400 mm", 1, after, marks=pytest.mark.long) for after in STREAMS[1:]),
    ],
)
def test_a_check_with_closed_streams(saltmarsh_set, kept, tmp_path, after, limit, code):
    """What the shared build has kept is taken: nothing is built here."""
    (tmp_path / ".kept").symlink_to(kept.folder)
    set_ = f"rules.radial_clearance={limit}"
    found = shell(["check", CONFIG, "--out", tmp_path, "--set", set_], after)
    assert found.returncode == code, found.stderr
    assert found.stderr == ""
    assert (found.stdout == "") == (">&-" in after.replace("2>&-", ""))
    assert (tmp_path / "saltmarsh" / "checks.json").is_file()
