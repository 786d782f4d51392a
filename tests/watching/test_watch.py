"""The watch with a builder of milliseconds in a real process of its own, and a real file."""

import json
import os
import signal
import threading
import time

import pytest
from watched_aircraft import aircraft, built, checks_of, edit

from geomgen.errors import FileWriteError, ParameterError
from geomgen.parameters import load
from geomgen.watching import watch as module
from geomgen.watching.builder import Message
from geomgen.watching.live_page.server import listening
from geomgen.watching.watch import Watch, watch


class Seen:
    """A watch that is stepped by the test, and all that it told."""

    def __init__(self, file, overrides=()):
        self.file, self.told = file, []
        self.watch = Watch(file, overrides, file.parent / "out", self.told.append, built)

    def until(self, ready, seconds=30.0):
        end = time.monotonic() + seconds
        while not ready():
            assert time.monotonic() < end, (self.told[-3:], self.section("status"))
            self.watch.step(0.02)

    def section(self, name):
        return self.watch.state.section(name)

    def ready(self, revision):
        self.until(lambda: self.at(revision))

    def at(self, revision):
        status = self.section("status")
        return status["revision"] >= revision and status["phase"] == "ready"

    def wall(self):
        rows = [row for group in self.section("verdict")["groups"] for row in group["checks"]]
        return next(row["measured"] for row in rows if row["id"] == "pod.wall")


@pytest.fixture
def seen(tmp_path):
    made = Seen(aircraft(tmp_path))
    made.ready(1)
    yield made
    made.watch.stop()


def test_a_save_is_built_and_what_changed_is_told(seen):
    first = seen.told[0]
    assert (first.kind, first.revision, first.changes) == ("built", 1, ())
    assert first.checks == checks_of(load(seen.file))
    edit(seen.file, 'wall = "4 mm"', 'wall = "3 mm"')
    seen.ready(2)
    (change,) = seen.told[-1].changes
    assert (change.former, change.new, change.words) == ("4.00 mm", "3.00 mm", "PASS → FAIL")
    assert seen.section("verdict")["worst"] == "fail"
    (row,) = seen.section("changes")["rows"]
    assert (row["id"], row["mood"]) == ("pod.wall", "bad")
    for section in ("verdict", "model", "drawings"):
        assert seen.section(section)["revision"] == 2
    assert "traces" in json.loads(seen.watch.state.body("model"))
    (drawing,) = seen.section("drawings")["shown"]
    assert drawing["caption"] == "Three-view, wall 3 mm"
    assert seen.watch.state.body(drawing["name"]).startswith(b"<svg")
    assert seen.watch.state.body("drawing-1-0") is None


def test_ten_saves_a_second_the_last_wins(seen):
    walls = [f"{4 + i / 10:g} mm" for i in range(1, 21)]
    for former, new in zip(["4 mm", *walls], walls, strict=False):
        edit(seen.file, f'wall = "{former}"', f'wall = "{new}"')
        end = time.monotonic() + 0.1
        while time.monotonic() < end:
            seen.watch.step(0.02)
    seen.until(lambda: seen.wall() == "6.00 mm" and seen.section("status")["phase"] == "ready")
    assert not [told for told in seen.told if told.kind == "refused"]


def test_a_half_written_save_shows_no_error(seen, monkeypatch):
    monkeypatch.setattr(module, "HALF_SAVED", 5.0)
    text = seen.file.read_text("utf-8")
    new = text.replace('wall = "4 mm"', 'wall = "5 mm"')
    seen.file.write_text(new[: len(new) // 2] + "[[", encoding="utf-8")
    end = time.monotonic() + 0.3
    while time.monotonic() < end:
        seen.watch.step(0.02)
    seen.file.write_text(new, encoding="utf-8")
    seen.ready(2)
    assert [told.kind for told in seen.told] == ["built", "built"]


def test_a_broken_edit_keeps_the_last_good_state_and_says_where(seen):
    edit(seen.file, 'wall = "4 mm"', 'wall = "400 mm"')
    seen.until(lambda: seen.section("error"))
    error = seen.section("error")
    assert (error["key"], error["problem"]) == ("pod.wall", "out of range")
    text = seen.file.read_text("utf-8").splitlines()
    assert "400 mm" in text[error["line"] - 1]
    assert seen.wall() == "4.00 mm"
    assert seen.section("status")["phase"] == "refused"
    edit(seen.file, 'wall = "400 mm"', 'wall = "4 mm"')
    seen.until(lambda: not seen.section("error"))
    assert seen.section("status") | {"revision": 1, "phase": "ready"} == seen.section("status")
    assert seen.told[-1].kind == "mended"


def test_only_the_text_differs(seen):
    edit(seen.file, "# thickness of the sandwich", "# thickness, in one word,")
    seen.until(lambda: seen.told[-1].kind == "same")
    assert seen.section("status")["revision"] == 1


def test_the_file_vanishes_and_comes_back(seen):
    raw = seen.file.read_bytes()
    seen.file.unlink()
    seen.until(lambda: seen.section("error"))
    assert "no such file" in seen.section("error")["problem"]
    assert seen.wall() == "4.00 mm"
    seen.file.write_bytes(raw.replace(b'wall = "4 mm"', b'wall = "5 mm"'))
    seen.ready(2)
    assert seen.section("error") is None
    assert seen.wall() == "5.00 mm"


def test_a_part_that_cannot_be_built(seen):
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "part"')
    seen.until(lambda: seen.section("error"))
    error = seen.section("error")
    assert (error["part"], error["look_at"]) == ("pod", ["pod.wall"])
    assert seen.wall() == "4.00 mm"
    edit(seen.file, 'title = "part"', 'title = "fault"')
    seen.until(lambda: "by nought" in str(seen.section("error")))
    assert "a fault inside geomgen" in seen.section("error")["problem"]
    edit(seen.file, 'title = "fault"', 'title = "whole"')
    seen.ready(4)
    assert seen.section("error") is None


def test_what_is_wrong_with_the_file_now_stands_before_what_was_wrong_with_a_former_state(seen):
    edit(seen.file, 'wall = "4 mm"', "wall = ?")
    seen.until(lambda: seen.section("error"))
    shown = seen.section("error")
    seen.watch._take(Message(1, "refused", {"error": "geometry", "problem": "walls meet"}))
    assert seen.section("error") == shown
    edit(seen.file, "wall = ?", 'wall = "3 mm"')
    seen.ready(2)
    assert seen.section("error") is None


@pytest.mark.parametrize("end", ["refused", "lost"])
def test_a_state_that_fails_while_the_file_is_broken_is_not_building_for_ever(seen, end):
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "slow"')
    seen.until(lambda: "wing" in seen.section("status")["step"])
    edit(seen.file, 'wall = "4 mm"', "wall = ?")
    seen.until(lambda: seen.section("error"))
    seen.watch._losses = module.LOSSES
    body = {"error": "geometry", "problem": "walls meet"} if end == "refused" else "did not answer"
    seen.watch._take(Message(2, end, body))
    assert seen.section("status")["phase"] == "refused"
    assert seen.section("error")["error"] == "parameter"
    edit(seen.file, "wall = ?", 'wall = "3 mm"')
    edit(seen.file, 'title = "slow"', 'title = "whole"')
    seen.ready(3)
    assert seen.section("error") is None


def test_a_drawing_that_cannot_be_made_takes_nothing_from_the_verdict(seen):
    former = 'title = "Saltmarsh shore-bird counter"'
    edit(seen.file, former, 'title = "undrawn"')
    edit(seen.file, 'wall = "4 mm"', 'wall = "5 mm"')
    seen.until(lambda: seen.section("error"))
    assert seen.section("status")["phase"] == "unfinished"
    assert seen.section("error")["step"] == "three-view"
    assert (seen.section("verdict")["revision"], seen.wall()) == (2, "5.00 mm")
    assert [told.kind for told in seen.told] == ["built", "built", "unfinished"]
    assert seen.told[-1].error["problem"] == "no line was found"
    edit(seen.file, 'title = "undrawn"', former)
    seen.ready(3)
    assert seen.section("error") is None


@pytest.mark.parametrize("text", ["nonsense", "pod.wal=5 mm", "pod.wall=5000 mm"])
def test_overrides_that_no_save_can_mend_are_refused(tmp_path, text):
    with pytest.raises(ParameterError) as caught:
        watch(aircraft(tmp_path), [text], tmp_path / "out", page=False, stages=built)
    assert (caught.value.file, caught.value.exit_code) == ("--set", 2)


def test_a_newer_save_overtakes_what_is_being_built(seen):
    pid = seen.watch.builder.pid
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "slow"')
    seen.until(lambda: "wing" in seen.section("status")["step"])
    started = time.monotonic()
    edit(seen.file, 'title = "slow"', 'title = "quick"')
    seen.ready(3)
    assert time.monotonic() - started < 3.0
    assert seen.watch.builder.pid == pid
    assert [told.revision for told in seen.told if told.kind == "built"] == [1, 3]


@pytest.mark.long
def test_a_killed_builder_is_started_again(seen):
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "slow"')
    seen.until(lambda: "wing" in seen.section("status")["step"])
    os.kill(seen.watch.builder.pid, signal.SIGKILL)
    seen.until(lambda: seen.section("status")["builder"])
    assert "killed (SIGKILL); another one" in seen.section("status")["builder"]
    seen.ready(2)
    assert seen.section("verdict")["revision"] == 2
    assert seen.section("status")["builder"] == ""


def test_an_idle_builder_that_dies_is_replaced(seen):
    os.kill(seen.watch.builder.pid, signal.SIGKILL)
    seen.until(lambda: seen.told[-1].kind == "lost")
    edit(seen.file, 'wall = "4 mm"', 'wall = "5 mm"')
    seen.ready(2)


def test_a_state_that_always_crashes_is_given_up(seen):
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "die"')
    seen.until(lambda: seen.section("error"))
    assert "lost 3 times" in seen.section("error")["problem"]
    assert seen.wall() == "4.00 mm"
    edit(seen.file, 'title = "die"', 'title = "lives"')
    seen.ready(3)
    assert seen.section("error") is None


def test_a_builder_that_hangs_is_replaced_when_a_newer_save_waits(seen):
    seen.watch.builder._patience = 0.5
    pid = seen.watch.builder.pid
    edit(seen.file, 'title = "Saltmarsh shore-bird counter"', 'title = "hang"')
    seen.until(lambda: seen.section("status")["step"] == "wing")
    edit(seen.file, 'title = "hang"', 'title = "moves"')
    seen.until(lambda: seen.told[-1].kind == "lost")
    seen.watch.builder._patience = 30.0
    seen.ready(3)
    assert seen.watch.builder.pid != pid
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_a_change_in_the_page_is_built(seen):
    seen.watch.editor.change("pod.wall", 5.5)
    seen.ready(2)
    assert seen.wall() == "5.50 mm"
    assert seen.section("status")["undo"] == "pod.wall: 4 mm → 5.5 mm"
    fields = json.loads(seen.watch.state.body("fields"))
    assert next(f for f in fields if f["key"] == "pod.wall")["number"] == 5.5
    seen.watch.editor.undo()
    seen.ready(3)
    assert seen.wall() == "4.00 mm"


def test_watch_serves_and_ends(tmp_path):
    file, until, told, opened = aircraft(tmp_path), threading.Event(), [], []

    def tell(one):
        told.append(one)
        until.set()

    watch(file, out=tmp_path / "out", tell=tell, opened=opened.append, stages=built, until=until)
    assert told[0].kind == "built"
    assert opened[0].startswith("http://127.0.0.1:")
    assert threading.active_count() < 10


def test_a_file_that_never_was_and_a_port_that_is_taken(tmp_path):
    with pytest.raises(ParameterError, match="no such file"):
        watch(tmp_path / "none.toml", stages=built)
    taken = listening(None)
    with pytest.raises(FileWriteError, match="in use"):
        watch(aircraft(tmp_path), port=taken.getsockname()[1], stages=built)
    taken.close()
