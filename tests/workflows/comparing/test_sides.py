"""What may be compared: complete sets and parameter files, nothing else."""

import json
import shutil

import pytest
from made_sets import CONFIG, made_set

from geomgen.errors import FileWriteError, ParameterError
from geomgen.workflows.comparing import sides
from geomgen.workflows.comparing.sides import side_of


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    return made_set(tmp_path_factory.mktemp("out") / "saltmarsh", template=400.0, plug=120.0)


@pytest.fixture
def own(whole, tmp_path):
    return shutil.copytree(whole, tmp_path / "out" / "saltmarsh")


def read(given, tmp_path, overrides=(), out="nowhere"):
    return side_of(given, overrides, tmp_path / out, tmp_path / "spare", lambda _: None)


def test_a_set_is_read_with_all_that_it_holds(whole, tmp_path):
    side = read(whole, tmp_path)
    assert set(side.states) == {"boom_right", "wing"}
    assert {"wing_cores/core_root", "mould_maker/wing_plug"} < set(side.products)
    assert side.handed_off
    assert not side.findings
    assert not side.built
    assert side.checks[0].measured == 150.0
    assert side.drawing(side.products["wing_cores/core_root"]).paths


def test_a_parameter_file_stands_for_its_set_when_that_is_of_the_same_parameters(
    own, tmp_path, monkeypatch
):
    monkeypatch.setattr(sides, "build", lambda *_: pytest.fail("it was built again"))
    side = read(CONFIG, tmp_path, out="out")
    assert side.folder == own
    assert side.written["wing.waterline"]
    assert not side.built


@pytest.mark.parametrize("how", ["other parameters", "changed file", "no set"])
def test_otherwise_it_is_built_elsewhere(own, tmp_path, monkeypatch, how):
    asked = []

    def build(path, overrides, out, say, store):
        asked.append(out)
        folder = made_set(out / "saltmarsh", overrides)
        return type("Result", (), {"folder": folder})

    monkeypatch.setattr(sides, "build", build)
    if how == "changed file":
        (own / "wing_mm.stl").write_bytes(b"x")
    before = sorted(path.stat().st_mtime_ns for path in own.rglob("*"))
    overrides = ["wing.waterline=1331 mm"] if how == "other parameters" else []
    side = read(CONFIG, tmp_path, overrides, "elsewhere" if how == "no set" else "out")
    assert asked == [tmp_path / "spare"]
    assert side.built
    assert before == sorted(path.stat().st_mtime_ns for path in own.rglob("*"))


def test_what_is_neither_is_refused(tmp_path):
    empty = tmp_path / "empty"
    empty.mkdir()
    said = {"nothing": "there is no such file or folder", "empty": "neither a parameter file nor"}
    for name, words in said.items():
        with pytest.raises(ParameterError, match=words) as told:
            read(tmp_path / name, tmp_path)
        assert told.value.exit_code == 2
        assert "name a parameter file" in told.value.advice


def test_a_set_can_not_be_overridden(whole, tmp_path):
    with pytest.raises(ParameterError, match="can't be overridden"):
        read(whole, tmp_path, ["pod.wall=3 mm"])


@pytest.mark.parametrize("lost", ["wing_mm.stl", "checks.json", "parameters.toml",
                                  "wing_cores/core_root_mm.dxf"])  # fmt: skip
def test_a_set_that_is_not_whole_is_refused(own, tmp_path, lost):
    (own / lost).unlink()
    with pytest.raises(FileWriteError, match="not a complete set") as told:
        read(own, tmp_path)
    assert lost in str(told.value)
    assert "geomgen build" in told.value.advice


@pytest.mark.parametrize("name", ["checks.json", "parameters.toml"])
def test_a_text_that_can_not_be_read_is_named(own, tmp_path, name):
    (own / name).write_text("[[[")
    with pytest.raises(FileWriteError, match=name):
        read(own, tmp_path)


def test_the_outcome_of_a_check_is_no_set(own, tmp_path):
    known = json.loads((own / "manifest.json").read_text())
    known["files"] = [row for row in known["files"] if row["what"] == "checks"]
    (own / "manifest.json").write_text(json.dumps(known))
    with pytest.raises(FileWriteError, match="no solids"):
        read(own, tmp_path)


def test_a_file_that_was_changed_is_told_and_its_figures_are_not_trusted(own, tmp_path):
    path = own / "wing_mm.stl"
    path.write_bytes(path.read_bytes()[:-1] + b"\x01")
    side = read(own, tmp_path)
    assert any("wing_mm.stl" in text for text in side.findings)
    assert side.states["wing"].deviation is None
    assert side.states["wing"].volume is None
    assert side.states["boom_right"].deviation is not None
