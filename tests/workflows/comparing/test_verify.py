"""A set that was tampered with is recognised: by its hashes, its parameters, its measures."""

import json
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest
from made_sets import made_set

from geomgen.comparison.cut_parts import CutPart
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.errors import FileWriteError
from geomgen.files.disk import sha256
from geomgen.files.manifest import read_manifest, write_manifest
from geomgen.files.set_reading import read_set
from geomgen.files.step import step_name, write_step
from geomgen.files.stl import write_stl
from geomgen.kernel.brep.primitives import moved
from geomgen.kernel.meshing.proven import meshed
from geomgen.parameters import load
from geomgen.verdicts.check import Check, Limits
from geomgen.workflows import verify
from geomgen.workflows.building.build import surveyed, write_texts
from geomgen.workflows.comparing import compare, made_again
from geomgen.workflows.comparing import verify as verifying

CONFIGS = Path(__file__).parents[3] / "configs"
FORMATS = (".step", ".stl")


@pytest.fixture
def folder(saltmarsh_set, tmp_path):
    target = tmp_path / "set"
    shutil.copytree(saltmarsh_set.folder, target)
    return target


@pytest.fixture
def unmeasured(monkeypatch):
    monkeypatch.setattr(verifying, "_measured", lambda *_: (None, []))
    monkeypatch.setattr(verifying, "made_again", lambda *_: ([], []))


@pytest.fixture
def small(tmp_path, monkeypatch):
    """Return a set of a boom and a wing with all that is measured of them, not made again."""
    monkeypatch.setattr(verifying, "made_again", lambda *_: ([], []))
    folder, p = made_set(tmp_path / "small"), load(CONFIGS / "saltmarsh.toml")
    model, meshes = read_set(folder)
    checks = surveyed(p, model, meshes, lambda _: None).checks
    parts = [row for row in read_manifest(folder)["files"] if row["file"].endswith(FORMATS)]
    write_texts(folder, p, checks, parts, model)
    return folder, checks


def test_a_small_set_measures_the_same_and_a_forged_one_does_not(small):
    folder, checks = small
    result = verify(folder, CONFIGS / "saltmarsh.toml")
    assert result.findings == ()
    assert [c.id for c in result.checks] == [c.id for c in checks]
    lower = moved(read_set(folder)[0].parts["boom_right"], (0.0, 0.0, -40.0))
    write_step(folder, {"boom_right": lower}, {}, "boom_right")
    write_stl(folder, meshed(lower, 0.1).mesh, "boom_right")
    content = read_manifest(folder)
    for entry in content["files"]:
        path = folder / entry["file"]
        entry["sha256"], entry["bytes"] = sha256(path), path.stat().st_size
    write_manifest(folder, content)
    # The hashes agree, and the mesh with its solid: the boom no longer runs into the wing.
    assert [text.split(":")[0] for text in verify(folder).findings] == ["parts.interference"]


@pytest.mark.long
def test_untouched_set_belongs_and_measures_the_same(saltmarsh_set, monkeypatch):
    # That it is made again the same is the long test of test_made_again.py.
    monkeypatch.setattr(made_again, "_made", lambda *_: saltmarsh_set.folder)
    result = verify(saltmarsh_set.folder, CONFIGS / "saltmarsh.toml")
    assert result.findings == ()
    assert result.passed
    assert [c.id for c in result.checks] == [c.id for c in saltmarsh_set.checks]


@pytest.mark.parametrize("name", ["pod_mm.stl", "wing_mm.step", "checks.json", "places.json"])
def test_changed_file_is_named(folder, unmeasured, name):
    path = folder / name
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(bytes(data))
    assert any(text.startswith(f"{name}: ") for text in verify(folder).findings)


def test_lost_and_strange_files_are_named(folder, unmeasured):
    (folder / "pod_mm.stl").unlink()
    (folder / "mine.txt").write_text("note")
    result = verify(folder)
    told = " | ".join(result.findings)
    assert "pod_mm.stl: it is missing" in told
    assert "mine.txt" in told
    assert not result.intact
    assert len(result.astray) == 2


def test_of_many_keys_that_differ_some_are_named_and_the_others_counted():
    gone = ParameterChange("spinner.diameter", "200 mm", None)
    new = ParameterChange("pylon.chord", None, "400 mm")
    rows = (gone, new, *(ParameterChange(f"k{i}", "1 mm", "2 mm") for i in range(9)))
    told = verifying._keys(rows)
    assert "spinner.diameter is 200 mm in the set, not there in the file" in told
    assert "pylon.chord is not there in the set, 400 mm in the file" in told
    assert told.endswith("; and 3 more keys differ")


def test_a_changed_file_names_what_it_makes_wrong(folder, unmeasured, tmp_path, monkeypatch):
    rows = (
        CutPart("wing_cores/root", "wing_cores", "wing", "left", "", "right"),
        CutPart("pod", "", "pod", "", "", "cut again", ("pod_mm.stl",), "its shape changed", 1.25),
    )
    wall, asked = ParameterChange("pod.wall", "4 mm", "5 mm"), []

    def compared(*args, **more):
        asked.append((args, more))
        return SimpleNamespace(cut=rows, parameters=(wall,))

    monkeypatch.setattr(compare, "compare", compared)
    other = tmp_path / "other.toml"
    text = (CONFIGS / "saltmarsh.toml").read_text()
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    other.write_text(text)
    assert verify(folder, other).findings == ()
    assert asked == []
    other.write_text(text.replace('wall = "4 mm"', 'wall = "5 mm"'))
    result = verify(folder, other)
    head, pod = result.findings
    assert "other.toml: as the file stands, it is not what the set was made from: " in head
    assert "pod.wall is 4 mm in the set, 5 mm in the file; 1 of 2 shapes" in head
    assert result.intact
    assert pod == "pod: cut again: its shape changed, by up to 1.25 mm"


def test_parameters_inside_the_set_are_held_to_the_manifest(folder, unmeasured):
    used = folder / "parameters.toml"
    used.write_text(used.read_text().replace('wall = "4', 'wall = "5', 1))
    told = " | ".join(verify(folder).findings)
    assert "its parameters are not those" in told
    assert "it was changed after it was verified" in told


@pytest.mark.long
def test_a_part_out_of_place_with_a_forged_manifest_is_measured(folder, saltmarsh_model):
    # The hashes are made to agree: only measuring again can tell.
    shifted = {"boom_right": moved(saltmarsh_model.parts["boom_right"], (0.0, -80.0, 0.0))}
    path = write_step(folder, shifted, {}, "boom_right")
    assert path.name == step_name("boom_right")
    content = read_manifest(folder)
    for entry in content["files"]:
        if entry["file"] == path.name:
            entry["sha256"], entry["bytes"] = sha256(path), path.stat().st_size
    write_manifest(folder, content)
    result = verify(folder)
    assert not result.passed
    assert any("prop.radial_clearance" in text for text in result.findings)


def test_folder_without_a_set(tmp_path):
    with pytest.raises(FileWriteError, match="no manifest"):
        verify(tmp_path)


def test_reason_of_a_release_is_read(folder, unmeasured):
    (folder / "cut_or_not.json").write_text(json.dumps({"released_because": "only a trial"}))
    assert verify(folder).reason == "only a trial"


def test_figures_that_moved_are_named(saltmarsh_set):
    checks = saltmarsh_set.checks
    rows = [check.as_dict() for check in checks]
    assert verifying._moved(checks, rows) == []
    place = next(i for i, row in enumerate(rows) if row["id"] == "engine.clearance")
    for change in ({"measured": rows[place]["measured"] + 1.0}, {"verdict": "fail"}):
        told = verifying._moved(
            checks, [*rows[:place], {**rows[place], **change}, *rows[place + 1 :]]
        )
        assert len(told) == 1
        assert told[0].startswith("engine.clearance: ")
    (lost,) = verifying._moved(checks[1:], rows)
    assert "no longer measured" in lost
    (fresh,) = verifying._moved(checks, rows[1:])
    assert "was not measured" in fresh


@pytest.mark.parametrize(
    ("now", "before", "apart", "told"),
    [
        (1e-6, 0.19, 0.15, 0),  # on the solids now, on the meshes then
        (0.19, 1e-6, 0.15, 0),
        (0.1, 0.19, 0.25, 0),
        (0.1, 0.19, 0.30, 1),
        (1e-6, 1e-6, 0.15, 1),
        (None, None, 0.15, 1),
    ],
)
def test_two_figures_are_the_same_within_both_their_bounds(now, before, apart, told):
    check = Check(
        "engine.clearance", "engine, pod", "gap", 34.0, "mm", Limits("", 25.0), "at least", 9.0,
        "pass", error_bound=now,
    )  # fmt: skip
    row = {**check.as_dict(), "measured": 34.0 + apart, "error_bound": before}
    assert len(verifying._moved((check,), [row])) == told


def test_the_outcome_of_a_check_alone_is_said_to_have_no_solids(tmp_path):
    p = load(CONFIGS / "saltmarsh.toml")
    (tmp_path / "set").mkdir()
    write_texts(tmp_path / "set", p, [], [])
    result = verify(tmp_path / "set")
    assert not result.passed
    assert result.intact
    (told,) = result.findings
    assert "it is the outcome of geomgen check: it holds no solids" in told
    assert "again" not in told.partition("measured again")[2]
