"""Temporary files go with the run, also those of a child that was killed."""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from started import forked_only

from geomgen.processes import temporary
from geomgen.processes.isolated import isolated
from geomgen.processes.temporary import clear_left, temporary_folder


def litter(folder):
    Path(tempfile.mkdtemp(), "solid").write_bytes(b"x")
    os.kill(os.getpid(), 9)


@forked_only
def test_a_killed_child_leaves_nothing(monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with temporary_folder():
        assert isolated(litter, None).how == "crashed"
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


RUN = """
import os, signal, sys, tempfile, time
from geomgen.processes import temporary
from geomgen.processes.temporary import clear_left, temporary_folder
with temporary_folder():
    for _ in range(3):
        os.mkdir(tempfile.mkdtemp(prefix="geomgen-") + "/drawings")
    print(tempfile.gettempdir(), flush=True)
    time.sleep(60)
"""


def running(tmp_path):
    """Start a run that waits; return it and its folder."""
    run = subprocess.Popen(
        [sys.executable, "-c", RUN],
        env={**os.environ, "TMPDIR": str(tmp_path)},
        stdout=subprocess.PIPE,
        text=True,
    )
    return run, Path(run.stdout.readline().strip())


def test_the_next_run_clears_what_a_killed_one_left_and_nothing_else(monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    killed, its = running(tmp_path)
    alive, other = running(tmp_path)
    strange = tmp_path / "geomgen-notes"
    strange.mkdir()
    (tmp_path / "geomgen-link").symlink_to(its)
    try:
        killed.kill()
        killed.wait()
        assert len(list(its.glob("geomgen-*/drawings"))) == 3
        with temporary_folder():
            assert not its.exists()
            assert len(list(other.glob("geomgen-*/drawings"))) == 3
            assert strange.is_dir()
    finally:
        alive.kill()
        alive.wait()
    assert clear_left() == 1
    assert sorted(path.name for path in tmp_path.iterdir()) == ["geomgen-link", "geomgen-notes"]


def test_where_files_cannot_be_locked_nothing_is_cleared(monkeypatch, tmp_path):
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))

    def refused(_):
        raise OSError("no locks here")

    monkeypatch.setattr(temporary, "lock", refused)
    with temporary_folder():
        (folder,) = tmp_path.iterdir()
        assert list(folder.iterdir()) == []
        assert clear_left() == 0
    assert list(tmp_path.iterdir()) == []
