"""A set is made once more from its parameters: whatever was forged in it is told, by its shape."""

import json
import shutil
from pathlib import Path

import pytest

from geomgen.errors import GeometryError
from geomgen.files.disk import sha256
from geomgen.files.manifest import read_manifest, write_manifest
from geomgen.workflows import handoff, report, verify
from geomgen.workflows.comparing import made_again

CONFIGS = Path(__file__).parents[3] / "configs"


def forged(folder):
    """Let the hashes of the manifest agree with whatever lies in a folder now."""
    content = read_manifest(folder)
    for entry in content["files"]:
        path = folder / entry["file"]
        entry["sha256"], entry["bytes"] = sha256(path), path.stat().st_size
    write_manifest(folder, content)


def swap(folder, one, other):
    a, b = folder / one, folder / other
    kept = a.read_bytes()
    a.write_bytes(b.read_bytes())
    b.write_bytes(kept)


@pytest.fixture
def folder(saltmarsh_set, tmp_path, monkeypatch):
    """Return a copy of a set; what it is made again as is the set itself."""
    target = tmp_path / "set"
    shutil.copytree(saltmarsh_set.folder, target)
    monkeypatch.setattr(made_again, "_made", lambda *_: saltmarsh_set.folder)
    return target


@pytest.fixture
def told(saltmarsh):
    def ask(folder):
        forged(folder)
        known = read_manifest(folder)
        found, ask.unseen = made_again.made_again(folder, saltmarsh, known, "", lambda _: None)
        return found

    return ask


def test_an_untouched_set_is_made_the_same(folder, told):
    assert told(folder) == []


def test_a_wheel_that_was_moved_is_measured(folder, told, saltmarsh_model):
    from geomgen.files.step import write_step
    from geomgen.kernel.brep.primitives import moved

    wheel = moved(saltmarsh_model.parts["wheel_nose"], (0.0, 0.0, 2.0))
    write_step(folder, {"wheel_nose": wheel}, {}, "wheel_nose")
    (line,) = told(folder)
    assert line.startswith("wheel_nose_mm.step: its surface is up to ")
    assert float(line.split()[-3]) == pytest.approx(2.0, abs=0.1)


def test_figures_and_files_that_were_changed_are_named(folder, told):
    checks = json.loads((folder / "checks.json").read_bytes())
    place = next(i for i, c in enumerate(checks["checks"]) if c["id"] == "engine.clearance")
    checks["checks"][place]["measured"] += 1.0
    (folder / "checks.json").write_text(json.dumps(checks))
    swap(folder, "fin_left_mm.stl", "fin_right_mm.stl")
    (folder / "extra").mkdir()
    (folder / "extra" / "mine.txt").write_text("note")
    (folder / "pylon_mm.stl").rename(folder / "pylon.stl")
    content = read_manifest(folder)
    content["files"] = [e for e in content["files"] if e["file"] != "pylon_mm.stl"]
    write_manifest(folder, content)
    lines = told(folder)
    assert "pylon_mm.stl: its parameters ask for it" in lines
    assert "pylon.stl: its parameters do not ask for it" in lines
    assert "extra/mine.txt: its parameters do not ask for it" in lines
    assert any(line.startswith(f"checks.json: checks.{place}.measured: ") for line in lines)
    assert sum(line.startswith("fin_") and "surface is up to" in line for line in lines) == 2


def test_a_forged_row_of_the_manifest_is_told(folder, told):
    content = read_manifest(folder)
    row = next(row for row in content["files"] if row["file"] == "firewall_mm.stl")
    row["volume_mm3"] *= 2
    write_manifest(folder, content)
    assert told(folder) == ["manifest.json: what it says of firewall_mm.stl is not so"]


def test_other_versions_are_held_to_shapes_only(folder, told):
    content = read_manifest(folder)
    content["made_with"] = {**content["made_with"], "numpy": "0.1"}
    write_manifest(folder, content)
    path = folder / "checks.json"
    path.write_text(json.dumps(json.loads(path.read_bytes())))
    assert told(folder) == []
    assert told.unseen == []


def test_the_page_is_held_by_its_hash_only(folder, told, saltmarsh_set, tmp_path, monkeypatch):
    """It shows the values as they were written in the file, which the set does not keep."""
    due = tmp_path / "due"
    shutil.copytree(saltmarsh_set.folder, due)
    monkeypatch.setattr(made_again, "_made", lambda *_: due)
    for place, words in ((folder, "52 kt"), (due, "26.75 m/s")):
        (place / "report.html").write_text(words)
    used = folder / "parameters.toml"
    text = used.read_text()
    used.write_text("# written as 52 kt\n" + text)
    assert told(folder) == []
    used.write_text(text.replace('wall = "4', 'wall = "5', 1))
    (line,) = told(folder)
    assert line.startswith("parameters.toml: pod.wall: 5 mm, due is 4 mm")


def test_parameters_that_no_longer_build_are_said(folder, told, monkeypatch):
    def broken(*_):
        raise GeometryError("it folds over itself", part="pod")

    monkeypatch.setattr(made_again, "_made", broken)
    (line,) = told(folder)
    assert "can't be made again from its parameters.toml: " in line
    assert "it folds over itself" in line


@pytest.mark.long
def test_forgeries_in_a_whole_hand_off_are_told(tmp_path):
    from geomgen.regeneration.store import store_in

    store = store_in(tmp_path)
    handoff(CONFIGS / "saltmarsh.toml", (), tmp_path, store=store)
    report(CONFIGS / "saltmarsh.toml", (), tmp_path, store=store)
    folder = tmp_path / "saltmarsh"
    assert verify(folder, store=store).findings == ()
    dxf = sorted((folder / "foam_stations").glob("*_mm.dxf"))[3]
    text = dxf.read_text()
    head, tail = text.split("LWPOLYLINE\n", 1)
    x = tail.split("\n 10\n", 1)[1].split("\n", 1)[0]
    dxf.write_text(head + "LWPOLYLINE\n" + tail.replace(x, str(float(x) + 3.0), 1))
    pages = sorted((folder / "wing_cores").glob("*.pdf"))[:2]
    swap(folder, *(str(page.relative_to(folder)) for page in pages))
    mould = next((folder / "mould_maker").glob("*_mm.stl"))
    data = bytearray(mould.read_bytes())
    data[84 + 12 : 84 + 16] = (1234.5).hex().encode()[:4]
    mould.write_bytes(bytes(data))
    gate = folder / "cut_or_not.json"
    gate.write_text(gate.read_text().replace('"measured": 0', '"measured": 1', 1))
    rows = folder / "parts_list.csv"
    rows.write_text(rows.read_text().replace("1", "2", 1))
    forged(folder)
    found = verify(folder, store=store).findings
    for name in (dxf, *pages, mould, gate, rows):
        assert any(line.startswith(f"{name.relative_to(folder)}: ") for line in found), name
