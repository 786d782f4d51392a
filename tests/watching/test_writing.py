"""The writer of the watched file by itself; `test_watching_edits` has it with its editor."""

import os
import threading
import time

import pytest
from watched_aircraft import aircraft

from geomgen.errors import FileWriteError, ParameterError
from geomgen.watching import writing as module
from geomgen.watching.writing import FileWriter


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


def thicker(text, _):
    return text.replace('wall = "4 mm"', 'wall = "5 mm"')


def in_place(file, body):
    file.write_bytes(body)


def beside_and_over(file, body):
    other = file.with_name("editor.tmp")
    other.write_bytes(body)
    os.replace(other, file)


SAVES = [in_place, beside_and_over]


def saved_before(monkeypatch, step, saves):
    """Have a foreign save happen each time just before a step of the module, while there are any.

    The step comes after the last look at the file.
    """
    original = getattr(module, step)

    def then(*paths):
        if saves:
            saves.pop(0)()
        return original(*paths)

    monkeypatch.setattr(module, step, then)


@pytest.mark.parametrize("save", SAVES)
def test_a_save_after_the_last_look_stays_and_the_change_comes_onto_it(file, monkeypatch, save):
    theirs = file.read_bytes() + b"# mine\n"
    saved_before(monkeypatch, "swapped", [lambda: save(file, theirs)])
    before, _, _ = FileWriter(file).write(thicker)
    assert before == theirs
    assert file.read_bytes() == theirs.replace(b'wall = "4 mm"', b'wall = "5 mm"')
    assert sorted(path.name for path in file.parent.iterdir()) == ["curlew.dat", "mine.toml"]


@pytest.mark.parametrize("save", SAVES)
def test_put_says_that_it_left_a_save_alone(file, monkeypatch, save):
    raw = file.read_bytes()
    saved_before(monkeypatch, "swapped", [lambda: save(file, raw + b"# mine\n")])
    assert not FileWriter(file).put(raw + b"# page\n", raw)
    assert file.read_bytes() == raw + b"# mine\n"


@pytest.mark.parametrize("save", SAVES)
def test_of_two_saves_the_newer_one_stays(file, monkeypatch, save):
    raw = file.read_bytes()
    saves = [lambda: save(file, raw + b"# older\n"), lambda: save(file, raw + b"# newer\n")]
    saved_before(monkeypatch, "swapped", saves)
    assert not FileWriter(file).put(raw + b"# page\n", raw)
    assert file.read_bytes() == raw + b"# newer\n"


def test_a_file_saved_again_and_again_is_told_and_left(file, monkeypatch):
    raw = file.read_bytes()
    bodies = [raw + b"# %d\n" % i for i in range(2 * module.TRIES)]
    saves = [lambda body=body: beside_and_over(file, body) for body in bodies[::2]]
    # Every other exchange puts the save back.
    every = [step for save in saves for step in (save, lambda: None)]
    saved_before(monkeypatch, "swapped", every)
    with pytest.raises(FileWriteError, match="keeps changing"):
        FileWriter(file).write(thicker)
    assert file.read_bytes() in bodies


def test_where_names_cannot_be_exchanged_the_file_is_replaced(file, monkeypatch):
    raw = file.read_bytes()
    monkeypatch.setattr(module, "swapped", lambda *_: False)
    assert FileWriter(file).put(raw + b"# page\n", raw)
    assert file.read_bytes() == raw + b"# page\n"
    assert not FileWriter(file).put(raw, raw)
    assert file.read_bytes() == raw + b"# page\n"


def test_new_files_bear_the_number_of_their_process(file):
    with FileWriter(file)._new_file(file.parent) as one:
        assert f"-{os.getpid()}-" in one.name
        with FileWriter(file)._new_file(file.parent) as other:
            assert one != other
