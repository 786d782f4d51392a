"""Openings in the skin in line with the pins: where, how wide, by closed forms (DERIVED here)."""

from math import pi

import numpy as np
import pytest
from joined_spars import jointed
from spar_wings import body

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.halves import doubled
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.probing import Classifier
from geomgen.kernel.solids.properties import volume
from geomgen.measurements.wing_structure.inside import SkinSlit, room_under_skin
from geomgen.shapes.assembly.skin_openings import with_openings
from geomgen.shapes.assembly.skin_parting import skins_apart
from geomgen.shapes.piece import NamedSolid
from geomgen.shapes.wing_structure.joint_plan import joint_plans, pin_axis
from geomgen.shapes.wing_structure.wing_joints import _pins, plate_solid

LOW, HIGH, WIDE = 1280.0, 2480.0, 24.0


def bar():
    half = box((LOW, 0.0, 1250.0), (HIGH, 4500.0, 1450.0))
    return NamedSolid("wing", "wing", doubled(half, "wing"), (0.8, 0.8, 0.8), half)


def opened(side):
    p = jointed({"access_hole": f"{WIDE} mm", "access_side": side})
    return p, joint_plans(p)[0], skins_apart(p, "wing", [bar()])


@pytest.mark.parametrize("side", ["fore", "aft"])
def test_each_pin_has_its_opening_from_its_end_out(side):
    _, plan, made = opened(side)
    whole = {one.name: volume(one.solid).value for one in skins_apart(jointed(), "wing", [bar()])}
    # The skin is 2 mm thick; openings begin half a millimetre more beyond the pins.
    end = plan.frame.origin[0] + (plan.ends[0] - 2.5 if side == "fore" else plan.ends[1] + 2.5)
    long = end - LOW if side == "fore" else HIGH - end
    two = 2 * pi / 4 * WIDE**2 * long
    for one in made:
        gone = whole[one.name] - volume(one.solid).value
        assert gone == pytest.approx(two * (2 if one.name == "wing_centre" else 1), rel=1e-7)


def test_openings_stand_on_the_pins_of_both_hands():
    _, plan, made = opened("fore")
    parts = {one.name: Classifier(one.solid) for one in made}
    for pin in plan.pins:
        at = np.array(pin_axis(plan, pin, -200.0))
        for side, hand in ((1.0, "right"), (-1.0, "left")):
            part = parts[f"wing_outer_{hand}" if pin[0] > 0.0 else "wing_centre"]
            for off, inside in ((0.0, False), (0.49 * WIDE, False), (0.51 * WIDE, True)):
                point = (at + np.array([0.0, 0.0, off])) * [1.0, side, 1.0]
                assert part.is_inside(tuple(point.tolist())) == inside


def test_without_the_key_nothing_is_cut():
    p = jointed()
    piece = bar()
    assert with_openings(p, "wing", [piece]) == [piece]


@pytest.mark.parametrize(
    ("part", "room"), [("joint_pin_main_2_right", 2.5), ("joint_plate_main_outer_2_right", 7.5)]
)
def test_openings_leave_what_stands_in_the_joint_its_room_to_the_skin(part, room):
    """By hand: 2 mm of skin and 0.5 mm beyond the pins, whose ends stand 5 mm off the plates."""
    p, plan, made = opened("fore")
    solid = plate_solid(plan, plan.plates[-1]) if "plate" in part else _pins(plan)[1].solid
    skins = {one.name: body(one.solid) for one in made}
    slit = SkinSlit(Plane(plan.frame.origin, (0.0, 1.0, 0.0)), 2.0)
    found = room_under_skin({part: body(solid)}, skins, [slit])
    assert found.gap == pytest.approx(room, abs=0.02)
    assert p.spars[0].skin == 2.0
