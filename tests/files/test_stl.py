"""Binary STL: layout, round trip, and a proof that finds what is wrong with a file.

Source of the layout: binary STL, 84 + 50 N bytes, little-endian, counter-clockwise outward, status
PUBLISHED (format descriptions agree); trimesh reads what is written (reference library).
"""

import struct
from dataclasses import replace
from math import pi

import numpy as np
import pytest
import trimesh
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeSphere, BRepPrimAPI_MakeTorus
from OCP.gp import gp_Pnt

from geomgen.errors import FileWriteError
from geomgen.files.proof import prove_stl
from geomgen.files.stl import read_stl, stl_bytes, stl_name, write_stl
from geomgen.kernel.meshing.proven import meshed

TORUS = BRepPrimAPI_MakeTorus(30.0, 10.0).Shape()
MADE = meshed(TORUS, 0.1)


def test_the_layout_of_the_file():
    data = stl_bytes(MADE.mesh, "ring")
    (count,) = struct.unpack("<I", data[80:84])
    assert count == len(MADE.mesh.triangles)
    assert len(data) == 84 + 50 * count
    assert not data.lower().startswith(b"solid")
    assert b"ring" in data[:80]
    assert b"unit mm" in data[:80]
    assert b"0.1 mm" in data[:80]
    numbers = struct.unpack("<12fH", data[84:134])
    normal, a, b, c = (np.array(numbers[i : i + 3]) for i in (0, 3, 6, 9))
    turn = np.cross(b - a, c - a)
    assert np.dot(turn / np.linalg.norm(turn), normal) == pytest.approx(1.0, abs=1e-5)
    assert numbers[12] == 0


def test_long_names_and_tolerances_stay_in_the_header():
    data = stl_bytes(replace(MADE.mesh, mesh_tolerance=0.0123456), "x" * 40)
    assert len(data) == 84 + 50 * len(MADE.mesh.triangles)
    assert b"mm" in data[60:80]


def test_the_unit_is_in_the_name():
    assert stl_name("scoop_right") == "scoop_right_mm.stl"


def test_written_and_read_back_bit_for_bit(tmp_path):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    assert np.array_equal(read_stl(path), MADE.mesh.corners.astype(np.float32))
    assert path.read_bytes() == stl_bytes(MADE.mesh, "ring")


def test_another_library_reads_the_same_body(tmp_path):
    found = trimesh.load(write_stl(tmp_path, MADE.mesh, "ring"))
    assert found.is_watertight
    assert found.volume == pytest.approx(MADE.mesh.volume, rel=1e-6)
    # The volume of a torus, 2 pi^2 R r^2, less what chords of 0.1 mm cut off.
    assert 0 < 1 - found.volume / (2 * pi**2 * 30 * 100) < 0.02


def test_a_sound_file_is_proved(tmp_path):
    proof = prove_stl(write_stl(tmp_path, MADE.mesh, "ring"), MADE, TORUS, 0.1)
    assert proof.triangles == len(MADE.mesh.triangles)
    assert proof.bytes == 84 + 50 * proof.triangles
    assert max(proof.mesh_to_solid, proof.solid_to_mesh) <= 0.1
    assert proof.library_volume == pytest.approx(proof.volume, rel=1e-6)
    assert abs(proof.volume - 2 * pi**2 * 30 * 100) <= proof.volume_bound
    assert proof.box.size == pytest.approx((80, 80, 20), abs=0.2)


def test_a_closed_cavity_counts_as_a_second_shell(tmp_path):
    box = BRepPrimAPI_MakeBox(gp_Pnt(-20, -20, -20), gp_Pnt(20, 20, 20)).Shape()
    shape = BRepAlgoAPI_Cut(box, BRepPrimAPI_MakeSphere(10.0).Shape()).Shape()
    made = meshed(shape, 0.1)
    assert prove_stl(write_stl(tmp_path, made.mesh, "hollow"), made, shape, 0.1).shells == 2


def rewritten(path, change):
    """Change the triangles of a file and the mesh it is held to alike."""
    data = bytearray(path.read_bytes())
    corners = read_stl(path)
    corners = np.ascontiguousarray(change(corners.copy()), dtype="<f4")
    rows = np.zeros((len(corners), 50), dtype=np.uint8)
    rows[:, 12:48] = corners.reshape(len(corners), 9).view(np.uint8)
    path.write_bytes(bytes(data[:80]) + struct.pack("<I", len(corners)) + rows.tobytes())
    return corners


BREAKS = {
    "scaled by 25.4": lambda c: c * np.float32(25.4),
    "inside out": lambda c: c[:, ::-1],
    "one triangle turned": lambda c: np.concatenate([c[:1, ::-1], c[1:]]),
    "one triangle lost": lambda c: c[1:],
    "one triangle twice": lambda c: np.concatenate([c, c[:1]]),
    "shifted": lambda c: c + np.float32([0, 1, 0]),
    "a vertex moved": lambda c: np.concatenate([c[:1] + np.float32(0.01), c[1:]]),
}


@pytest.mark.parametrize("how", BREAKS)
def test_a_file_changed_on_the_disk_is_refused(tmp_path, how):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    rewritten(path, BREAKS[how])
    with pytest.raises(FileWriteError, match="verification failed: the file does not hold"):
        prove_stl(path, MADE, TORUS, 0.1)


class Posing:
    """A mesh that says of itself what is not so: the later proofs must not rely on the first."""

    def __init__(self, corners):
        self.corners = corners.astype(np.float64)
        self.method = "grid"


@pytest.mark.parametrize(
    ("how", "complaint"),
    [
        ("scaled by 25.4", "its volume"),
        ("inside out", "inside out"),
        ("one triangle turned", "face the other way|watertight"),
        ("one triangle lost", "watertight"),
        ("one triangle twice", "watertight"),
        ("shifted", "its size"),
        ("a vertex moved", "watertight"),
    ],
)
def test_each_proof_stands_on_its_own(tmp_path, monkeypatch, how, complaint):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    posing = Posing(rewritten(path, BREAKS[how]))
    monkeypatch.setattr("geomgen.files.proof.holds", lambda *_: True)
    with pytest.raises(FileWriteError, match=complaint):
        prove_stl(path, replace(MADE, mesh=posing), TORUS, 0.1)


def test_two_bodies_in_one_file_are_refused(tmp_path, monkeypatch):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    corners = rewritten(path, lambda c: np.concatenate([c, c + np.float32([100, 0, 0])]))
    monkeypatch.setattr("geomgen.files.proof.holds", lambda *_: True)
    with pytest.raises(FileWriteError, match="2 bodies"):
        prove_stl(path, replace(MADE, mesh=Posing(corners)), TORUS, 0.1)


def test_a_deviation_beyond_the_statement_is_refused(tmp_path):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    with pytest.raises(FileWriteError, match=r"off the solid, 0\.01 mm stated"):
        prove_stl(path, MADE, TORUS, 0.01)


def test_a_cut_off_file_is_refused(tmp_path):
    path = write_stl(tmp_path, MADE.mesh, "ring")
    path.write_bytes(path.read_bytes()[:-7])
    with pytest.raises(FileWriteError, match="not a whole binary STL"):
        prove_stl(path, MADE, TORUS, 0.1)
    path.write_bytes(b"")
    with pytest.raises(FileWriteError, match="not a whole binary STL"):
        read_stl(path)
