"""Names exchanged: both contents stay, and where it can't be done nothing happens."""

import ctypes
import importlib

import pytest

from geomgen.files import swap
from geomgen.files.swap import swapped


def test_two_files_change_names_and_nothing_is_lost(tmp_path):
    one, other = tmp_path / "one", tmp_path / "other, with a space \u00e4"
    one.write_bytes(b"1")
    other.write_bytes(b"2")
    numbers = one.stat().st_ino, other.stat().st_ino
    assert swapped(one, other)
    assert (one.read_bytes(), other.read_bytes()) == (b"2", b"1")
    assert (other.stat().st_ino, one.stat().st_ino) == numbers


@pytest.mark.parametrize("there", ["one", "other"])
def test_a_name_that_is_missing_is_not_made(tmp_path, there):
    (tmp_path / there).write_bytes(b"1")
    assert not swapped(tmp_path / "one", tmp_path / "other")
    assert [path.name for path in tmp_path.iterdir()] == [there]


def test_a_platform_without_it_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(swap, "_rename", lambda: None)
    (tmp_path / "one").write_bytes(b"1")
    (tmp_path / "other").write_bytes(b"2")
    assert not swapped(tmp_path / "one", tmp_path / "other")
    assert (tmp_path / "one").read_bytes() == b"1"


class Other:
    """A C library without renameat2."""


def _raising(fault):
    def load(*_, **__):
        raise fault

    return load


@pytest.mark.parametrize(
    "load",
    [
        _raising(TypeError("argument of type 'NoneType' is not iterable")),
        _raising(OSError("dlopen: not found")),
        lambda *_, **__: Other(),
    ],
    ids=["windows", "no library", "another library"],
)
def test_on_another_system_it_is_imported_and_says_no(tmp_path, monkeypatch, load):
    """Windows refuses a library without a name; macOS has one, without this function."""
    for name in ("one", "other"):
        (tmp_path / name).write_text(name)
    with monkeypatch.context() as there:
        there.setattr(ctypes, "CDLL", load)
        fresh = importlib.reload(swap)
        assert not fresh.swapped(tmp_path / "one", tmp_path / "other")
    importlib.reload(swap)
    assert [(tmp_path / name).read_text() for name in ("one", "other")] == ["one", "other"]
