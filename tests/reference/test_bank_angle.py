"""Bank over a flat tyre of a plain box wing on balls, in closed form (DERIVED).

A ball touches a plane that its middle stands one radius over: the ground is parallel to the line of
the middles of the two balls that it rolls over, and turns about it.
"""

import numpy as np
import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from surveyed_models import meshes_of, model_of

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Strut
from geomgen.measurements.fit.bank_angle import BANK
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of

RADIUS, DEFLECTION, FLAT = 180.0, 30.0, 50.0
AXLES = {
    "wheel_main_right": (1800.0, 750.0, 0.0),
    "wheel_main_left": (1800.0, -750.0, 0.0),
    "wheel_nose": (400.0, 0.0, 0.0),
}


def banked(wing, roles=None, axles=None):
    """Return the figures of a box wing (low, high) [mm] on three balls, by side."""
    axles = axles or AXLES
    roles = roles or {n: "main" if "main" in n else "nose" for n in axles}
    balls = {n: BRepPrimAPI_MakeSphere(gp_Pnt(*at), RADIUS).Solid() for n, at in axles.items()}
    model = model_of({"wing": box(*wing), **balls}, wheels=roles)
    rises = (("standing", DEFLECTION),)
    model.struts = [Strut(n, at, rises, flat=FLAT) for n, at in axles.items()]
    given = Given(bodies=bodies_of(model, meshes_of(model)))
    answers = {q.name: q.ask(given) for q in BANK.ask(model, dict.fromkeys(model.parts))}
    found = BANK.say(Answered(model, list(model.parts), answers))
    return {m.id.removeprefix("ground.bank_angle."): m for m in found}


def unit(v):
    return v / np.linalg.norm(v)


def by_hand(wing, third, side):
    """Return the bank [deg] standing on the flat ball, and that at which the wing touches."""
    up = np.array([0.0, 0.0, DEFLECTION])
    flat = np.array([1800.0, side * 750.0, 0.0]) + up + [0.0, 0.0, FLAT]
    other = np.array([1800.0, -side * 750.0, 0.0]) + up
    along = unit(np.array(third) + up - flat)
    square = unit(np.cross(along, other - flat))
    square *= np.sign(square[2])
    stands = np.degrees(np.arcsin(-side * square[1]))
    across = unit(np.array([0.0, side, 0.0]) - side * along[1] * along)
    high = np.cross(along, across)
    high *= np.sign(high[2])
    banks = []
    for corner in np.array(np.meshgrid(*zip(*wing, strict=True))).reshape(3, -1).T:
        # off . (cos t high - sin t across) = -RADIUS, in the plane square to the axis
        off = corner - flat
        a, b = float(off @ high), float(off @ across)
        if b > 0.0:
            turn = np.arctan2(a, b) + np.arcsin(RADIUS / np.hypot(a, b))
            normal = np.cos(turn) * high - np.sin(turn) * across
            banks.append(np.degrees(np.arcsin(-side * normal[1])))
    return stands, min(banks)


@pytest.mark.parametrize("aft", [900.0, 2600.0])
def test_a_box_wing_on_three_balls(aft) -> None:
    wing = ((aft, -4500.0, 900.0), (aft + 1000.0, 4500.0, 1000.0))
    found = banked(wing)
    for name, side in (("right", 1.0), ("left", -1.0)):
        stands, touches = by_hand(wing, AXLES["wheel_nose"], side)
        m = found[name]
        assert m.value == pytest.approx(touches - stands, abs=m.error_bound)
        assert m.error_bound < 0.1
        assert f"leans {stands:.1f} deg" in m.note
        assert m.part == "wing"


def test_tails_behind_and_a_wing_that_reaches_out_to_one_side_only() -> None:
    axles = {**AXLES, "wheel_nose": (4800.0, 0.0, 150.0)}
    roles = {n: "main" if "main" in n else "tail" for n in axles}
    wing = ((900.0, -4500.0, 700.0), (1900.0, 3000.0, 800.0))
    found = banked(wing, roles, axles)
    for name, side in (("right", 1.0), ("left", -1.0)):
        stands, touches = by_hand(wing, (4800.0, 0.0, 150.0), side)
        m = found[name]
        assert m.value == pytest.approx(touches - stands, abs=m.error_bound)
    assert found["left"].value < found["right"].value - 5.0


def test_without_a_third_wheel_or_a_main_on_the_other_side_nothing_is_said() -> None:
    wing = ((900.0, -4500.0, 900.0), (1900.0, 4500.0, 1000.0))
    mains = {n: AXLES[n] for n in ("wheel_main_right", "wheel_main_left")}
    assert banked(wing, axles=mains) == {}
    one = {n: AXLES[n] for n in ("wheel_main_right", "wheel_nose")}
    assert banked(wing, axles=one) == {}


def test_a_side_on_which_nothing_stands_out_is_told_and_not_left_out() -> None:
    found = banked(((900.0, -4500.0, 900.0), (1900.0, -2000.0, 1000.0)))
    assert found["left"].value < 20.0
    assert found["right"].value > 45.0
    assert (found["right"].part, found["right"].points) == ("", ())
    assert "nothing touches so far over" in found["right"].note


def test_wheels_too_near_each_other_to_bank_over_are_not_measured() -> None:
    """One station for all: nothing is said to clear the ground because no ground was found."""
    wing = ((900.0, -4500.0, 900.0), (1900.0, 4500.0, 1000.0))
    found = banked(wing, axles={**AXLES, "wheel_nose": (1799.0, 0.0, 0.0)})
    assert {side: m.value for side, m in found.items()} == {"right": None, "left": None}
    assert "too near each other" in found["right"].note
