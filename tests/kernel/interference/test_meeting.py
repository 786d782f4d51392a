"""Faces that may be near are never left out."""

import pytest
from hypothesis import given, settings
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from strategies import shifts

from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.brep.primitives import box, cylinder, moved
from geomgen.kernel.interference import meeting as meetings
from geomgen.kernel.interference.meeting import FirstBody, body_of, meeting, near_faces
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.solids.distance import closest


def body(solid):
    made = meshed(solid, 0.1)
    return body_of(solid, made.mesh, made.deviation.largest)


@pytest.fixture(scope="module")
def pair():
    return box((0, 0, 0), (40, 30, 20)), cylinder((0, 0, 0), (0, 0.6, 0.8), 9.0, 60.0)


@given(shifts())
@settings(max_examples=25, deadline=None)
def test_the_distance_of_near_faces_is_that_of_the_solids(pair, shift) -> None:
    """Against the kernel's distance of the whole solids, wherever the one stands to the other."""
    one, other = pair[0], moved(pair[1], shift)
    whole = closest(one, other).distance
    if whole == 0.0:
        return
    few = near_faces(body(one), body(other), whole)
    assert closest(*few).distance == pytest.approx(whole, abs=1e-9)


def test_far_faces_are_left_out_and_too_small_a_reach_gives_all(pair) -> None:
    one, other = body(pair[0]), body(moved(pair[1], (100.0, 0.0, 0.0)))
    few, _ = near_faces(one, other, 60.0)
    assert len(faces_of(few)) < len(faces_of(one.solid))
    assert near_faces(one, other, 1.0) == (one.solid, other.solid)


def test_of_what_only_touches_no_place_far_from_the_other_is_asked(monkeypatch) -> None:
    """A pin that ends on a block's face, beside a foot of the block that reaches along it."""
    whole, room = box((0, 0, 0), (40, 30, 60)), box((-1, -1, 20), (30, 31, 61))
    block = BRepAlgoAPI_Cut(whole, room).Shape()
    pin, asked = cylinder((15, 15, 20), (0, 0, 1), 9.0, 40.0), []

    class Counted(meetings.Classifier):
        def is_inside(self, point):
            asked.append(point)
            return super().is_inside(point)

    monkeypatch.setattr(meetings, "Classifier", Counted)
    assert meeting(body(block), body(pin)) is None
    assert asked
    assert all(abs(z - 20.0) < 1.0 for _, _, z in asked)


def test_what_meshes_do_not_settle_waits_before_anything_is_compared(monkeypatch) -> None:
    """Blocks of which only the meshes are known: flush with each other, 5 mm in each other."""
    blocks = [box((0, 0, z), (40, 30, z + 20)) for z in (0, 20, 15)]
    made = [meshed(block, 0.1).mesh for block in blocks]
    first = [FirstBody(MeshPart(mesh.vertices, mesh.triangles, 0.1)) for mesh in made]
    monkeypatch.setattr(meetings, "near_faces", None)
    with pytest.raises(ExactDueError):
        meeting(first[0], first[1])
    assert meeting(first[0], first[2]).depth == pytest.approx(5.0)
