"""Wheels and the planes that stand for the ground."""

import math

import pytest

from geomgen.shapes.gear import grounds, wheels


def by_name(p) -> dict:
    return {g.name: g for g in grounds(p)}


def height(ground, point) -> float:
    return sum((a - o) * n for a, o, n in zip(point, ground.plane.origin, ground.plane.normal,
                                              strict=True))  # fmt: skip


def test_standing_plane_touches_every_loaded_wheel(variant) -> None:
    p = variant()
    ground = by_name(p)["static"]
    for w in p.gear.wheels:
        for side in (1, -1) if w.mirrored else (0,):
            foot = (w.station, side * w.buttock_line, w.waterline - w.diameter / 2 + w.deflection)
            assert height(ground, foot) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("name", "pitch"), [("rotated", 9.0), ("take_off", 4.0)])
def test_nose_up_turns_about_the_mains(variant, name, pitch) -> None:
    """Nose up by theta lowers what stands d behind the mains by d sin(theta) (DERIVED)."""
    p = variant("gear.rotation=9 deg", "gear.take_off_pitch=4 deg")
    main = p.gear.wheels[0]
    both = by_name(p)
    a, b = both["static"].plane.normal, both[name].plane.normal
    turned = math.degrees(math.acos(sum(x * y for x, y in zip(a, b, strict=True))))
    assert turned == pytest.approx(pitch, abs=1e-9)
    aft = (main.station + 1000.0, 0.0, 0.0)
    assert height(both[name], aft) < height(both["static"], aft)


@pytest.mark.parametrize("side", ["right", "left"])
def test_flat_main_tyre_rolls_the_ground_towards_it(variant, side) -> None:
    ground = by_name(variant())[f"flat_tyre.main_{side}"]
    right, left = (height(ground, (1800.0, y, 0.0)) for y in (800.0, -800.0))
    assert (right < left) == (side == "right")


def test_tailwheels_stand_level_and_on_three_points(variant) -> None:
    p = variant(config="hayfield")
    both = by_name(p)
    assert both["static"].plane.normal == (0.0, 0.0, 1.0)
    # On all wheels: two circles in the upright plane stand on their common tangent (DERIVED).
    main, tail = p.gear.wheels
    normal = both["tail_down"].plane.normal
    for w in (main, tail):
        axle = (w.station, 0.0, w.waterline + w.deflection)
        assert height(both["tail_down"], axle) == pytest.approx(w.diameter / 2, abs=1e-9)
    assert normal[0] < 0.0
    assert normal[1] == pytest.approx(0.0, abs=1e-12)


def test_wheel_has_its_diameter_and_width(variant) -> None:
    from geomgen.kernel.solids.properties import bounding_box

    p = variant()
    main = p.gear.wheels[0]
    size = bounding_box(wheels(p)[0].solid).size
    assert size == pytest.approx((main.diameter, main.width, main.diameter), abs=1e-6)
