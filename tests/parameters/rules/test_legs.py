"""What is refused of a leg, in which words; where its end stands, by hand."""

from math import hypot

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.rules.leg_course import across_wheel, course

MAIN, NOSE = "gear.wheels.main.leg", "gear.wheels.nose.leg"
AT = {"main": "gear.wheels.0.leg", "nose": "gear.wheels.1.leg"}
CASES = [
    (f"{MAIN}.kind=tube", "main", "kind", "a tube without diameter", "a tube with diameter"),
    (f"{NOSE}.kind=leaf", "nose", "kind", "a leaf without root_breadth", "with root_breadth"),
    (f"{MAIN}.diameter=40 mm", "main", "diameter", "a leaf has no diameter", "for a leaf"),
    (f"{MAIN}.wall=2 mm", "main", "wall", "a leaf has no wall", "for a leaf"),
    (f"{NOSE}.tip_breadth=40 mm", "nose", "tip_breadth", "a tube has no tip breadth", "for a tube"),
    (f"{NOSE}.wall=19 mm", "nose", "wall", "as thick as the tube's radius", "less than 19 mm"),
    (f"{MAIN}.tip_breadth=91 mm", "main", "tip_breadth", "grows towards its end", "at most 90 mm"),
    (f"{MAIN}.tip_thickness=19 mm", "main", "tip_thickness", "grows", "at most 18 mm"),
    (f"{MAIN}.waterline=10 mm", "main", "waterline", "not above the axle", "more than 10 mm"),
    (f"{NOSE}.waterline=-15 mm", "nose", "waterline", "not above the axle", "more than -15 mm"),
    (f"{NOSE}.waterline=165 mm", "nose", "waterline", "has no length", "from the axle"),
    (f"{NOSE}.fork=false", "nose", "buttock_line", "through the tyre", "or fork = true"),
    (f"{MAIN}.buttock_line=740 mm", "main", "buttock_line", "through the tyre", "at most 637.1 mm"),
    (f"{MAIN}.tyre_gap=560 mm", "main", "tyre_gap", "out of range", "from 1 mm to 200 mm"),
    (f"{MAIN}.rooted_in=fin", "main", "rooted_in", "not one of the choices", '"boom", "wing"'),
]


@pytest.mark.parametrize(("change", "wheel", "key", "problem", "allowed"), CASES)
def test_refusals(saltmarsh, change, wheel, key, problem, allowed) -> None:
    with pytest.raises(ParameterError) as caught:
        saltmarsh(change)
    errors = getattr(caught.value, "errors", (caught.value,))
    found = [e for e in errors if e.key == f"{AT[wheel]}.{key}" and problem in e.problem]
    assert found, [(e.key, e.problem) for e in errors]
    assert allowed in found[0].allowed
    assert found[0].written
    assert found[0].line is not None or found[0].written


@pytest.mark.parametrize(("written", "wheel", "key"), [
    ("740 mm", "main", "buttock_line"), ("760 mm", "main", "buttock_line"),
])  # fmt: skip
def test_both_limits_that_a_refusal_names_are_accepted(saltmarsh, written, wheel, key) -> None:
    with pytest.raises(ParameterError) as caught:
        saltmarsh(f"gear.wheels.{wheel}.leg.{key}={written}")
    words = caught.value.allowed.replace("at most ", "").replace("at least ", "").split("; ")[0]
    for value in words.split(", or "):
        assert saltmarsh(f"gear.wheels.{wheel}.leg.{key}={value}")


def test_a_wheel_needs_no_leg(saltmarsh) -> None:
    p = saltmarsh("gear.wheels=[" + ",".join(
        f'{{name="{role}",role="{role}",station="{at} mm",buttock_line="{out} mm",'
        f'waterline="0 mm",diameter="300 mm",width="90 mm"}}'
        for role, at, out in (("main", 1850, 700), ("nose", 380, 0))
    ) + "]", "mass=[]")  # fmt: skip
    assert [w.leg for w in p.gear.wheels] == [None, None]


def test_a_leaf_ends_beside_the_tyre_on_the_side_of_its_root(saltmarsh) -> None:
    """By hand: the end stands off the tyre by the gap and half of what the leaf is across there."""
    main = saltmarsh().gear.wheels[0]
    way = course(main, main.leg)
    assert way.side == -1.0
    assert (way.end[0], way.end[2]) == (main.station, main.waterline)
    half = across_wheel(main.leg, way.root, way.end)
    assert way.end[1] == pytest.approx(750 - 55 - 12 - half, abs=1e-9)
    # The leaf's edge leans as its course does seen from above, its face as seen from ahead.
    x, y, z = (b - a for a, b in zip(way.root, way.end, strict=True))
    level, whole = hypot(x, y), hypot(x, y, z)
    assert half == pytest.approx((60 * x / level + 12 * y * -z / (level * whole)) / 2, rel=1e-9)
    outboard = saltmarsh(f"{MAIN}.buttock_line=1.4 m").gear.wheels[0]
    assert course(outboard, outboard.leg).side == 1.0


def test_a_fork_stands_off_the_tread_towards_the_root(saltmarsh) -> None:
    nose = saltmarsh(f"{NOSE}.station=380 mm", f"{NOSE}.diameter=38 mm").gear.wheels[1]
    way = course(nose, nose.leg)
    # Tyre 150, gap 10, half of the thicker of tube and axle 19: straight above.
    assert way.end == pytest.approx((380.0, 0.0, -15.0 + 179.0))
    assert way.off == pytest.approx(179.0)
