"""GLB: the rules of the format, round trip through two other libraries, faults found.

Source: glTF 2.0 specification (Khronos Group, ISO/IEC 12113), status PUBLISHED: metres, y up, front
along +z, chunks and views on multiples of 4, limits of positions, unit normals, linear colours.
Readers: pygltflib and trimesh (reference libraries).
"""

import struct
from dataclasses import replace

import numpy as np
import pygltflib
import pytest
import trimesh

from geomgen.errors import FileWriteError, GeometryError
from geomgen.files.disk import write_bytes
from geomgen.files.glb import AXES, _closes, glb_bytes, in_file_axes, prove_glb, write_glb
from geomgen.kernel.brep.primitives import box, cylinder, disc, wheel
from geomgen.kernel.meshing.proven import mesh
from geomgen.kernel.plain import Axis

MESHES = {
    "pod": mesh(box((1000.0, -200.0, 300.0), (2500.0, 200.0, 900.0)), 0.1),
    "wheel_right": mesh(wheel((1500.0, 700.0, 100.0), 400.0, 110.0), 0.1),
    "boom_right": mesh(cylinder((1600.0, 750.0, 800.0), (1.0, 0.0, 0.05), 40.0, 3000.0), 0.1),
    "prop_disc": mesh(disc(Axis((3000.0, 0.0, 800.0), (1.0, 0.0, 0.0)), 0.0, 60.0, 650.0), 0.1),
}
COLOURS = {"pod": (0.86, 0.88, 0.84), "wheel_right": (0.1, 0.1, 0.1), "prop_disc": (0.3, 0.6, 0.9)}
SEEN_THROUGH = ("prop_disc",)


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    path = tmp_path_factory.mktemp("glb") / "machine.glb"
    return write_glb(path, MESHES, COLOURS, SEEN_THROUGH, "machine")


def test_chunks_and_views_are_where_the_format_wants_them(written):
    data = written.read_bytes()
    magic, version, length = struct.unpack("<4sII", data[:12])
    assert (magic, version, length) == (b"glTF", 2, len(data))
    text, kind = struct.unpack("<I4s", data[12:20])
    assert kind == b"JSON"
    assert text % 4 == 0
    binary, kind = struct.unpack("<I4s", data[20 + text : 28 + text])
    assert kind == b"BIN\0"
    assert binary % 4 == 0
    assert 28 + text + binary == len(data)
    seen = pygltflib.GLTF2().load(str(written))
    assert seen.asset.version == "2.0"
    assert seen.buffers[0].byteLength == binary
    assert seen.buffers[0].uri is None
    end = 0
    for view in seen.bufferViews:
        assert view.byteOffset % 4 == 0
        assert view.byteOffset == end
        end = view.byteOffset + view.byteLength
    assert end == binary


def test_accessors_say_what_is_in_them(written):
    seen = pygltflib.GLTF2().load(str(written))
    blob = seen.binary_blob()
    sizes = {"SCALAR": 1, "VEC3": 3}
    kinds = {pygltflib.FLOAT: "<f4", pygltflib.UNSIGNED_INT: "<u4"}

    def values(number):
        accessor = seen.accessors[number]
        view = seen.bufferViews[accessor.bufferView]
        raw = blob[view.byteOffset : view.byteOffset + view.byteLength]
        assert len(raw) == accessor.count * sizes[accessor.type] * 4
        return np.frombuffer(raw, kinds[accessor.componentType]).reshape(accessor.count, -1)

    for thing in seen.meshes:
        (primitive,) = thing.primitives
        points = values(primitive.attributes.POSITION)
        normals = values(primitive.attributes.NORMAL)
        indices = values(primitive.indices)
        limits = seen.accessors[primitive.attributes.POSITION]
        assert limits.min == points.min(axis=0).tolist()
        assert limits.max == points.max(axis=0).tolist()
        assert np.abs(np.linalg.norm(normals.astype(float), axis=1) - 1).max() < 5e-4
        assert len(points) == len(normals)
        assert indices.max() == len(points) - 1
        assert primitive.mode == pygltflib.TRIANGLES
        views = [seen.bufferViews[seen.accessors[i].bufferView] for i in (0, 1, 2)]
        assert [v.target for v in views] == [34962, 34962, 34963]


def test_nodes_and_materials(written):
    seen = pygltflib.GLTF2().load(str(written))
    assert [node.name for node in seen.nodes] == list(MESHES)
    assert seen.scenes[seen.scene].nodes == [0, 1, 2, 3]
    assert seen.scenes[seen.scene].name == "machine"
    look = {m.name: m for m in seen.materials}
    assert look["prop_disc"].alphaMode == "BLEND"
    assert look["prop_disc"].pbrMetallicRoughness.baseColorFactor[3] < 1
    assert look["pod"].alphaMode == "OPAQUE"
    assert not any(m.doubleSided for m in seen.materials)
    # IEC 61966-2-1: 0.1 of sRGB is 0.01002 linear.
    assert look["wheel_right"].pbrMetallicRoughness.baseColorFactor[:3] == pytest.approx(
        [0.0100228] * 3, abs=1e-6
    )


def test_metres_y_up_front_along_z_right_stays_right(written):
    assert np.linalg.det(AXES) == pytest.approx(1.0)
    scene = trimesh.load_scene(written)
    pod, wheel_right = scene.geometry["pod"].bounds, scene.geometry["wheel_right"].bounds
    # 1.5 m long, 0.4 m wide, 0.6 m high: along z, x and y.
    assert pod[1] - pod[0] == pytest.approx([0.4, 0.6, 1.5], rel=1e-6)
    assert pod[:, 1] == pytest.approx([0.3, 0.9], rel=1e-6)
    # The nose, 1 m aft of the datum, is the end nearest to the front, which is +z.
    assert pod[1, 2] == pytest.approx(-1.0, rel=1e-6)
    # Who looks along +z with y up has his right hand at -x.
    assert wheel_right[:, 0].max() < 0
    assert in_file_axes(np.array([0.0, 700.0, 0.0]))[0] == pytest.approx(-0.7)


def test_another_library_finds_closed_bodies_of_the_same_volume(written):
    scene = trimesh.load_scene(written)
    for name, made in MESHES.items():
        found = scene.geometry[name].copy()
        found.merge_vertices(merge_norm=True, merge_tex=True)
        assert found.is_watertight
        assert found.volume == pytest.approx(made.volume * 1e-9, rel=1e-5)


def test_normals_follow_the_surface(written):
    found = trimesh.load_scene(written, process=False).geometry["boom_right"]
    given = np.asarray(found.vertex_normals)[found.faces].mean(axis=1)
    assert (given * found.face_normals).sum(axis=1).min() > 0.7


def test_the_same_bytes_again(written):
    assert written.read_bytes() == glb_bytes(MESHES, COLOURS, SEEN_THROUGH, "machine")


def spoiled(name, **change):
    return {**MESHES, name: replace(MESHES[name], **change)}


UP = np.array([0.0, 0.0, 0.05])
MIRROR = np.array([1.0, -1.0, 1.0])
WHEEL = MESHES["wheel_right"]
FAULTS = {
    "inches": (
        spoiled("pod", vertices=MESHES["pod"].vertices / 25.4),
        "pod: it is 0.0157 x 0.0236 x 0.0591 m, not 0.4000 x 0.6000 x 1.5000",
    ),
    "mirrored": (
        spoiled(
            "wheel_right", vertices=WHEEL.vertices * MIRROR, triangles=WHEEL.triangles[:, ::-1]
        ),
        "wheel_right: it is not where it should be, or mirrored",
    ),
    "missing": ({n: m for n, m in MESHES.items() if n != "boom_right"}, "boom_right"),
    "inside out": (spoiled("pod", triangles=MESHES["pod"].triangles[:, ::-1]), "pod: "),
    "moved": (
        spoiled("pod", vertices=MESHES["pod"].vertices + UP),
        "pod: it is not where it should be",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_proof_finds(fault, tmp_path):
    wrong, words = FAULTS[fault]
    path = tmp_path / "machine.glb"
    write_bytes(path, glb_bytes(wrong, COLOURS, SEEN_THROUGH))
    with pytest.raises(FileWriteError, match=r"verification failed") as caught:
        prove_glb(path, MESHES, COLOURS, SEEN_THROUGH)
    assert words in str(caught.value)


def test_an_inside_out_mesh_is_never_written_as_good(tmp_path):
    wrong = {"pod": replace(MESHES["pod"], triangles=MESHES["pod"].triangles[:, ::-1].copy())}
    with pytest.raises(FileWriteError, match="volume"):
        write_glb(tmp_path / "a.glb", wrong, COLOURS)


def test_an_open_mesh_is_never_written_as_good(tmp_path):
    path, body = tmp_path / "a.glb", MESHES["pod"]
    wrong = {"pod": replace(body, triangles=body.triangles[1:])}
    with pytest.raises(GeometryError, match="open mesh"):
        write_glb(path, wrong, COLOURS)
    assert not path.exists()
    # Nor does a hole in the file pass: its triangles are counted, and their sides paired.
    write_bytes(path, glb_bytes(MESHES, COLOURS))
    with pytest.raises(FileWriteError, match="triangles, not"):
        prove_glb(path, {**MESHES, **wrong}, COLOURS)
    points, faces = in_file_axes(body.vertices), body.triangles
    assert _closes(points, faces)
    assert not _closes(points, faces[1:])
    assert not _closes(points, np.concatenate([faces[1:], faces[:1, ::-1]]))


def test_other_colours_and_a_swept_volume_that_hides_things_are_found(tmp_path):
    path = tmp_path / "machine.glb"
    write_bytes(path, glb_bytes(MESHES, {**COLOURS, "pod": (0.9, 0.1, 0.1)}, SEEN_THROUGH))
    with pytest.raises(FileWriteError, match="pod: its colour"):
        prove_glb(path, MESHES, COLOURS, SEEN_THROUGH)
    write_bytes(path, glb_bytes(MESHES, COLOURS))
    with pytest.raises(FileWriteError, match="prop_disc: its"):
        prove_glb(path, MESHES, COLOURS, SEEN_THROUGH)


def test_a_broken_file_and_an_empty_one(tmp_path):
    path = tmp_path / "machine.glb"
    write_bytes(path, glb_bytes(MESHES, COLOURS)[:5000])
    with pytest.raises(FileWriteError, match="can't be read"):
        prove_glb(path, MESHES, COLOURS)
    with pytest.raises(FileWriteError, match="no mesh"):
        glb_bytes({}, {})
