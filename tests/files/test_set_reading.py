"""A set read back from the disk holds the solids and meshes that were written."""

import shutil
from dataclasses import replace

import numpy as np
import pytest

from geomgen.errors import FileWriteError
from geomgen.files.manifest import read_manifest
from geomgen.files.set_reading import mesh_in, read_set, solid_in, strange_meshes
from geomgen.files.step import write_step
from geomgen.files.stl import stl_name, write_stl
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.meshes.on_solid import on_solid
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.solids.properties import volume


def test_solid_comes_back_with_its_volume(tmp_path):
    drum = cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0, 30.0)
    path = write_step(tmp_path, {"drum": drum}, {}, "drum")
    # Closed form: pi r^2 h.
    assert volume(solid_in(path)).value == pytest.approx(np.pi * 100 * 30, rel=1e-9)


def test_two_solids_in_one_part_are_refused(tmp_path):
    two = {n: box((x, 0.0, 0.0), (x + 1, 1.0, 1.0)) for n, x in (("a", 0.0), ("b", 5.0))}
    path = write_step(tmp_path, two, {}, "both")
    with pytest.raises(FileWriteError, match="2 solids"):
        solid_in(path)


def test_mesh_is_joined_again(tmp_path):
    drum = cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), 10.0, 30.0)
    made = meshed(drum, 0.1, part="drum").mesh
    path = write_stl(tmp_path, made, "drum")
    again = mesh_in(path, 0.1)
    assert len(again.triangles) == len(made.triangles)
    assert len(again.vertices) == len(made.vertices)
    assert again.volume == pytest.approx(made.volume, rel=1e-12)


def test_whole_set(saltmarsh_read, saltmarsh_model):
    model, meshes = saltmarsh_read
    assert list(model.parts) == list(saltmarsh_model.parts)
    assert set(meshes) == set(model.parts)
    # 1e-9 plus a tenth of a nanometre of skin is what the proof of a STEP allows.
    assert volume(model.parts["boom_left"]).value == pytest.approx(
        volume(saltmarsh_model.parts["boom_left"]).value, rel=1e-8
    )
    assert 0 < meshes["pod"][1].largest <= 0.1


def test_lost_part_is_refused(saltmarsh_set, tmp_path):
    folder = tmp_path / "set"
    shutil.copytree(saltmarsh_set.folder, folder)
    (folder / "pod_mm.stl").unlink()
    with pytest.raises(FileWriteError, match=r"pod_mm\.stl"):
        read_set(folder)


def test_meshes_know_the_faces_of_their_solids(saltmarsh_set, saltmarsh_read):
    model, meshes = saltmarsh_read
    for name, (mesh, off) in meshes.items():
        assert set(mesh.face.tolist()) == set(range(len(faces_of(model.parts[name]))))
        row = next(
            r for r in read_manifest(saltmarsh_set.folder)["files"] if r["file"] == stl_name(name)
        )
        # The manifest's figure is rounded to a nanometre.
        assert off.mesh_to_solid == pytest.approx(row["deviation_mesh_to_solid_mm"], abs=1e-6)


def test_mesh_of_another_size_or_torn_is_named(saltmarsh_set, tmp_path):
    solid = solid_in(saltmarsh_set.folder / "spinner_mm.step")
    mesh = on_solid(solid, mesh_in(saltmarsh_set.folder / "spinner_mm.stl", 0.1)).mesh

    def told(written):
        made = on_solid(solid, mesh_in(write_stl(tmp_path, written, "spinner"), 0.1), "spinner")
        return strange_meshes({"spinner": (made.mesh, made.deviation)})

    assert told(mesh) == []
    for wrong, words in (
        (replace(mesh, vertices=25.4 * mesh.vertices), "not a mesh of its solid"),
        (replace(mesh, vertices=1.002 * mesh.vertices), "not a mesh of its solid"),
        (replace(mesh, triangles=mesh.triangles[1:]), "not a closed mesh"),
        (replace(mesh, triangles=mesh.triangles[:, ::-1]), "not a mesh of its solid"),
    ):
        (line,) = told(wrong)
        assert line.startswith("spinner_mm.stl: it is ")
        assert words in line
        (tmp_path / "spinner_mm.stl").unlink()
