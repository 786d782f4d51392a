"""Where plates and pins of a joint stand; refusals that name the part and say what would do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from joined_spars import jointed
from spar_wings import BENT

from geomgen.errors import GeometryError
from geomgen.parameters.rules.structure.wing import wing_structure_clashes
from geomgen.shapes.wing_structure.joint_plan import joint_plan
from geomgen.shapes.wing_structure.ribs import rib_pieces
from geomgen.shapes.wing_structure.wing_joints import spars_and_joints

TAPER = [{"at": at, "width": width, "cap_height": "8 mm"} for at, width in
         (("0 mm", "80 mm"), ("2500 mm", "60 mm"), ("4000 mm", "30 mm"))]  # fmt: skip
TAPERED = {"width": None, "cap_height": None, "stations": TAPER}


@pytest.mark.parametrize(
    ("changed", "spar", "overrides", "key"),
    [
        ({"plate_depth": "150 mm"}, {}, (), "plate_depth"),
        ({"plate_depth": "135 mm", "pin_pitch": "114 mm"}, {}, (), "pin_pitch"),
        ({"plate_length": "1600 mm"}, {}, (), "plate_length"),
        ({"at": "1300 mm"}, {}, BENT, "at"),
        ({"side": "both", "at": "3300 mm"}, TAPERED, (), "side"),
    ],
)
def test_no_room_is_said_of_the_joint(changed, spar, overrides, key):
    p = jointed(changed, overrides, **spar)
    with pytest.raises(GeometryError) as refused:
        joint_plan(p, p.spars[0])
    assert refused.value.part == "joint_plate_main"
    assert refused.value.look_at == [f"spars.main.wing_joint.{key}"]


def test_a_joint_beyond_the_tip_is_said_of_the_joint():
    with pytest.raises(GeometryError) as refused:
        spars_and_joints(jointed({"at": "4600 mm"}, end=None))
    assert refused.value.part == "joint_plate_main"


def test_a_lighter_depth_as_told_fits():
    p = jointed({"plate_depth": "150 mm"})
    with pytest.raises(GeometryError) as refused:
        joint_plan(p, p.spars[0])
    less = float(refused.value.problem.split("must be ")[1].split(" mm")[0])
    again = jointed({"plate_depth": f"{150.0 - less - 0.1} mm"})
    assert len(joint_plan(again, again.spars[0]).plates) == 3


def test_a_rib_is_notched_for_plates_that_stand_out_of_the_spar():
    p, bare = jointed(), jointed({"plate_depth": "30 mm", "pin_rows": 1, "pin_pitch": None})
    deep, low = (rib_pieces(one, one.ribs[0])[0].shape.outline for one in (p, bare))
    gone = low.difference(deep)
    x0, y0, x1, y1 = gone.bounds
    # Two layers of 4 mm and their gaps of 0.3 mm, and the notch's gap of 0.3 mm round 60 mm.
    assert y1 - y0 == pytest.approx(60.0 + 0.6, abs=0.05)
    assert x1 - x0 == pytest.approx(8.6, abs=0.05)


def between(low, high):
    return st.floats(low, high).map(lambda v: f"{v:.3f} mm")


JOINTS = st.fixed_dictionaries(
    {
        "at": between(500, 3900), "gap": between(0.2, 20), "layers": st.integers(2, 4),
        "side": st.sampled_from(["fore", "aft", "both"]), "plate_thickness": between(1, 10),
        "plate_depth": between(20, 140), "plate_length": between(60, 500),
        "overlap": between(20, 200), "plate_gap": between(0, 1), "pin_diameter": between(3, 20),
        "pin_clearance": between(0.01, 0.5), "pin_rows": st.integers(1, 3),
        "pin_columns": st.integers(1, 3), "pin_pitch": between(8, 60),
        "pin_pitch_along": between(15, 200), "pins_off": between(-60, 60),
        "pin_ends": between(0, 20),
    }
)  # fmt: skip


@pytest.mark.long
@given(JOINTS, st.sampled_from(["box", "C", "caps and web"]), st.sampled_from([(), BENT]))
def test_any_joint_is_refused_by_name_or_built_whole(changed, kind, overrides):
    p = jointed(changed, overrides, kind=kind)
    if wing_structure_clashes(p):
        return
    made, told = {}, ""
    try:
        made = {s.name: s.solid for s in spars_and_joints(p)}
    except GeometryError as refused:
        told = refused.part
    if not made:
        assert told in ("joint_plate_main", "spar_main")
        return
    pins = p.spars[0].wing_joint.pin_rows * p.spars[0].wing_joint.pin_columns
    assert sum(name.startswith("joint_pin_main") for name in made) == 2 * pins
    for right in (name for name in made if name.endswith("_right")):
        assert right.removesuffix("_right") + "_left" in made
