"""Temporary files go with the run, also those of a child that was killed."""

import os
import tempfile
from pathlib import Path

import pytest

from geomgen.processes.temporary import temporary_folder
from geomgen.studies.guarded import guarded


def litter(folder):
    Path(tempfile.mkdtemp(), "solid").write_bytes(b"x")
    os.kill(os.getpid(), 9)


def test_a_killed_child_leaves_nothing(monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with temporary_folder():
        assert guarded(litter, None).how == "crashed"
        assert [p.name for p in tmp_path.rglob("solid")] == ["solid"]
        assert os.environ["TMPDIR"] == tempfile.gettempdir()
    assert list(tmp_path.iterdir()) == []
    assert tempfile.gettempdir() == str(tmp_path)


@pytest.mark.parametrize("former", [None, "/var/tmp"])
def test_the_variable_is_as_it_was(monkeypatch, former):
    if former is None:
        monkeypatch.delenv("TMPDIR", raising=False)
    else:
        monkeypatch.setenv("TMPDIR", former)
    with temporary_folder():
        pass
    assert os.environ.get("TMPDIR") == former


def test_where_none_can_be_made_the_run_goes_on(monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "gone"))
    with temporary_folder():
        assert tempfile.tempdir == str(tmp_path / "gone")
