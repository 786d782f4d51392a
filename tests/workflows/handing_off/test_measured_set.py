"""What was measured on a set counts for files of the same bytes, and for no others."""

from pathlib import Path

import pytest
from made_sets import made_set

from geomgen.files.manifest import read_manifest
from geomgen.files.places import NAME, read_places
from geomgen.files.set_reading import read_set
from geomgen.parameters import load
from geomgen.workflows.building.build import SurveyedModel
from geomgen.workflows.handing_off import hand_off
from geomgen.workflows.handing_off.measured_set import MeasuredSet, hashes_of

SALTMARSH = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"
PARTS = ["boom_right", "wing"]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return made_set(tmp_path_factory.mktemp("made") / "set")


@pytest.fixture(scope="module")
def seen(folder):
    return MeasuredSet(hashes_of(folder, read_places(folder)[1]), *read_set(folder), (), ())


@pytest.fixture
def copy(folder, tmp_path):
    for path in folder.iterdir():
        (tmp_path / path.name).write_bytes(path.read_bytes())
    return tmp_path


def test_all_that_is_read_is_hashed(seen) -> None:
    files = {f"{part}_mm.{ending}" for part in PARTS for ending in ("step", "stl")}
    assert set(seen.hashes) == {NAME, *files}


@pytest.mark.parametrize("name", [NAME, "wing_mm.step", "boom_right_mm.stl"])
def test_a_byte_more_or_a_lost_file_is_another_set(seen, copy, name) -> None:
    assert seen.is_of(copy, PARTS, 0.1)
    assert not seen.is_of(copy, PARTS, 0.2)
    assert not seen.is_of(copy, PARTS[:1], 0.1)
    (copy / name).write_bytes((copy / name).read_bytes() + b" ")
    assert not seen.is_of(copy, PARTS, 0.1)
    (copy / name).unlink()
    assert not seen.is_of(copy, PARTS, 0.1)


def test_a_hand_off_measures_what_was_not_seen(seen, copy, monkeypatch) -> None:
    asked = []

    def surveyed(p, model, meshes, say):
        asked.append(model)
        return SurveyedModel((), ("measured now",))

    monkeypatch.setattr(hand_off, "surveyed", surveyed)
    rows = read_manifest(copy)["files"]
    work = hand_off._Work(load(SALTMARSH), "", lambda _: None, None, gated=False, seen=seen)
    assert work._measured(copy, PARTS, rows) == (seen.model, (), ())
    assert asked == []
    step = copy / "wing_mm.step"
    # A remark changes the bytes alone.
    step.write_bytes(step.read_bytes().replace(b"ENDSEC;", b"/* other */ENDSEC;", 1))
    model, _, measured = work._measured(copy, PARTS, rows)
    assert measured == ("measured now",)
    assert asked == [model]
    assert model is not seen.model
