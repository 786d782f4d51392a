"""3MF: the package, round trip through the consortium's own library, faults found.

Source: 3MF Core Specification (3MF Consortium), status PUBLISHED: parts of the package, unit,
objects, build items, base materials, closed and outward meshes. Reader: lib3mf (reference library).
"""

import zipfile
from dataclasses import replace

import lib3mf
import numpy as np
import pytest

from geomgen.errors import FileWriteError
from geomgen.files.disk import write_bytes
from geomgen.files.threemf import (
    MODEL_PART,
    model_xml,
    prove_threemf,
    threemf_bytes,
    write_threemf,
)
from geomgen.kernel.brep.primitives import box, cylinder, wheel
from geomgen.kernel.meshing.proven import mesh

MESHES = {
    "pod": mesh(box((1000.0, -200.0, 300.0), (2500.0, 200.0, 900.0)), 0.1),
    "wheel_right": mesh(wheel((1500.0, 700.0, 100.0), 400.0, 110.0), 0.1),
    "boom_right": mesh(cylinder((1600.0, 750.0, 800.0), (1.0, 0.0, 0.05), 40.0, 3000.0), 0.1),
}
COLOURS = {"pod": (0.86, 0.88, 0.84), "wheel_right": (0.1, 0.1, 0.1)}


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    path = tmp_path_factory.mktemp("threemf") / "machine.3mf"
    return write_threemf(path, MESHES, COLOURS, "machine", "Machine <1> & more")


def read(path):
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    assert reader.GetWarningCount() == 0
    return model


def test_the_package_has_the_parts_that_the_format_wants(written):
    with zipfile.ZipFile(written) as container:
        assert container.namelist() == ["[Content_Types].xml", "_rels/.rels", MODEL_PART]
        assert container.testzip() is None
        assert {entry.date_time[0] for entry in container.infolist()} == {1980}


def test_millimetres_names_and_title(written):
    model = read(written)
    assert model.GetUnit() == lib3mf.ModelUnit.MilliMeter
    title = model.GetMetaDataGroup().GetMetaDataByKey("", "Title")
    assert title.GetValue() == "Machine <1> & more"
    objects, names = model.GetMeshObjects(), []
    while objects.MoveNext():
        names.append(objects.GetCurrentMeshObject().GetName())
    assert names == list(MESHES)
    items = model.GetBuildItems()
    assert items.Count() == len(MESHES)


def test_the_box_in_millimetres_by_the_library_itself(written):
    objects = read(written).GetMeshObjects()
    objects.MoveNext()
    outbox = objects.GetCurrentMeshObject().GetOutbox()
    assert list(outbox.MinCoordinate) == [1000.0, -200.0, 300.0]
    assert list(outbox.MaxCoordinate) == [2500.0, 200.0, 900.0]


def test_vertices_come_back_bit_for_bit_and_closed(written):
    objects = read(written).GetMeshObjects()
    for made in MESHES.values():
        objects.MoveNext()
        found = objects.GetCurrentMeshObject()
        points = np.array([list(p.Coordinates) for p in found.GetVertices()])
        assert np.array_equal(points, made.vertices)
        assert found.IsManifoldAndOriented()


def test_colours_of_the_materials(written):
    model = read(written)
    groups = model.GetBaseMaterialGroups()
    groups.MoveNext()
    group = groups.GetCurrentBaseMaterialGroup()
    shown = [group.GetDisplayColor(number) for number in group.GetAllPropertyIDs()]
    assert [(c.Red, c.Green, c.Blue, c.Alpha) for c in shown][:2] == [
        (219, 224, 214, 255),
        (26, 26, 26, 255),
    ]


def test_the_same_bytes_again(written):
    assert written.read_bytes() == threemf_bytes(MESHES, COLOURS, "machine", "Machine <1> & more")


def test_what_is_not_to_be_printed_stays_out(tmp_path):
    path = write_threemf(tmp_path / "a.3mf", MESHES, COLOURS, "a", without=("wheel_right",))
    assert read(path).GetBuildItems().Count() == len(MESHES) - 1


def package(meshes, change=lambda text: text, colours=COLOURS):
    """The same container with another model part in it."""
    import io

    made = io.BytesIO(threemf_bytes(MESHES, COLOURS, "machine"))
    target = io.BytesIO()
    with zipfile.ZipFile(made) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            text = model_xml(meshes, colours, "machine") if name == MODEL_PART else ""
            new.writestr(name, change(text) if text else old.read(name))
    return target.getvalue()


def spoiled(name, **change):
    return {**MESHES, name: replace(MESHES[name], **change)}


ASIDE = np.array([0.0, 0.1, 0.0])
WHEEL, POD = MESHES["wheel_right"], MESHES["pod"]
FAULTS = {
    "inches": (lambda t: t.replace('unit="millimeter"', 'unit="inch"'), MESHES, "its unit is Inch"),
    "mirrored": (
        str,
        spoiled(
            "wheel_right",
            vertices=WHEEL.vertices * [1.0, -1.0, 1.0],
            triangles=WHEEL.triangles[:, ::-1],
        ),
        "wheel_right: its triangles are not those of the mesh",
    ),
    "mirrored points alone": (
        str,
        spoiled("wheel_right", vertices=WHEEL.vertices * [1.0, -1.0, 1.0]),
        "wheel_right: a vertex is",
    ),
    "missing": (
        str,
        {n: m for n, m in MESHES.items() if n != "boom_right"},
        "it builds pod, wheel_right, not",
    ),
    "not built": (lambda t: t.replace('<item objectid="3"/>', ""), MESHES, "it builds pod, boom"),
    "moved": (
        lambda t: t.replace(
            '<item objectid="3"/>', '<item objectid="3" transform="1 0 0 0 1 0 0 0 1 5 0 0"/>'
        ),
        MESHES,
        "it builds pod, boom",
    ),
    "inside out": (str, spoiled("pod", triangles=POD.triangles[:, ::-1]), "pod: its triangles"),
    "a tenth of a millimetre": (
        str,
        spoiled("pod", vertices=POD.vertices + ASIDE),
        "pod: a vertex is 0.1 mm off",
    ),
    "not XML": (lambda t: t[: len(t) // 2], MESHES, "it can't be read"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_proof_finds(fault, tmp_path):
    change, wrong, words = FAULTS[fault]
    path = tmp_path / "machine.3mf"
    write_bytes(path, package(wrong, change))
    with pytest.raises(FileWriteError, match="verification failed") as caught:
        prove_threemf(path, MESHES, COLOURS)
    assert words in str(caught.value)


def test_the_proof_finds_another_colour(tmp_path):
    path = tmp_path / "machine.3mf"
    write_bytes(path, package(MESHES, colours={**COLOURS, "pod": (0.9, 0.1, 0.1)}))
    with pytest.raises(FileWriteError, match="pod: its material"):
        prove_threemf(path, MESHES, COLOURS)


@pytest.mark.parametrize(
    ("triangles", "words"),
    [(POD.triangles[:, ::-1].copy(), "inside out"), (POD.triangles[1:], "not closed")],
    ids=["inside out", "open"],
)
def test_a_mesh_that_is_no_solid_is_never_written_as_good(triangles, words, tmp_path):
    wrong = {"pod": replace(POD, triangles=triangles)}
    with pytest.raises(FileWriteError, match=words):
        write_threemf(tmp_path / "a.3mf", wrong, COLOURS, "a")


def test_nothing_to_write():
    with pytest.raises(FileWriteError, match="no mesh"):
        threemf_bytes({}, {}, "a")
