"""The writer of the watched file by itself; `test_watching_edits` has it with its desk."""

import threading
import time

import pytest
from watched_aircraft import aircraft

from geomgen.errors import ParameterError
from geomgen.pipeline import watching_writing as module
from geomgen.pipeline.watching_writing import FileWriter


@pytest.fixture
def file(tmp_path):
    return aircraft(tmp_path)


def test_a_file_that_is_being_saved_is_waited_for(file):
    """Some editors empty the file first and fill it then."""
    whole = file.read_bytes()
    file.write_bytes(b"")
    saved = threading.Timer(0.05, lambda: file.write_bytes(whole))
    saved.start()
    assert FileWriter(file).raw() == whole
    saved.join()


def test_one_that_never_rests_is_not_waited_for_for_ever(file, monkeypatch):
    monkeypatch.setattr(module, "RESTED", 3600.0)
    monkeypatch.setattr(module, "LONGEST_WAIT", 0.1)
    monkeypatch.setattr(module.time, "sleep", lambda _: None)
    started = time.monotonic()
    assert FileWriter(file).raw() == file.read_bytes()
    assert time.monotonic() - started < 2.0


def test_what_would_not_load_is_not_put_in_place(file):
    before = file.read_bytes()
    with pytest.raises(ParameterError, match="out of range") as caught:
        FileWriter(file).write(lambda text, _: text.replace('wall = "4 mm"', 'wall = "400 mm"'))
    assert caught.value.file == "mine.toml"
    assert file.read_bytes() == before
    assert sorted(path.name for path in file.parent.iterdir()) == ["curlew.dat", "mine.toml"]


def test_the_same_text_is_not_written_again(file):
    stamp = file.stat().st_mtime_ns
    assert FileWriter(file).write(lambda text, _: text) is None
    assert file.stat().st_mtime_ns == stamp
