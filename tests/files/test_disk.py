"""Files put on the disk: whole or not at all, never over one that must stay."""

import errno
import os
import re

import pytest

from geomgen.errors import FileWriteError
from geomgen.files import disk
from geomgen.files.disk import put


def test_a_new_file_is_whole_and_alone(tmp_path) -> None:
    put(tmp_path / "a.toml", b"x" * 100_000)
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]
    assert (tmp_path / "a.toml").read_bytes() == b"x" * 100_000
    os.umask(mask := os.umask(0))
    assert (tmp_path / "a.toml").stat().st_mode & 0o777 == 0o666 & ~mask


@pytest.mark.parametrize("there", ["file", "folder", "link to nothing"])
def test_what_is_there_stays(tmp_path, there) -> None:
    place = tmp_path / "a.toml"
    if there == "file":
        place.write_bytes(b"mine")
    elif there == "folder":
        place.mkdir()
    else:
        place.symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileExistsError):
        put(place, b"yours")
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]
    assert there != "file" or place.read_bytes() == b"mine"


def test_replaced_when_that_is_allowed(tmp_path) -> None:
    (tmp_path / "a.toml").write_bytes(b"mine")
    put(tmp_path / "a.toml", b"yours", replace=True)
    assert (tmp_path / "a.toml").read_bytes() == b"yours"


@pytest.mark.parametrize("replace", [False, True])
def test_nothing_is_left_when_the_last_step_fails(tmp_path, monkeypatch, replace) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(disk.os, "replace", full)
    with pytest.raises(FileWriteError, match="the disk is full"):
        put(tmp_path / "a.toml", b"mine", replace)
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_left_when_it_is_stopped_while_writing(tmp_path, monkeypatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(disk.os, "fsync", stopped)
    with pytest.raises(KeyboardInterrupt):
        put(tmp_path / "a.toml", b"mine")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("number", [errno.ENOENT, errno.EINVAL, errno.EIO, errno.ELOOP, 9999])
def test_a_place_that_takes_no_file_is_told_with_what_to_do(number) -> None:
    text = str(disk.file_error(OSError(number, "odd"), "there"))
    assert text.startswith("there: ")
    assert "try again" not in text
    assert re.search(r"do: choose (another|a) folder", text)


def test_a_file_is_told_by_its_own_name_not_by_that_it_is_written_under(tmp_path) -> None:
    with pytest.raises(FileWriteError, match=r"no/a\.toml: nothing can be written there"):
        put(tmp_path / "no" / "a.toml", b"mine")
