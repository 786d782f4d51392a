"""Do parts share space? Depths of boxes, spheres and cylinders in closed form (DERIVED)."""

import math

import pytest
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt
from OCP.TopoDS import TopoDS_Shape
from one_look import interference

from geomgen.kernel.brep.primitives import box, cylinder, ring
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut


def ball(x: float, radius: float) -> TopoDS_Shape:
    return BRepPrimAPI_MakeSphere(gp_Pnt(x, 0, 0), radius).Solid()


def measured(bodies, **parts: TopoDS_Shape):
    return interference(bodies(parts))


def test_boxes_that_overlap(bodies) -> None:
    found = measured(bodies, a=box((0, 0, 0), (50, 50, 50)), b=box((47, 10, 10), (90, 40, 40)))
    assert found.value == pytest.approx(-3.0, abs=1e-3)
    assert found.part == "a, b"
    assert found.where.startswith("STA 50.0") or found.where.startswith("STA 47.0")


def test_balls_whose_skins_cross_though_the_kernel_sees_a_distance(bodies) -> None:
    """The lens between two balls is r1 + r2 - d thick."""
    found = interference(bodies({"a": ball(0, 50.0), "b": ball(80, 50.0)}, 0.02))
    assert found.value == pytest.approx(-20.0, abs=0.04)
    assert abs(found.value + 20.0) <= found.error_bound


def test_a_body_inside_another_is_found(bodies) -> None:
    found = measured(bodies, a=box((0, 0, 0), (99, 99, 99)), b=box((40, 40, 40), (45, 60, 60)))
    # Its far face lies 45 below the nearest face of the other.
    assert found.value == pytest.approx(-45.0, abs=1e-3)


def test_faces_that_touch_share_no_space(bodies) -> None:
    found = measured(bodies, a=box((0, 0, 0), (50, 50, 50)), b=box((50, 0, 0), (90, 50, 50)))
    assert found.value == 0.0


@pytest.mark.parametrize("gap", [0.02, 0.2, 0.3])
def test_a_part_fitted_round_another_with_a_hair_of_gap(bodies, gap: float) -> None:
    rod = cylinder((0, 0, 0), (1, 0, 0), 40.0, 300.0)
    grown = cylinder((0, 0, 0), (1, 0, 0), 40.0 + gap, 300.0)
    block = cut(box((100, -80, -80), (200, 80, 80)), [grown], "block", "seat")
    assert measured(bodies, rod=rod, block=block).value == 0.0


@pytest.mark.parametrize("depth", [0.15, 0.3, 1.0])
def test_a_plate_that_sinks_a_little_into_a_tube(bodies, depth: float) -> None:
    """The strip they share is narrow; a depth below the meshes' deviations is still found."""
    rod = cylinder((0, 0, 0), (1, 0, 0), 40.0, 300.0)
    plate = box((50, -170, 40.0 - depth), (250, 230, 45))
    found = measured(bodies, rod=rod, plate=plate)
    assert found.value < 0.0
    assert -found.value == pytest.approx(depth, abs=0.25)


def test_the_swept_volume_counts(bodies) -> None:
    axis = Axis((0, 0, 0), (1.0, 0.0, 0.0))
    disc = ring(axis, -40.0, 40.0, 60.0, 650.0)
    boom = cylinder((-500, 500, 0), (1, 0, 0), 40.0, 1000.0)
    found = measured(bodies, prop_disc=disc, boom=boom)
    assert found.value == pytest.approx(-80.0, abs=1e-2)


def test_the_deepest_pair_is_given_and_all_are_named(bodies) -> None:
    parts = {
        "a": box((0, 0, 0), (50, 50, 50)),
        "b": box((48, 0, 0), (90, 50, 50)),
        "c": box((0, 45, 0), (40, 90, 50)),
        "d": box((500, 0, 0), (540, 40, 40)),
    }
    found = interference(bodies(parts))
    assert found.value == pytest.approx(-5.0, abs=1e-3)
    assert "a and b" in found.note
    assert "a and c" in found.note
    assert "d" not in found.note.replace("and", "")


def test_it_is_said_which_of_two_goes_through_which(bodies) -> None:
    """A tank that dips into a wing stands in it; the wing comes into its room by its wall."""
    wing = box((-70, -70, -40), (130, 130, 10))
    tank = cut(box((0, 0, 0), (60, 60, 60)), [box((2, 2, 2), (58, 58, 58))], "tank", "room")
    found = measured(bodies, wing=wing, tank=tank)
    assert found.value == pytest.approx(-10.0, abs=1e-3)
    assert "wing goes in at one face of tank and comes out at another" in found.note
    assert "tank goes in" not in found.note
    solid = measured(bodies, wing=wing, tank=box((0, 0, 0), (60, 60, 60)))
    assert "comes out" not in solid.note
    pin = measured(bodies, pin=box((10, 10, -90), (12, 12, 90)), wing=wing)
    assert "pin goes in at one face of wing and comes out at another" in pin.note
    assert "wing goes in" not in pin.note


def test_parts_far_apart(bodies) -> None:
    found = measured(bodies, a=ball(0, 50.0), b=ball(math.pi * 100, 50.0))
    assert found.value == 0.0
    assert not found.broken
