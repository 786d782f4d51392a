"""Openings in the skin in line with the pins: where, how wide, by closed forms (DERIVED here)."""

from math import pi

import numpy as np
import pytest
from joined_spars import jointed

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.halves import doubled
from geomgen.kernel.solids.probing import Classifier
from geomgen.kernel.solids.properties import volume
from geomgen.shapes.assembly.skin_openings import with_openings
from geomgen.shapes.assembly.skin_parting import skins_apart
from geomgen.shapes.piece import NamedSolid
from geomgen.shapes.wing_structure.joint_plan import joint_plans, pin_axis

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
