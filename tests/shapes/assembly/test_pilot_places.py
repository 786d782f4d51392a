"""The pilot's limbs: of his lengths, mirrored, joined end to end; none where there is no pilot."""

from math import dist

import pytest

from geomgen.regeneration.reads import Reads, viewed
from geomgen.shapes.assembly.pilot_places import eye, glass, limbs, other_eyes


def named(p):
    return {limb.name: limb for limb in limbs(p)}


def test_without_a_pilot_there_is_nothing(variant):
    p = variant().model_copy(update={"pilot": None, "canopy": None})
    assert (limbs(p), eye(p), glass(p)) == ([], None, None)


def test_limbs_hang_together(variant):
    for config in ("saltmarsh", "hayfield"):
        found = named(variant(config=config))
        for first, second in (("upper arm", "forearm"), ("thigh", "shank")):
            for side in ("right", "left"):
                one, other = found[f"{first} {side}"], found[f"{second} {side}"]
                assert one.end == other.start
                assert one.end_radius == other.start_radius
        assert found["knee right"].start == found["thigh right"].end
        assert found["hips"].start == found["thigh right"].start
        assert found["shoulders"].start == found["upper arm right"].start


def test_left_is_right_mirrored(variant):
    found = named(variant())
    for name, limb in found.items():
        if name.endswith("right"):
            other = found[name.replace("right", "left")]
            assert other.start == (limb.start[0], -limb.start[1], limb.start[2])
            assert other.start_radius == limb.start_radius


def test_the_ball_of_the_foot_presses_the_pedal(variant):
    """The sole is a shoe's half width off the foot's middle line, less what room adds."""
    p = variant("pilot.room=0 mm")
    foot = named(p)["foot right"]
    pedal = (p.pilot.pedal_station, p.pilot.pedal_buttock_line, p.pilot.pedal_waterline)
    off = [b - a for a, b in zip(foot.start, foot.end, strict=True)]
    size = dist(foot.start, foot.end)
    share = sum((c - a) * o for a, c, o in zip(foot.start, pedal, off, strict=True)) / size**2
    at = [a + share * o for a, o in zip(foot.start, off, strict=True)]
    assert 0.0 < share < 1.0
    assert dist(at, pedal) == pytest.approx(foot.start_radius)


def test_helmet_and_room_are_added_where_they_belong(variant):
    bare, dressed = (
        named(variant(f"pilot.helmet={h} mm", f"pilot.room={r} mm")) for h, r in ((0, 0), (30, 12))
    )
    for name, limb in bare.items():
        more = 30.0 if name.startswith("head") else 0.0 if name.startswith("reach") else 12.0
        assert dressed[name].start_radius - limb.start_radius == pytest.approx(more)


def test_an_upright_head_needs_no_second_one(variant):
    p = variant("pilot.seat_back_angle=0 deg", "pilot.hand_station=760 mm")
    assert "head leant back" not in named(p)


def test_glass_and_eye_are_the_file_s(variant):
    p = variant()
    assert glass(p).fore == p.canopy.fore_station
    assert glass(p).aft_sill == p.canopy.aft_sill
    head = named(p)["head"]
    assert eye(p)[0] < head.start[0]
    assert head.end[2] < eye(p)[2] < head.start[2] + head.start_radius


def test_others_are_seated_beside_the_file_s_own_pilot(variant):
    p = variant("pilot.percentiles=['5th woman', '95th man']")
    alone, small = named(variant()), named(variant("pilot.percentile=5th woman"))
    found = named(p)
    assert len(found) == 3 * len(alone)
    assert {name: found[name] for name in alone} == alone
    for name, limb in small.items():
        one = found[f"{name} of the 5th woman"]
        assert (one.start, one.end, one.end_radius) == (limb.start, limb.end, limb.end_radius)
    eyes = other_eyes(p)
    assert list(eyes) == [" of the 5th woman", " of the 95th man"]
    assert eyes[" of the 5th woman"] == eye(variant("pilot.percentile=5th woman"))
    assert eyes[" of the 5th woman"][2] < eye(p)[2] < eyes[" of the 95th man"][2]
    # A length of the builder's own is nobody else's.
    own = named(variant("pilot.percentiles=['5th woman']", "pilot.sitting_height=960 mm"))
    assert own["head of the 5th woman"].start == found["head of the 5th woman"].start


def test_others_are_seated_by_what_a_builder_reads(variant):
    """A build sees the file through a view that notes what it reads, and hands on no methods."""
    p = variant("pilot.percentiles=['5th woman', '95th man']")
    reads = Reads()
    view = viewed(p, reads)
    assert (limbs(view), other_eyes(view)) == (limbs(p), other_eyes(p))
    assert ("pilot", "percentiles") in reads.paths()
