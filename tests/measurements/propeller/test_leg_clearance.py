"""Legs and wheels that come near the swept volume while their axles are drawn up: closed forms."""

from dataclasses import replace
from math import asin, cos, dist, sin

import pytest
from asking import propeller_figures
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import cylinder, ring
from geomgen.kernel.plain import Axis, Strut
from geomgen.measurements.propeller.leg_clearance import ID
from geomgen.measurements.way_up import closeness

LINE = Axis((3000.0, 0.0, 900.0), (1.0, 0.0, 0.0))
TIP, HALF = 600.0, 30.0
RISES = (("standing", 40.0), ("1.5 times the load", 60.0), ("strut bottomed", 110.0))


def machine(struts, **parts):
    """Return a model with a flat ring as the swept volume, about x at STA 3000, WL 900."""
    swept = ring(LINE, -HALF, HALF, 60.0, TIP)
    model = model_of({"prop_disc": swept, **parts})
    model.thrust_line, model.struts = LINE, list(struts)
    return model


def found(model):
    def about_legs(question) -> bool:
        return "drawn up" in question.name or question.name == "swept volume"

    return propeller_figures(model, keep=about_legs)[ID]


def rod(a, b, radius):
    way = tuple((q - p) / dist(a, b) for p, q in zip(a, b, strict=True))
    return cylinder(a, way, radius, dist(a, b))


@pytest.mark.parametrize("low", [120.0, 200.0])
def test_a_wheel_without_a_leg_goes_up_under_the_blades(low) -> None:
    """A roller along the shaft, right under the tips: the gap less the whole rise."""
    axle = (3000.0, 0.0, 900.0 - TIP - low)
    wheel = cylinder((2900.0, 0.0, axle[2]), (1.0, 0.0, 0.0), 80.0, 200.0)
    m = found(machine([Strut("wheel_aft", axle, RISES, 70.0)], wheel_aft=wheel))
    due = low - 80.0 - 110.0
    if due > 0.0:
        assert m.value == pytest.approx(due, abs=m.error_bound)
        assert m.value >= due - (m.error_bound or 0.0) + closeness(m.value)
        assert m.note == "axle 110.0 mm higher than without load"
        assert dist(*m.points) == pytest.approx(m.value, abs=1e-6)
    else:
        assert m.value == pytest.approx(due, abs=1.0)
        assert "is struck" in m.note
    assert "strut bottomed (up to 110.0 mm)" in m.method


@pytest.mark.parametrize("rise", [20.0, 80.0, 150.0])
def test_a_leg_that_turns_ahead_of_the_blades(rise) -> None:
    """A rod in the plane y = 0 ahead of the ring; its end's rim comes nearest as it turns."""
    root, length, lean = (2300.0, 0.0, 900.0), 500.0, 0.9
    end = (root[0] + length * cos(lean), 0.0, root[2] - length * sin(lean))
    strut = Strut("wheel_main", end, (("bottomed", rise),), rise, "leg_main", root, "pod")
    parts = {
        "leg_main": rod(root, end, 15.0),
        "wheel_main": cylinder(end, (0.0, 1.0, 0.0), 20.0, 9.0),
    }
    now = asin(sin(lean) - rise / length)
    # The flat end's upper rim stands farthest aft, the wheel's rim 20 behind the axle.
    aft = max(length * cos(now) + 15.0 * sin(now), length * cos(now) + 20.0)
    m = found(machine([strut], **parts))
    assert m.value == pytest.approx(3000.0 - HALF - root[0] - aft, abs=m.error_bound + 0.1)
    assert m.part in ("leg_main", "wheel_main")


def test_what_only_comes_near_half_way_up_is_found() -> None:
    """A pin that goes up past the corner of the ring's rim: nearest where it is abreast of it."""
    axle = (3000.0 + HALF + 40.0, 0.0, 900.0 - TIP - 50.0)
    pin = cylinder((axle[0] + 5.0, 0.0, axle[2] - 5.0), (0.0, 0.0, 1.0), 10.0, 10.0)
    rises = (("standing", 10.0), ("bottomed", 1400.0))
    m = found(machine([Strut("wheel_aft", axle, rises, 0.0)], wheel_aft=pin))
    assert m.value == pytest.approx(35.0, abs=m.error_bound + 0.1)
    assert 40.0 < float(m.note.split()[1]) < 1270.0


def test_of_all_legs_the_nearest_counts_and_an_unmoved_leg_is_as_it_stands() -> None:
    near, far = ((3000.0, 0.0, 900.0 - TIP - off) for off in (140.0, 900.0))
    wheels = {f"wheel_{n}": cylinder(at, (0.0, 1.0, 0.0), 30.0, 9.0) for n, at in
              (("near", near), ("far", far))}  # fmt: skip
    still = (("standing", 0.0),)
    struts = [Strut("wheel_far", far, RISES), Strut("wheel_near", near, still)]
    struts = [replace(s, rises=still) for s in struts]
    m = found(machine(struts, **wheels))
    assert (m.part, m.value) == ("wheel_near", pytest.approx(110.0, abs=m.error_bound))


def test_without_legs_and_wheels_nothing_is_said() -> None:
    figures = propeller_figures(machine([]), keep=lambda q: q.name == "swept volume")
    assert ID not in figures
