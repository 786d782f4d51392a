"""Whatever dies, the folder holds the old set or the new one, and nobody else's files are lost."""

import errno
import os
import signal
import subprocess
import sys
import threading
import time

import pytest

from geomgen.errors import FileWriteError
from geomgen.files import disk
from geomgen.files import output_set as swapping
from geomgen.files.disk import write_bytes
from geomgen.files.manifest import file_entry, manifest, verify, write_manifest
from geomgen.files.output_set import check_place, output_set


def fill(folder, text, names=("a.txt", "b.txt")):
    for name in names:
        write_bytes(folder / name, text.encode())
    entries = [file_entry(folder, name, "text") for name in names]
    write_manifest(folder, manifest("trial", "", "A", "0", entries))


def make(out, text, names=("a.txt", "b.txt")):
    with output_set(out, "trial") as folder:
        fill(folder, text, names)


def content(out):
    return {p.name: p.read_text() for p in (out / "trial").iterdir() if p.suffix == ".txt"}


def leftovers(out):
    return [p.name for p in out.iterdir() if p.name.endswith((".part", ".old"))]


def test_a_set_appears_whole(tmp_path):
    make(tmp_path / "deep" / "out", "one")
    assert content(tmp_path / "deep" / "out") == {"a.txt": "one", "b.txt": "one"}
    assert verify(tmp_path / "deep" / "out" / "trial") == []
    assert leftovers(tmp_path / "deep" / "out") == []


def test_a_new_set_replaces_the_old_one_whole(tmp_path):
    make(tmp_path, "one", ("a.txt", "gone.txt"))
    make(tmp_path, "two")
    assert content(tmp_path) == {"a.txt": "two", "b.txt": "two"}
    assert leftovers(tmp_path) == []


def test_without_the_exchange_call_it_works_too(tmp_path, monkeypatch):
    monkeypatch.setattr(swapping, "_exchanged", lambda *_: False)
    make(tmp_path, "one")
    make(tmp_path, "two")
    assert content(tmp_path) == {"a.txt": "two", "b.txt": "two"}
    assert leftovers(tmp_path) == []


def stopped(out):
    """Write half a set and stop."""
    with output_set(out, "trial") as folder:
        write_bytes(folder / "a.txt", b"two")
        raise ZeroDivisionError


def without_manifest(out):
    with output_set(out, "trial") as folder:
        write_bytes(folder / "a.txt", b"two")


def beside_manifest(out):
    with output_set(out, "trial") as folder:
        fill(folder, "two")
        write_bytes(folder / "extra.txt", b"two")


class HeardError(Exception):
    """Leaves a run that waits."""


def impatient(out):
    def say(words):
        raise HeardError(words)

    with output_set(out, "trial", say):
        pass


def test_an_error_on_the_way_leaves_the_old_set(tmp_path):
    make(tmp_path, "one")
    with pytest.raises(ZeroDivisionError):
        stopped(tmp_path)
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}
    assert leftovers(tmp_path) == []


def test_a_set_without_or_beside_its_manifest_is_not_swapped_in(tmp_path):
    make(tmp_path, "one")
    with pytest.raises(FileWriteError, match="no manifest"):
        without_manifest(tmp_path)
    with pytest.raises(FileWriteError, match=r"do not agree: extra\.txt"):
        beside_manifest(tmp_path)
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}


FULL = {
    errno.ENOSPC: "disk is full",
    errno.EACCES: "not allowed",
    errno.EROFS: "read-only",
    errno.ENAMETOOLONG: "too long",
    errno.EIO: "the disk reports a fault",
}


@pytest.mark.parametrize("number", FULL)
def test_a_disk_that_refuses_leaves_the_old_set_and_advice(tmp_path, monkeypatch, number):
    make(tmp_path, "one")
    real = os.fsync

    def refuse(handle):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(disk.os, "fsync", refuse)
    with pytest.raises(FileWriteError, match=FULL[number]) as caught:
        make(tmp_path, "two")
    monkeypatch.setattr(disk.os, "fsync", real)
    assert caught.value.advice
    assert caught.value.exit_code == 4
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}
    assert leftovers(tmp_path) == []


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no full device here")
def test_a_really_full_device():
    from pathlib import Path

    with pytest.raises(FileWriteError, match="disk is full"):
        write_bytes(Path("/dev/full"), b"x" * 100_000)


def test_a_file_in_the_way(tmp_path):
    (tmp_path / "out").write_text("a file")
    for out in (tmp_path / "out", tmp_path / "out" / "deep"):
        with pytest.raises(FileWriteError, match=r"in the way|is a file") as told:
            make(out, "one")
        # Broken before: a path below the file was named, where nothing is.
        assert str(told.value).startswith(f"{tmp_path / 'out'}: ")
    assert (tmp_path / "out").read_text() == "a file"
    (tmp_path / "trial").write_text("a file")
    with pytest.raises(FileWriteError, match="not a folder"):
        make(tmp_path, "one")
    assert (tmp_path / "trial").read_text() == "a file"


def test_a_place_is_tried_before_anything_is_made(tmp_path):
    """The same refusals as at the end, and nothing is left behind."""
    (tmp_path / "file").write_text("a file")
    (tmp_path / "theirs" / "trial").mkdir(parents=True)
    (tmp_path / "theirs" / "trial" / "thesis.txt").write_text("years of work")
    before = sorted(tmp_path.rglob("*"))
    for out, words in (
        ("file", "part of the path is a file"),
        ("file/deep/er", "part of the path is a file"),
        ("new/" + "x" * 300, "too long"),
        ("theirs", "no manifest of geomgen's"),
    ):
        with pytest.raises(FileWriteError, match=words) as caught:
            check_place(tmp_path / out, "trial")
        assert caught.value.advice
    check_place(tmp_path / "new" / "deep", "trial")
    assert sorted(tmp_path.rglob("*")) == before


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_folder_without_permission_is_refused_beforehand(tmp_path):
    tmp_path.chmod(0o500)
    for out in (tmp_path, tmp_path / "new"):
        with pytest.raises(FileWriteError, match="not allowed"):
            check_place(out, "trial")
    tmp_path.chmod(0o700)


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_folder_without_permission(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(FileWriteError, match="not allowed"):
        make(tmp_path, "one")
    tmp_path.chmod(0o700)


def test_a_name_that_is_too_long(tmp_path):
    with pytest.raises(FileWriteError, match="too long"):
        make(tmp_path / ("x" * 300), "one")


def test_files_of_the_users_are_never_deleted(tmp_path):
    (tmp_path / "trial").mkdir()
    (tmp_path / "trial" / "thesis.txt").write_text("years of work")
    with pytest.raises(FileWriteError, match="no manifest of geomgen's"):
        make(tmp_path, "one")
    assert (tmp_path / "trial" / "thesis.txt").read_text() == "years of work"


def test_a_note_left_in_a_set_stops_the_swap(tmp_path):
    make(tmp_path, "one")
    (tmp_path / "trial" / "my notes").mkdir()
    (tmp_path / "trial" / "my notes" / "n.txt").write_text("measured 3 mm")
    with pytest.raises(FileWriteError, match=r"did not write: my notes/n\.txt"):
        make(tmp_path, "two")
    assert (tmp_path / "trial" / "my notes" / "n.txt").read_text() == "measured 3 mm"
    assert content(tmp_path)["a.txt"] == "one"


def test_a_link_is_not_followed(tmp_path):
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "x.txt").write_text("keep")
    (tmp_path / "trial").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileWriteError, match="not a folder"):
        make(tmp_path, "one")
    assert (tmp_path / "elsewhere" / "x.txt").read_text() == "keep"


def test_an_empty_folder_may_be_used(tmp_path):
    (tmp_path / "trial").mkdir()
    make(tmp_path, "one")
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}


RUN = """
import sys, time
from pathlib import Path
sys.path.insert(0, {tests!r})
from test_output_set import fill
from geomgen.files.output_set import output_set
with output_set(Path({out!r}), "trial") as folder:
    fill(folder, "two")
    print("ready", flush=True)
    time.sleep({sleep})
"""


def start(out, sleep):
    script = RUN.format(tests=os.path.dirname(__file__), out=str(out), sleep=sleep)
    run = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert run.stdout is not None
    assert run.stdout.readline() == "ready\n"
    return run


def test_a_killed_run_leaves_the_old_set_and_the_next_one_clears_up(tmp_path):
    make(tmp_path, "one")
    run = start(tmp_path, 60)
    run.send_signal(signal.SIGKILL)
    run.wait()
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}
    assert verify(tmp_path / "trial") == []
    assert len(leftovers(tmp_path)) == 1
    make(tmp_path, "three")
    assert content(tmp_path) == {"a.txt": "three", "b.txt": "three"}
    assert leftovers(tmp_path) == []


def test_killed_between_the_two_renames_the_old_set_comes_back(tmp_path):
    make(tmp_path, "one")
    (tmp_path / "trial").rename(tmp_path / ".trial.abc.old")
    with pytest.raises(ZeroDivisionError):
        stopped(tmp_path)
    assert content(tmp_path) == {"a.txt": "one", "b.txt": "one"}


def test_a_second_run_waits_and_says_for_whom(tmp_path):
    run = start(tmp_path, 1.5)
    words = rf"waiting for another run of geomgen \(process {run.pid}, since .*{tmp_path}/trial"
    with pytest.raises(HeardError, match=words):
        impatient(tmp_path)
    make(tmp_path, "mine")
    assert run.wait() == 0
    assert content(tmp_path) == {"a.txt": "mine", "b.txt": "mine"}
    assert leftovers(tmp_path) == []


def test_another_target_is_not_held_up(tmp_path):
    run = start(tmp_path, 1.0)
    with output_set(tmp_path, "other", pytest.fail) as folder:
        fill(folder, "x")
    assert run.poll() is None
    run.wait()
    assert verify(tmp_path / "other") == []


def test_many_at_once_never_mix(tmp_path):
    def work(text):
        for _ in range(5):
            make(tmp_path, text)

    threads = [threading.Thread(target=work, args=(text,)) for text in ("one", "two", "three")]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        time.sleep(0.01)
    assert len(set(content(tmp_path).values())) == 1
    assert verify(tmp_path / "trial") == []
    assert leftovers(tmp_path) == []
