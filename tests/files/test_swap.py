"""Names exchanged: both contents stay, and where it can't be done nothing happens."""

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
