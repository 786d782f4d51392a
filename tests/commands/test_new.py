"""`geomgen new` on the command line and on a terminal. Nothing is built here."""

import json
import os
import pty
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from geomgen import cli
from geomgen.parameters import load
from geomgen.starting.choices import OPTIONS

ROOT = Path(__file__).parents[2]
LONGEST = 60


@pytest.fixture(autouse=True)
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_file_of_one_s_own(here, capsys) -> None:
    assert cli.main(["new", "mine.toml", "--gear", "tailwheel", "--scoops", "belly"]) == 0
    out, err = capsys.readouterr()
    assert out.splitlines()[0] == "written to mine.toml"
    assert "gear tailwheel" in out
    assert "next: geomgen size mine.toml" in out
    assert err == ""
    p = load("mine.toml")
    assert (p.gear.layout, p.scoops[0].name) == ("tailwheel", "belly")


def test_a_path_with_a_space_can_be_copied_from_the_answer(here, capsys) -> None:
    (here / "my planes").mkdir()
    assert cli.main(["new", "my planes/heron.toml"]) == 0
    assert 'geomgen check "my planes/heron.toml"' in capsys.readouterr().out


def test_quiet_and_json(here, capsys) -> None:
    assert cli.main(["new", "mine.toml", "--quiet"]) == 0
    assert capsys.readouterr().out == "written to mine.toml\n"
    assert cli.main(["new", "two.toml", "--from", "saltmarsh", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer == {
        "file": "two.toml",
        "beside": ["curlew.dat"],
        "chosen": {"from": "saltmarsh"},
        "exit_code": 0,
    }


def test_what_is_there_is_written_over_only_when_told(here, capsys) -> None:
    (here / "mine.toml").write_text("mine")
    assert cli.main(["new", "mine.toml"]) == 4
    out, err = capsys.readouterr()
    assert (out, (here / "mine.toml").read_text()) == ("", "mine")
    assert "it is there already" in err
    assert "--replace" in err
    assert cli.main(["new", "mine.toml", "--replace"]) == 0
    assert load("mine.toml").name == "mine"


@pytest.mark.parametrize(
    ("given", "code", "word"),
    [
        (["--wing", "high"], 2, "low, mid, shoulder, pylon, parasol"),
        (["--scoops", "chin"], 2, "cheek, shoulder, belly"),
        (["--units", ""], 2, "metric, imperial"),
        (["--name", "My Bird"], 2, "lower-case"),
        (["--title", ""], 2, "--title"),
        (["--from", "hayfild"], 2, "framed, hayfield, saltmarsh, tight"),
        (["--from", "hayfield", "--gear", "tricycle"], 2, "--gear"),
        (["--gaer", "tricycle"], 2, "--gaer"),
    ],
)
def test_refused_in_words_with_nothing_written(here, capsys, given, code, word) -> None:
    assert cli.main(["new", "mine.toml", *given]) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert word in err
    assert "Traceback" not in err
    assert list(here.iterdir()) == []


def test_a_file_has_to_be_named(capsys) -> None:
    assert cli.main(["new", "--wing", "low"]) == 2
    assert "geomgen new mine.toml" in capsys.readouterr().err


def test_the_examples_are_listed(here, capsys) -> None:
    assert cli.main(["new", "--examples"]) == 0
    out = capsys.readouterr().out
    assert out.splitlines()[1].startswith("hayfield   Hayfield: an invented single-seat pusher")
    assert cli.main(["new", "--examples", "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)["examples"]
    assert [row["name"] for row in rows] == ["framed", "hayfield", "saltmarsh", "tight"]
    assert list(here.iterdir()) == []


class Terminal:
    """`geomgen new` with a terminal for its three streams."""

    def __init__(self, folder: Path, *arguments: str) -> None:
        self.pid, self.end = pty.fork()
        if self.pid == 0:
            # A test run may have been started with Ctrl-C shut off.
            signal.signal(signal.SIGINT, signal.SIG_DFL)
            os.chdir(folder)
            more = {"PYTHONPATH": str(ROOT), "TERM": "dumb"}
            command = [sys.executable, "-m", "geomgen.cli", "new", *arguments]
            os.execve(sys.executable, command, os.environ | more)
        self.seen = ""

    def until(self, text: str) -> None:
        while text not in self.seen:
            more = self._read()
            assert more, self.seen
            self.seen += more

    def _read(self) -> str:
        """Return what comes next; nothing when the other end is shut."""
        ready, _, _ = select.select([self.end], [], [], LONGEST)
        if not ready:
            os.kill(self.pid, signal.SIGKILL)
            raise AssertionError(f"nothing more in {LONGEST} s after: {self.seen}")
        try:
            return os.read(self.end, 4096).decode()
        except OSError:
            return ""

    def says(self, text: str) -> None:
        os.write(self.end, text.encode())

    def left(self) -> int:
        while more := self._read():
            self.seen += more
        _, status = os.waitpid(self.pid, 0)
        os.close(self.end)
        return os.waitstatus_to_exitcode(status)


def test_on_a_terminal_it_asks_and_enter_takes_the_defaults(here) -> None:
    terminal = Terminal(here, "mine.toml")
    for name in ("name [mine]", "title [Mine", *(f"{o.name} [{o.default}]" for o in OPTIONS)):
        terminal.until(name)
        terminal.says("\n")
    assert terminal.left() == 0
    assert "written to mine.toml" in terminal.seen
    cli.main(["new", "other.toml", "--name", "mine", "--title", load("mine.toml").title])
    assert (here / "mine.toml").read_text() == (here / "other.toml").read_text()


@pytest.mark.parametrize(
    ("key", "code", "word"), [("\x03", 130, "stopped"), ("\x04", 2, "nothing was written")]
)
def test_ctrl_c_and_the_end_of_input_leave_nothing(here, key, code, word) -> None:
    terminal = Terminal(here, "mine.toml")
    for name in ("name [", "title ["):
        terminal.until(name)
        terminal.says("\n")
    terminal.until("gear [")
    terminal.says("tailw" if code == 130 else "tailwheel\n")
    terminal.until("tailw" if code == 130 else "wing [")
    terminal.says(key)
    assert terminal.left() == code
    assert word in terminal.seen
    assert "Traceback" not in terminal.seen
    assert list(here.iterdir()) == []


def test_with_an_option_given_a_terminal_is_not_asked(here) -> None:
    terminal = Terminal(here, "mine.toml", "--wing", "low")
    assert terminal.left() == 0
    assert "[" not in terminal.seen.replace("[handoff", "")


def test_without_a_terminal_it_does_not_wait_for_answers(here) -> None:
    command = [sys.executable, "-m", "geomgen.cli", "new", "mine.toml"]
    reader, writer = os.pipe()
    try:
        done = subprocess.run(
            command,
            stdin=reader,
            capture_output=True,
            text=True,
            timeout=60,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
    finally:
        os.close(reader)
        os.close(writer)
    assert done.returncode == 0
    assert load("mine.toml").gear.layout == "tricycle"
