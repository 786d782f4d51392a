"""A set stays only while nothing differs: each file touched, the key, the program, the place."""

import json
import shutil
from pathlib import Path

import pytest
from made_outcomes import figures

from geomgen.errors import FileWriteError
from geomgen.files.disk import sha256, write_bytes
from geomgen.files.manifest import NAME, file_entry, read_manifest, verify, write_manifest
from geomgen.regeneration.store import store_in
from geomgen.workflows.building import build as pipeline
from geomgen.workflows.building import unchanged

CONFIG = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"
NOTICE = "a line was held back"


class State:
    """What a build made, as far as a result asks."""

    def __init__(self, p):
        self.checks, self.notices = figures(p), (NOTICE,)


@pytest.fixture
def fills(monkeypatch):
    """Fill sets with a mesh and texts, no solids; return the list of what was filled."""
    done = []

    def fill(folder, p, say, store):
        state = State(p)
        write_bytes(folder / "pod_mm.stl", f"solid {p.pod.wall}".encode())
        entries = [file_entry(folder, "pod_mm.stl", "mesh")]
        pipeline.write_texts(folder, p, state.checks, entries, notices=state.notices)
        done.append(folder)
        return state

    monkeypatch.setattr(pipeline, "fill", fill)
    return done


def built(out, *overrides, store=True):
    return pipeline.build(CONFIG, overrides, out, store=store_in(out) if store else None)


def test_an_unchanged_set_stays_and_says_the_same(fills, tmp_path):
    first = built(tmp_path)
    before = {path: path.stat().st_mtime_ns for path in first.folder.iterdir()}
    second = built(tmp_path)
    assert (first.unchanged, second.unchanged, len(fills)) == (False, True, 1)
    assert {path: path.stat().st_mtime_ns for path in second.folder.iterdir()} == before
    said = [(r.checks, r.targets, r.notices, r.passed, r.inches) for r in (first, second)]
    assert said[0] == said[1]
    assert said[0][2] == (NOTICE,)


def _same_size(path):
    data = path.read_bytes()
    path.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))


def _rewritten(path):
    """Touch a file and make the manifest agree with it, as somebody would who hides it."""
    _same_size(path)
    content = read_manifest(path.parent)
    for entry in content["files"]:
        if entry["file"] == path.name:
            entry["sha256"] = sha256(path)
    write_manifest(path.parent, content)
    assert verify(path.parent) == []


def _linked(path):
    other = path.parent.parent / "elsewhere"
    path.rename(other)
    path.symlink_to(other)


@pytest.mark.parametrize("file", ["pod_mm.stl", "checks.json", "parameters.toml"])
@pytest.mark.parametrize("harm", [_same_size, Path.unlink, _rewritten, _linked])
def test_a_file_that_is_not_as_it_was_has_the_set_built(fills, tmp_path, file, harm):
    first = built(tmp_path)
    proved = {path.name: path.read_bytes() for path in first.folder.iterdir()}
    harm(first.folder / file)
    assert not built(tmp_path).unchanged
    assert {path.name: path.read_bytes() for path in first.folder.iterdir()} == proved
    assert not any(path.is_symlink() for path in first.folder.iterdir())
    assert built(tmp_path).unchanged


@pytest.mark.parametrize("text", ["", "{", "[]", '{"files": [{}]}', None])
def test_a_broken_manifest_is_never_believed(fills, tmp_path, text):
    manifest = built(tmp_path).folder / NAME
    if text is None:
        manifest.write_bytes(manifest.read_bytes() + b"\n")
        assert not built(tmp_path).unchanged
        return
    manifest.write_text(text)
    # A folder whose manifest says nothing may hold anything: it is left alone, as ever.
    with pytest.raises(FileWriteError, match="manifest"):
        built(tmp_path)


def test_another_file_and_another_way_to_write_it_are_built(fills, tmp_path):
    built(tmp_path)
    assert not built(tmp_path, "pod.wall=4.4 mm").unchanged
    assert built(tmp_path, "pod.wall=4.4 mm").unchanged
    assert not built(tmp_path, "output.mesh_tolerance=0.2 mm").unchanged
    assert not built(tmp_path, 'title="Another"').unchanged
    assert len(fills) == 4


@pytest.mark.parametrize("what", ["source", "library"])
def test_another_program_builds_anew(fills, tmp_path, monkeypatch, what):
    built(tmp_path)
    here = unchanged.of_whole_program()
    unchanged.of_whole_program.cache_clear()
    if what == "library":
        known = {**unchanged.versions(), "numpy": "0.0"}
        monkeypatch.setattr(unchanged, "versions", lambda: known)
        monkeypatch.setattr(unchanged, "_version", lambda name: known.get(name, ""))
    else:
        style = "page.css"
        same = unchanged.sha256
        monkeypatch.setattr(unchanged, "sha256", lambda p: "0" if p.name == style else same(p))
    try:
        assert unchanged.of_whole_program() != here
        assert not built(tmp_path).unchanged
    finally:
        unchanged.of_whole_program.cache_clear()


def test_afresh_and_without_what_is_remembered_it_is_built(fills, tmp_path):
    built(tmp_path)
    assert not built(tmp_path, store=False).unchanged
    assert built(tmp_path).unchanged
    shutil.rmtree(tmp_path / ".kept")
    assert not built(tmp_path).unchanged


def test_a_folder_that_was_moved_stays_with_what_is_remembered_of_it(fills, tmp_path):
    """Whole, it is the same to the last byte; without its store nothing speaks for it."""
    built(tmp_path / "out")
    (tmp_path / "out").rename(tmp_path / "moved")
    moved = built(tmp_path / "moved")
    assert (moved.unchanged, moved.folder) == (True, tmp_path / "moved" / "saltmarsh")
    shutil.copytree(moved.folder, tmp_path / "alone" / "saltmarsh")
    assert not built(tmp_path / "alone").unchanged


def test_a_set_with_more_in_it_is_built_and_says_what_goes(fills, tmp_path):
    folder = built(tmp_path).folder
    content = read_manifest(folder)
    write_bytes(folder / "report.html", b"page")
    content["files"].append(file_entry(folder, "report.html", "report"))
    write_manifest(folder, content)
    again = built(tmp_path)
    assert not again.unchanged
    assert any("report" in notice for notice in again.notices)


def test_another_set_in_its_place_is_not_taken_for_it(fills, tmp_path):
    """Both were proved; what lies there is the other one's."""
    one, other = built(tmp_path), "pod.wall=4.4 mm"
    shutil.copytree(one.folder, tmp_path / "one")
    built(tmp_path, other)
    shutil.rmtree(one.folder)
    (tmp_path / "one").rename(one.folder)
    assert not built(tmp_path, other).unchanged
    outcome = json.loads((one.folder / "checks.json").read_bytes())
    assert outcome["checks"][0]["measured"] == pytest.approx(1.1)
