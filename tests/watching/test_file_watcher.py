"""The file watcher, with a clock of the test's own; what counts is what is on the disk."""

import os
import shutil

import pytest
from watched_aircraft import CONFIGS, aircraft, edit

from geomgen.watching.file_watcher import LONGEST, MISSING, QUIET, FileWatcher, beside


class Clock:
    """A clock that is turned by hand."""

    def __init__(self):
        self.now = 100.0

    def settled(self, watcher, seconds=1.0):
        """Look until so much time has passed; say how often something was told."""
        told = 0
        for _ in range(round(seconds / 0.05)):
            told += watcher.look(self.now)
            self.now += 0.05
        return told


@pytest.fixture
def watched(tmp_path):
    file = aircraft(tmp_path)
    watcher, clock = FileWatcher(file), Clock()
    assert watcher.look(clock.now)
    assert clock.settled(watcher) == 0
    return file, watcher, clock


def test_a_save_is_told_once(watched):
    file, watcher, clock = watched
    edit(file, '"4 mm"', '"5 mm"')
    assert clock.settled(watcher) == 1
    assert clock.settled(watcher) == 0


def test_a_touch_is_none(watched):
    file, watcher, clock = watched
    os.utime(file)
    file.write_bytes(file.read_bytes())
    assert clock.settled(watcher) == 0


def test_the_same_length_within_the_same_tick_is_seen(watched):
    """Size and times may be the same: the bytes decide while a save is fresh."""
    file, watcher, clock = watched
    stat = file.stat()
    edit(file, '"4 mm"', '"5 mm"')
    os.utime(file, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert clock.settled(watcher) == 1


def test_saves_in_a_row_are_brought_together_but_never_put_off_for_ever(watched):
    file, watcher, clock = watched
    told = 0
    for i in range(40):
        edit(file, "4 mm" if i % 2 == 0 else "5 mm", "5 mm" if i % 2 == 0 else "4 mm")
        told += watcher.look(clock.now)
        clock.now += QUIET / 2
    assert 1 <= told <= 40 * QUIET / 2 / LONGEST + 1
    edit(file, '"4 mm"', '"6 mm"')
    assert clock.settled(watcher) == 1


def test_beside_and_renamed(watched):
    file, watcher, clock = watched
    new = file.with_suffix(".new")
    new.write_text(file.read_text("utf-8").replace('"4 mm"', '"5 mm"'), encoding="utf-8")
    os.replace(new, file)
    assert clock.settled(watcher) == 1


def test_vanished_and_back(watched):
    file, watcher, clock = watched
    raw = file.read_bytes()
    file.unlink()
    assert clock.settled(watcher) == 1
    assert watcher.missing
    file.write_bytes(raw)
    assert clock.settled(watcher) == 1
    assert not watcher.missing


def test_the_folder_is_replaced(watched):
    file, watcher, clock = watched
    folder = file.parent
    other = folder.with_name("other")
    shutil.copytree(folder, other)
    edit(other / file.name, '"4 mm"', '"5 mm"')
    folder.rename(folder.with_name("old"))
    assert clock.settled(watcher) == 1
    other.rename(folder)
    assert clock.settled(watcher) == 1
    assert not watcher.missing


def test_a_folder_in_its_place_and_bytes_that_are_no_text(watched):
    file, watcher, clock = watched
    file.unlink()
    file.mkdir()
    assert clock.settled(watcher) == 1
    file.rmdir()
    file.write_bytes(b"\xff\xfe\x00")
    assert clock.settled(watcher) == 1


def test_base_files_and_aerofoils_are_looked_at_too(tmp_path):
    aircraft(tmp_path, "base.toml")
    file = tmp_path / "mine.toml"
    file.write_text('extends = "base.toml"\nname = "mine"\n', encoding="utf-8")
    watcher, clock = FileWatcher(file), Clock()
    assert watcher.look(clock.now)
    edit(tmp_path / "base.toml", '"4 mm"', '"5 mm"')
    assert clock.settled(watcher) == 1
    edit(tmp_path / "curlew.dat", "0.", "0.0")
    assert clock.settled(watcher) == 1
    # Half-written, the file names nothing; what it named before is still looked at.
    file.write_text('extends = "ba', encoding="utf-8")
    assert clock.settled(watcher) == 1
    edit(tmp_path / "base.toml", '"5 mm"', '"6 mm"')
    assert clock.settled(watcher) == 1


def test_a_pipe_is_not_waited_for(tmp_path):
    """Nobody writes into it: reading would never end."""
    file = aircraft(tmp_path)
    (tmp_path / "curlew.dat").unlink()
    os.mkfifo(tmp_path / "curlew.dat")
    assert FileWatcher(file).shot()[tmp_path / "curlew.dat"] == MISSING


def test_what_is_named_beside_a_file(tmp_path):
    file = aircraft(tmp_path)
    assert [path.name for path in beside(file)] == ["curlew.dat", "curlew.dat"]
    assert {path.name for path in beside(CONFIGS / "tight.toml")} >= {"saltmarsh.toml"}
    (tmp_path / "circle.toml").write_text('extends = "circle.toml"')
    assert len(list(beside(tmp_path / "circle.toml"))) == 8
    (tmp_path / "odd.toml").write_text('extends = "/etc/passwd"\nairfoil = "file:a\\u0000b"')
    assert list(beside(tmp_path / "odd.toml")) == []
