"""From file to folder: the set is whole, proven, the same each time; checks leave it alone."""

import hashlib
import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from geomgen.errors import FileWriteError
from geomgen.files.manifest import read_manifest, verify
from geomgen.parameters import load

CONFIGS = Path(__file__).parents[3] / "configs"


def test_set_holds_every_file(saltmarsh_set, saltmarsh_model) -> None:
    inside = {path.name for path in saltmarsh_set.folder.iterdir()}
    for part in saltmarsh_model.parts:
        assert f"{part}_mm.step" in inside
        assert f"{part}_mm.stl" in inside
    assert {"saltmarsh_mm.step", "checks.json", "parameters.toml"} <= inside
    assert verify(saltmarsh_set.folder) == []


def test_manifest_says_what_each_file_is(saltmarsh_set, saltmarsh) -> None:
    known = read_manifest(saltmarsh_set.folder)
    for entry in known["files"]:
        content = (saltmarsh_set.folder / entry["file"]).read_bytes()
        assert entry["sha256"] == hashlib.sha256(content).hexdigest()
        assert entry["bytes"] == len(content)
        if entry["what"] == "mesh":
            worst = max(entry["deviation_mesh_to_solid_mm"], entry["deviation_solid_to_mesh_mm"])
            # A box, and a hollow one, are flat all over.
            assert 0 < worst <= saltmarsh.output.mesh_tolerance or entry["triangles"] <= 24
            assert entry["unit"] == "mm"
            assert entry["volume_mm3"] > 0


def test_example_passes_all_its_checks(saltmarsh_set) -> None:
    failed = [c.id for c in saltmarsh_set.checks if c.verdict in ("fail", "not_measured")]
    assert failed == []
    assert saltmarsh_set.passed


def test_checks_have_every_id_of_the_job(saltmarsh_set) -> None:
    written = json.loads((saltmarsh_set.folder / "checks.json").read_text())["checks"]
    ids = {record["id"] for record in written}
    wanted = {
        "prop.radial_clearance", "prop.axial_clearance", "prop.trailing_edge_gap",
        "prop.ground_clearance.static", "prop.ground_clearance.take_off",
        "prop.ground_clearance.flat_tyre", "prop.tip_mach", "firewall.area", "firewall.edge_gap",
        "firewall.material", "firewall.mass", "inlet.area", "exit.area", "exit.to_inlet_ratio",
        "engine.clearance", "parts.interference", "parts.attached", "parts.seat",
        "mesh.deviation",
    }  # fmt: skip
    assert wanted <= ids
    for name in ("scoop_cheek_right", "scoop_cheek_left"):
        for kind in ("inlet.area", "duct.throat_area", "duct.turn_angle"):
            assert f"{kind}.{name}" in ids
    fields = {
        "id", "part", "what", "measured", "unit", "target", "comparison", "margin", "verdict",
        "method", "error_bound", "where", "source",
    }  # fmt: skip
    assert all(fields <= set(record) for record in written)


def test_every_figure_is_declared_with_its_limit_or_as_one_to_read(saltmarsh_set) -> None:
    assert [c.id for c in saltmarsh_set.checks if "no target" in c.note] == []


def test_parameters_as_used_load_to_the_same(saltmarsh_set, saltmarsh) -> None:
    again = load(saltmarsh_set.folder / "parameters.toml")
    assert again.pod == saltmarsh.pod
    assert again.rules == saltmarsh.rules


def test_left_is_the_mirror_of_right(saltmarsh_model) -> None:
    from solid_properties import mass_properties

    for name, solid in saltmarsh_model.parts.items():
        if name.endswith("_left"):
            right = mass_properties(saltmarsh_model.parts[name[:-5] + "_right"])
            left = mass_properties(solid)
            assert left.volume == pytest.approx(right.volume, rel=1e-7)
            x, y, z = right.centroid
            assert left.centroid == pytest.approx((x, -y, z), abs=1e-3)


def test_every_part_is_one_valid_closed_solid(saltmarsh_model) -> None:
    from geomgen.kernel.solids.validity import validity

    for name, solid in saltmarsh_model.parts.items():
        assert validity(solid).problems == (), name


@pytest.mark.long
def test_same_file_gives_the_same_bytes_in_another_process(saltmarsh_set, tmp_path) -> None:
    code = "import sys; from geomgen import build; build(sys.argv[1], out=sys.argv[2])"
    file = str(CONFIGS / "saltmarsh.toml")
    subprocess.run([sys.executable, "-c", code, file, str(tmp_path)], check=True)
    for path in saltmarsh_set.folder.iterdir():
        assert (tmp_path / "saltmarsh" / path.name).read_bytes() == path.read_bytes(), path.name


def test_check_leaves_a_built_set_alone(saltmarsh_set, monkeypatch) -> None:
    from geomgen.workflows.building import build as pipeline

    before = {p.name: p.read_bytes() for p in saltmarsh_set.folder.iterdir()}
    from geomgen.regeneration import regenerating

    state = SimpleNamespace(checks=saltmarsh_set.checks, notices=(), measured=[])
    monkeypatch.setattr(regenerating, "regenerate", lambda p, store, say: state)
    file, out = CONFIGS / "saltmarsh.toml", saltmarsh_set.folder.parent
    assert pipeline.check(file, out=out).folder == saltmarsh_set.folder
    other = pipeline.check(file, ["rules.tip_mach=0.6"], out)
    assert other.folder.name == "saltmarsh.checks"
    assert (other.folder / "checks.json").exists()
    assert {p.name: p.read_bytes() for p in saltmarsh_set.folder.iterdir()} == before


def test_an_unchanged_set_stays_with_the_same_outcome(saltmarsh_set, kept) -> None:
    from geomgen.workflows.building.build import build

    before = {p.name: (p.read_bytes(), p.stat().st_ino) for p in saltmarsh_set.folder.iterdir()}
    again = build(CONFIGS / "saltmarsh.toml", out=saltmarsh_set.folder.parent, store=kept)
    assert again.unchanged
    assert (again.checks, again.notices) == (saltmarsh_set.checks, saltmarsh_set.notices)
    now = {p.name: (p.read_bytes(), p.stat().st_ino) for p in saltmarsh_set.folder.iterdir()}
    assert now == before


def test_failed_build_leaves_the_old_set(saltmarsh_set, monkeypatch) -> None:
    from geomgen.workflows.building import build as pipeline

    before = {p.name: p.read_bytes() for p in saltmarsh_set.folder.iterdir()}

    def full_disk(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pipeline, "fill", full_disk)
    with pytest.raises(FileWriteError, match=r"(?i)space"):
        pipeline.build(CONFIGS / "saltmarsh.toml", out=saltmarsh_set.folder.parent)
    assert {p.name: p.read_bytes() for p in saltmarsh_set.folder.iterdir()} == before


def test_folder_that_cannot_be_written(tmp_path) -> None:
    from geomgen.workflows.building import build as pipeline

    (tmp_path / "out").write_text("a file in the way")
    with pytest.raises(FileWriteError):
        pipeline.build(CONFIGS / "saltmarsh.toml", out=tmp_path / "out")
