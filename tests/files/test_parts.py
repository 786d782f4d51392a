"""A whole model to disk, with one job and with two, and errors that come back from a child."""

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus

from geomgen.errors import FileWriteError, GeometryError
from geomgen.files.parts import write_parts
from geomgen.kernel.brep.primitives import moved

PARTS = {
    "box": BRepPrimAPI_MakeBox(10.0, 20.0, 30.0).Shape(),
    "ball": moved(BRepPrimAPI_MakeSphere(5.0).Shape(), (100.0, 0.0, 0.0)),
    "ring": BRepPrimAPI_MakeTorus(30.0, 10.0).Shape(),
}
COLOURS = {"box": (1.0, 0.0, 0.0), "ring": (0.2, 0.4, 0.6)}


@pytest.mark.parametrize("jobs", [1, 2])
def test_every_part_has_two_proven_files(tmp_path, jobs):
    told = []
    made = write_parts(tmp_path, PARTS, COLOURS, 0.1, "all", jobs, told.append)
    assert list(made.parts) == list(PARTS)
    assert sorted(told) == sorted([*PARTS, "all"])
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted(
        ["all_mm.step", *(f"{n}_mm.{kind}" for n in PARTS for kind in ("stl", "step"))]
    )
    assert made.parts["ring"].stl.mesh_to_solid <= 0.1
    assert list(made.assembly.volumes) == list(PARTS)
    assert made.assembly.box.high[0] == pytest.approx(105.0, abs=1e-5)


def test_one_job_or_two_make_no_difference(tmp_path):
    hashes = []
    for jobs in (1, 2):
        folder = tmp_path / str(jobs)
        folder.mkdir()
        made = write_parts(folder, PARTS, COLOURS, 0.2, "all", jobs)
        hashes.append([(p.stl.sha256, p.step.sha256) for p in made.parts.values()])
    assert hashes[0] == hashes[1]


@pytest.mark.parametrize("jobs", [1, 2])
def test_an_error_keeps_its_fields(tmp_path, jobs):
    with pytest.raises(GeometryError) as caught:
        write_parts(tmp_path, PARTS, COLOURS, -1.0, "all", jobs)
    assert caught.value.part in PARTS
    assert caught.value.look_at == ["output.mesh_tolerance"]
    with pytest.raises(FileWriteError):
        write_parts(tmp_path / "nowhere", PARTS, COLOURS, 0.1, "all", jobs)


def test_a_single_part_is_its_own_assembly(tmp_path):
    made = write_parts(tmp_path, {"box": PARTS["box"]}, COLOURS, 0.1, "crate", 1)
    assert made.assembly.name == "crate_mm.step"
