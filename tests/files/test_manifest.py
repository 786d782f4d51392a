"""The manifest says what a set is; verifying finds what was changed, lost or added since."""

import json
from pathlib import Path

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeSphere

from geomgen.errors import FileWriteError
from geomgen.files.disk import sha256
from geomgen.files.manifest import (
    file_entry,
    manifest,
    read_manifest,
    step_entry,
    stl_entry,
    verify,
    write_manifest,
)
from geomgen.files.parts import write_parts

PARTS = {
    "box": BRepPrimAPI_MakeBox(10.0, 20.0, 30.0).Shape(),
    "ball": BRepPrimAPI_MakeSphere(5.0).Shape(),
}


def build(folder):
    folder.mkdir()
    made = write_parts(folder, PARTS, {}, 0.1, "all", 1)
    (folder / "sheet.txt").write_text("a sheet\n")
    entries = [step_entry("all", made.assembly), file_entry(folder, "sheet.txt", "sheet")]
    for name, part in made.parts.items():
        entries += [
            stl_entry(name, part.stl, part.figures),
            step_entry(name, part.step, part.figures),
        ]
    content = manifest("trial", "A trial", "A", "f" * 64, entries)
    write_manifest(folder, content)
    return content


@pytest.fixture
def folder(tmp_path):
    build(tmp_path / "set")
    return tmp_path / "set"


def test_every_file_is_in_it_with_its_figures(folder):
    content = read_manifest(folder)
    files = {entry["file"]: entry for entry in content["files"]}
    assert set(files) == {p.name for p in folder.iterdir()} - {"manifest.json"}
    stl = files["box_mm.stl"]
    assert stl["sha256"] == sha256(folder / "box_mm.stl")
    assert stl["bytes"] == (folder / "box_mm.stl").stat().st_size
    assert stl["unit"] == "mm"
    assert stl["volume_mm3"] == pytest.approx(6000.0)
    assert stl["area_mm2"] == pytest.approx(2200.0)
    assert stl["bounding_box"] == {"low_mm": [0, 0, 0], "high_mm": [10, 20, 30]}
    assert stl["triangles"] == 12
    assert stl["mesh_tolerance_mm"] == 0.1
    assert stl["deviation_mesh_to_solid_mm"] == 0.0
    ball = files["ball_mm.stl"]
    assert 0 < ball["deviation_solid_to_mesh_mm"] <= 0.1
    assert files["all_mm.step"]["parts"] == ["box", "ball"]
    assert files["all_mm.step"]["schema"].startswith("AP242")
    assert content["parameters_sha256"] == "f" * 64
    assert {"python", "geomgen", "cadquery-ocp", "trimesh", "manifold3d"} <= set(
        content["made_with"]
    )
    assert "not an airworthiness approval" in content["note"]


def test_no_path_and_no_time_in_it(folder):
    text = (folder / "manifest.json").read_text()
    assert str(folder.parent) not in text
    assert "20" + "26-" not in text


def test_the_same_set_gives_the_same_bytes(tmp_path):
    build(tmp_path / "one")
    build(tmp_path / "two")
    for path in (tmp_path / "one").iterdir():
        assert path.read_bytes() == (tmp_path / "two" / path.name).read_bytes()


def test_an_untouched_set_verifies(folder):
    assert verify(folder) == []


def test_changed_lost_and_added_files_are_found(folder):
    stl = folder / "box_mm.stl"
    data = bytearray(stl.read_bytes())
    data[100] ^= 1
    stl.write_bytes(bytes(data))
    (folder / "ball_mm.step").unlink()
    (folder / "notes.txt").write_text("mine")
    assert verify(folder) == [
        "ball_mm.step: it is missing",
        "box_mm.stl: it was changed after it was verified",
        "notes.txt: the manifest does not know it",
    ]


def test_an_empty_folder_is_found(folder):
    (folder / "wing_cores" / "left").mkdir(parents=True)
    assert verify(folder) == ["wing_cores/left: a folder without a file"]


ROW = '{"file": "a.stl", "what": "mesh", "sha256": "0", "bytes": 1}'
ODD = [
    *("", "[]", "{}", '{"files": 3}', "\x00", "[" * 100_000, '{"files": ' * 50_000),
    *('{"files": [3]}', '{"files": [null]}', '{"files": [[]]}', '{"files": [{}]}'),
    f'{{"files": [{ROW.replace("1}", "true}")}]}}',
    f'{{"files": [{ROW.replace("1}", "1e400}")}]}}',
    *(f'{{"files": [{ROW.replace("a.stl", name)}]}}' for name in ("/etc/a", "../a", "a\\u0000")),
    f'{{"files": [{ROW}, {ROW.replace(chr(34) + "mesh" + chr(34), "7")}]}}',
]


@pytest.mark.parametrize("text", ODD, ids=range(len(ODD)))
def test_what_is_no_manifest_is_refused(folder, text):
    (folder / "manifest.json").write_text(text)
    with pytest.raises(FileWriteError, match="manifest"):
        verify(folder)


def test_no_manifest_is_said(tmp_path):
    with pytest.raises(FileWriteError, match="there is no manifest"):
        read_manifest(tmp_path)


def test_a_folder_that_is_not_there_is_said(tmp_path):
    """Broken before: it was said to have no manifest, and to be built again."""
    with pytest.raises(FileWriteError, match=r"nope: there is no such folder"):
        read_manifest(tmp_path / "nope")


def test_the_folder_one_stands_in_is_named(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FileWriteError, match=f"^{tmp_path.name}: there is no manifest"):
        read_manifest(Path())


def test_it_is_plain_json(folder):
    assert json.loads((folder / "manifest.json").read_text())["format"] == 1


def test_a_figure_that_is_no_number_is_no_json(tmp_path):
    with pytest.raises(ValueError, match="not JSON compliant"):
        write_manifest(tmp_path, {"volume_mm3": float("inf")})
    assert not list(tmp_path.iterdir())
