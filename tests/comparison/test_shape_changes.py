"""What became of parts; closed forms on plain bodies."""

import pytest

from geomgen.comparison.shape_changes import State, shape_changes
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, cylinder, moved
from geomgen.kernel.meshing.proven import mesh, meshed

BEAM = box((0, 0, 0), (300.0, 40.0, 20.0))


def state(key, solid, deviation=0.05, volume=None):
    return State(key, lambda: mesh(solid, 0.1), deviation, volume)


def only(old, new):
    (found,) = shape_changes({"beam": old}, {"beam": new})
    return found


def test_the_same_file_is_the_same_part_without_a_look_at_its_mesh():
    def never():
        raise GeometryError("its mesh was read")

    found = only(State("a", never, 0.1), State("a", never, 0.1))
    assert (found.kind, found.distance, found.error) == ("same", 0.0, 0.0)
    assert not found.differs


def test_a_part_that_moved_keeps_its_shape():
    found = only(state("a", BEAM), state("b", moved(BEAM, (0, 0, 12.5))))
    assert (found.kind, found.reshaped, found.differs) == ("moved", False, True)
    assert found.distance == pytest.approx(12.5)
    assert found.motion.shift == pytest.approx((0, 0, 12.5), abs=1e-3)


def test_a_part_that_grew_changed_by_what_it_grew():
    longer = box((0, 0, 0), (303.0, 40.0, 20.0))
    old = state("a", BEAM, volume=(240000.0, 0.01))
    found = only(old, state("b", longer, volume=(242400.0, 0.01)))
    assert found.kind == "changed"
    assert found.distance == pytest.approx(3.0)
    assert found.at[0] == pytest.approx(300.0 if found.on_former else 303.0)
    assert found.volume == pytest.approx(2400.0)


def test_the_error_holds_both_deviations():
    """Closed form: radii that differ by 2 mm, meshes with their proven deviations."""
    one, two = (cylinder((0, 0, 0), (1, 0, 0), r, 200.0) for r in (50.0, 52.0))
    a, b = (meshed(solid, 0.1, part="tube") for solid in (one, two))
    found = only(
        State("a", lambda: a.mesh, a.deviation.largest),
        State("b", lambda: b.mesh, b.deviation.largest),
    )
    assert abs(found.distance - 2.0) <= found.error
    assert found.error >= a.deviation.largest + b.deviation.largest


def test_less_than_the_error_is_not_told_apart_unless_the_volume_tells():
    slightly = box((0, 0, 0), (300.01, 40.0, 20.0))
    old, new = state("a", BEAM), state("b", slightly)
    assert only(old, new).kind == "not told apart"
    old = state("a", BEAM, volume=(240000.0, 0.01))
    assert only(old, state("b", slightly, volume=(240008.0, 0.01))).kind == "changed"


def test_a_mesh_that_is_no_longer_the_proven_one_has_no_known_error():
    found = only(state("a", BEAM), state("b", moved(BEAM, (1.0, 0, 0)), deviation=None))
    assert found.error is None
    assert found.distance == pytest.approx(1.0)


def test_parts_come_and_go():
    found = shape_changes({"old": state("a", BEAM)}, {"new": state("a", BEAM)})
    assert [(c.part, c.kind) for c in found] == [("new", "added"), ("old", "removed")]


def test_the_other_way_round_it_is_as_far():
    longer = box((0, 0, 0), (303.0, 40.0, 20.0))
    there, back = (
        only(state("a", BEAM), state("b", longer)),
        only(state("b", longer), state("a", BEAM)),
    )
    assert (there.distance, there.error, there.at) == (back.distance, back.error, back.at)
