"""What two files of one name differ in: closed forms, by shape, outline, figure or line."""

import json

import pytest

from geomgen.drafting.formats.dxf.writing import write_dxf
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Drawing, rectangle
from geomgen.files.step import write_step
from geomgen.files.stl import write_stl
from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.meshing.proven import mesh
from geomgen.workflows.comparing.file_differences import MEASURED, difference

BLOCK = box((0, 0, 0), (40, 30, 20))
LONGER = box((0, 0, 0), (43, 30, 20))


@pytest.fixture
def two(tmp_path):
    """Return what writes a pair of files and tells the difference."""
    folders = [tmp_path / name for name in ("found", "due")]
    for folder in folders:
        folder.mkdir()

    def told(write, found, due):
        paths = [write(folder, x) for folder, x in zip(folders, (found, due), strict=True)]
        return difference(*paths, 0.1)

    return told


def stl(folder, solid):
    return write_stl(folder, mesh(solid, 0.1), "block")


def step(folder, solid):
    return write_step(folder, {"block": solid}, {}, "block")


def dxf(folder, drawing):
    return write_dxf(folder / "plate.dxf", drawing, Title("Demo", "plate", "A"))


def text(name):
    def write(folder, content):
        (folder / name).write_text(content, encoding="utf-8")
        return folder / name

    return write


@pytest.mark.parametrize("write", [stl, step])
@pytest.mark.parametrize(
    ("found", "off"), [(LONGER, "3.000 mm"), (moved(BLOCK, (0.0, 2.0, 0.0)), "2.000 mm")]
)
def test_a_surface_is_measured(two, write, found, off):
    assert two(write, found, BLOCK) == f"its surface is up to {off} off"
    assert two(write, BLOCK, BLOCK) == ""


def test_an_outline_is_measured(two):
    plate = Drawing("plate", (rectangle((0, 0), (100, 60)),))
    wider = Drawing("plate", (rectangle((0, 0), (103, 60)),))
    assert two(dxf, wider, plate) == "its outline is up to 3.000 mm off"
    assert two(dxf, plate, plate) == ""


def test_figures_are_read(two):
    rows = {"checks": [{"id": "a", "value": 1.25}, {"id": "b", "value": 2.0}]}
    changed = json.loads(json.dumps(rows))
    changed["checks"][1]["value"] = 2.5
    write = text("cut_or_not.json")
    assert two(write, json.dumps(changed), json.dumps(rows)) == "checks.1.value: 2.5, due is 2.0"
    assert two(write, json.dumps(rows, indent=3), json.dumps(rows)) == ""
    del changed["checks"][1]["id"]
    assert two(write, json.dumps(changed), json.dumps(rows)) == "checks.1.id: missing"


def test_rows_are_read(two):
    write = text("parts_list.csv")
    told = two(write, "part,mass\npod,4.3\n", "part,mass\npod,4.4\n")
    assert told == "line 2: pod,4.3, due is pod,4.4"
    assert two(write, "part\n", "part\npod\n") == "line 2: nothing, due is pod"


@pytest.mark.parametrize("ending", MEASURED[:4])
def test_what_is_broken_is_said(two, ending):
    told = two(text(f"broken{ending}"), "{", "[")
    assert told.startswith("it can't be read any more: ")


def test_of_pages_only_the_bytes_tell(two):
    assert two(text("a.pdf"), "one", "two") == "it is not what the set's own parameters.toml gives"
