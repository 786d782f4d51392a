"""Rules of joints where the outer wing comes off: what is refused, by which key."""

import pytest
from joined_spars import jointed

from geomgen.parameters.rules.structure.wing import wing_structure_clashes
from geomgen.parameters.rules.structure.wing_joints import wing_joint_clashes


def refused(p):
    return [".".join(map(str, clash.path)).removeprefix("spars.0.") for clash in
            wing_joint_clashes(p)]  # fmt: skip


@pytest.mark.parametrize(
    "changed", [{}, {"pin_rows": 1, "pin_pitch": None}, {"side": "both", "layers": 6},
                {"pin_columns": 1, "pins_off": "-40 mm", "pin_pitch_along": None}],
)  # fmt: skip
def test_sound_joints(changed):
    assert refused(jointed(changed)) == []


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"pin_pitch": None}, "wing_joint.pin_pitch"),
        ({"pin_pitch": "10 mm"}, "wing_joint.pin_pitch"),
        ({"pin_pitch": "50 mm"}, "wing_joint.pin_pitch"),
        ({"pin_pitch_along": "175 mm"}, "wing_joint.pin_pitch_along"),
        ({"pins_off": "40 mm"}, "wing_joint.pin_pitch_along"),
        ({"pin_columns": 1}, "wing_joint.pins_off"),
        ({"pin_columns": 3, "pin_pitch_along": "50 mm"}, "wing_joint.pins_off"),
        ({"overlap": "199 mm"}, "wing_joint.overlap"),
        ({"at": "4100 mm"}, "wing_joint.at"),
    ],
)
def test_plates_and_pins_that_do_not_fit(changed, key):
    assert refused(jointed(changed)) == [key]


def test_a_joint_beyond_the_tip_of_a_spar_that_runs_to_it_is_refused():
    """Such a spar has no outer half: nothing would be parted, and no check would say so."""
    p = jointed()
    tip = p.wing.sections[-1].buttock_line
    for at, keys in ((tip + 1.0, ["spars.0.wing_joint.at"]), (tip - 500.0, [])):
        joint = p.spars[0].wing_joint.model_copy(update={"at": at})
        spar = p.spars[0].model_copy(update={"wing_joint": joint, "end": None})
        found = wing_structure_clashes(p.model_copy(update={"spars": (spar,)}))
        assert [".".join(map(str, clash.path)) for clash in found] == keys


def test_a_tube_and_the_caps_of_a_c_are_in_the_way():
    tube = {"kind": "tube", "cap_height": None, "width": "50 mm"}
    assert refused(jointed(**tube)) == ["wing_joint"]
    assert refused(jointed({"side": "aft"}, kind="C")) == ["wing_joint.side"]
    assert refused(jointed({"side": "aft"}, kind="C", web_side="aft")) == []


def test_ribs_stand_on_both_sides_of_a_joint_and_all_joints_in_one_plane():
    assert refused(jointed(rows=[{"beside_joint": False, "at": ["500 mm"]}])) == ["wing_joint"]
    whole = jointed()
    other = whole.spars[0].model_copy(
        update={"name": "rear", "wing_joint": whole.spars[0].wing_joint.model_copy(
            update={"at": 2400.0})}
    )  # fmt: skip
    two = whole.model_copy(update={"spars": (*whole.spars, other)})
    assert refused(two) == ["spars.1.wing_joint.at"]
    bare = whole.model_copy(
        update={"spars": (whole.spars[0].model_copy(update={"wing_joint": None}),)}
    )
    assert refused(bare) == ["ribs.0.beside_joint"]


def test_no_rib_stands_out_of_the_skin_and_all_skins_part_alike():
    assert refused(jointed({"skin_gap": "3 mm"})) == ["wing_joint.skin_gap"]
    assert refused(jointed({"skin_gap": "2 mm"})) == []
    whole = jointed()
    joint = whole.spars[0].wing_joint
    for gap, found in ((1.5, ["spars.1.wing_joint.skin_gap"]), (2.0, [])):
        rear = whole.spars[0].model_copy(
            update={"name": "rear", "wing_joint": joint.model_copy(update={"skin_gap": gap})}
        )
        assert refused(whole.model_copy(update={"spars": (*whole.spars, rear)})) == found


@pytest.mark.parametrize(
    ("changed", "key"),
    [
        ({"nut_hole": "24 mm", "side": "both"}, "wing_joint.nut_hole"),
        ({"nut_hole": "30 mm"}, "wing_joint.nut_hole"),
        ({"access_hole": "30 mm"}, "wing_joint.access_hole"),
    ],
)
def test_openings_that_do_not_fit(changed, key):
    assert refused(jointed(changed)) == [key]
    assert refused(jointed({"nut_hole": "29 mm", "access_hole": "29 mm"})) == []


def test_a_spar_with_one_web_has_no_hole_for_nuts():
    assert refused(jointed({"nut_hole": "24 mm"}, kind="caps and web")) == ["wing_joint.nut_hole"]
