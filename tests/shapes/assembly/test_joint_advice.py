"""The values that are said to do: against closed forms of a straight boom and a plain wing."""

import re

import pytest

from geomgen.shapes.assembly.joint_advice import advice

# A straight boom, 90 mm broad and 100 mm high, its centre at WL 1250.
BOOM = [
    f"booms.stations.{i}.{key}={value} mm"
    for i in range(6)
    for key, value in (("waterline", 1250), ("width", 90), ("height", 100))
]


def room(p, trim: str, to: str) -> tuple[str, float, float]:
    joint = next(j for j in p.joints if (j.trim, j.to) == (trim, to))
    said = re.match(r"(\S+) is \S+ mm: between (\S+) and (\S+) mm", advice(p, joint))
    assert said is not None
    return said[1], float(said[2]), float(said[3])


def test_a_fin_ends_inside_an_elliptical_boom(variant) -> None:
    """z = +-50 sqrt(1 - (y / 45)^2) at half of the fin's thickness, 8 % of 560 mm."""
    key, low, high = room(variant("fins.waterline=1240 mm", *BOOM), "fin", "boom")
    half = 50 * (1 - (0.5 * 0.08 * 560 / 45) ** 2) ** 0.5
    assert key == "fins.sections.0.height"
    assert (low, high) == pytest.approx((10 - half, 10 + half), abs=0.6)


def test_a_tailplane_ends_inside_an_elliptical_boom(variant) -> None:
    """A thin flat plate on the boom's centre line: nearly its whole breadth."""
    thin = [f"tailplane.sections.{i}.aerofoil=NACA 0006" for i in (0, 1)]
    level = ("tailplane.waterline=1250 mm", "tailplane.incidence=0 deg")
    key, low, high = room(variant(*BOOM, *thin, *level), "tailplane", "boom")
    half = 45 * (1 - (0.5 * 0.06 * 540 / 50) ** 2) ** 0.5
    assert key == "tailplane.sections.1.buttock_line"
    assert (low, high) == pytest.approx((780 - half, 780 + half), abs=0.6)


def test_a_pylon_that_is_longer_than_the_wing_has_no_height_that_would_do(variant) -> None:
    p = variant("pylon.chord=1500 mm")
    joint = next(j for j in p.joints if (j.trim, j.to) == ("pylon", "wing"))
    assert "no value of it puts this end wholly inside the wing" in advice(p, joint)


def test_other_joints_name_both_parts(variant) -> None:
    p = variant()
    joint = next(j for j in p.joints if (j.trim, j.to) == ("wing", "boom"))
    assert advice(p, joint) == "Move the wing or the boom, or take the joint out of the file"
