"""Spars and ribs against closed forms: areas and volumes worked out here from the section itself.

Source: the thickness of a four-digit section, NACA Report 460 (MEMORY, as in test_aerofoils); the
curve at a distance from it, prismatoids and tubes are DERIVED.
"""

import math

import numpy as np
import pytest
from scipy.integrate import quad
from spar_wings import BENT, CHORD, EDGE, HALF, planned

from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.shapes.wing_structure.inner_room import FIT
from geomgen.shapes.wing_structure.rib_outline import WIDER
from geomgen.shapes.wing_structure.ribs import rib_pieces, ribs
from geomgen.shapes.wing_structure.spars import spars

NOSE_STATION, SKIN = 1280.0, 2.0
INSET = SKIN + FIT


def half_thickness(x, t=0.12):
    """Return the half thickness [mm] of the section with its blunt edge at x [mm] from the nose."""
    s = x / CHORD
    y = 5 * t * (0.2969 * np.sqrt(s) + s * (-0.126 + s * (-0.3516 + s * (0.2843 - 0.1015 * s))))
    thin = 2 * 5 * t * 0.0021 * CHORD
    return y * CHORD + (EDGE - thin) / 2 * s


def inner(u):
    """Return the curve under the skin (x, y) [mm]; u from 0 at the nose to 1."""
    x = CHORD * u**2
    step = 1e-5 * CHORD * np.maximum(u, 1e-3)
    slope = (half_thickness(x + step) - half_thickness(np.maximum(x - step, 0.0))) / (
        x + step - np.maximum(x - step, 0.0)
    )
    size = np.hypot(1.0, slope)
    return x + INSET * slope / size, half_thickness(x) - INSET / size


def tail_end(depth):
    """Return where [mm] from the nose so much depth [mm] is left under the skin."""
    xs, ys = inner(np.linspace(0.8, 0.995, 20_001))
    return float(xs[2 * ys >= depth][-1])


def area_between(a, b):
    """Return the area under the skin [mm2] between two places [mm] from the nose."""
    xs, ys = inner(np.linspace(0.0, 0.995, 400_001))
    inside = (xs >= a) & (xs <= b) & (ys >= 0.0)
    x = np.r_[max(a, float(xs[inside][0])), xs[inside], b]
    y = np.interp(x, xs[inside], ys[inside])
    return float(2 * np.trapezoid(y, x))


def solids(p, make):
    return {piece.name: piece.solid for piece in make(p)}


def test_rib_of_a_section_less_skin_and_spar():
    gap, width = 0.5, 60.0
    p = planned(spars=[{}], ribs=[{"notch_gap": f"{gap} mm"}])
    found = solids(p, ribs)
    fore = 0.3 * CHORD - width / 2 - gap - WIDER
    aft = 0.3 * CHORD + width / 2 + gap + WIDER
    nose_area, tail_area = area_between(0.0, fore), area_between(aft, tail_end(8.0))
    assert volume(found["rib_a_1_nose_right"]).value == pytest.approx(4 * nose_area, rel=2e-4)
    # The tail's end is found in steps of a 400th of half the chord.
    assert volume(found["rib_a_1_tail_right"]).value == pytest.approx(4 * tail_area, abs=4 * 8 * 2)


def test_rib_with_holes_is_short_of_them():
    whole, light = (
        solids(planned(ribs=[one]), ribs)["rib_a_1_right"]
        for one in ({}, {"hole_web": "20 mm", "least_hole": "50 mm"})
    )
    lost = volume(whole).value - volume(light).value
    p = planned(ribs=[{"hole_web": "20 mm", "least_hole": "50 mm"}])
    (piece,) = rib_pieces(p, p.ribs[0])
    assert len(piece.shape.holes) >= 3
    assert lost == pytest.approx(4 * sum(math.pi * r**2 for _, _, r in piece.shape.holes), rel=1e-6)


def test_box_spar_in_a_straight_wing():
    found = solids(planned(spars=[{}]), spars)
    length, width, cap, web = 2 * 4000.0, 60.0, 12.0, 3.0
    for side in ("upper", "lower"):
        cap_volume = length * (width - 2 * web) * cap
        assert volume(found[f"spar_main_cap_{side}"]).value == pytest.approx(cap_volume, rel=1e-9)
    ends = [0.3 * CHORD - width / 2, 0.3 * CHORD + width / 2]

    def top(x):
        slope = (half_thickness(x + 0.01) - half_thickness(x - 0.01)) / 0.02
        return half_thickness(x) - INSET * math.hypot(1.0, slope)

    high = [top(x) for x in ends]
    for name, x in (("fore", ends[0] + web / 2), ("aft", ends[1] - web / 2)):
        middle = 2 * float(np.interp(x, ends, high))
        assert volume(found[f"spar_main_web_{name}"]).value == pytest.approx(
            length * web * middle, rel=1e-4
        )


TAPERED = {"width": None, "cap_height": None, "kind": "caps and web"}


@pytest.mark.parametrize("overrides", [(), BENT])
def test_tapered_caps_are_prismatoids(overrides):
    """Sections upright along the span: dihedral, sweep and twist shear them and change no area."""
    rows = [
        {"at": "0 mm", "width": "80 mm", "cap_height": "14 mm"},
        {"at": "2000 mm", "width": "70 mm", "cap_height": "12 mm"},
        {"at": "4000 mm", "width": "30 mm", "cap_height": "5 mm"},
    ]
    p = planned(overrides, [{**TAPERED, "stations": rows}])

    def section(s):
        at = (0.0, 2000.0, 4000.0)
        return float(np.interp(s, at, (80, 70, 30)) * np.interp(s, at, (14, 12, 5)))

    half = quad(section, 0.0, 4000.0, points=[2000.0])[0]
    for side in ("upper", "lower"):
        solid = solids(p, spars)[f"spar_main_cap_{side}"]
        assert volume(solid).value == pytest.approx(2 * half, rel=1e-9)


def test_tube():
    one = {"kind": "tube", "cap_height": None, "width": "50 mm", "web": "1.5 mm"}
    (solid,) = solids(planned(spars=[one]), spars).values()
    assert volume(solid).value == pytest.approx(
        math.pi / 4 * (50.0**2 - 47.0**2) * 8000.0, rel=1e-9
    )


def test_hands_mirror_each_other_and_rise_with_the_dihedral():
    p = planned(BENT, [{"start": "1400 mm"}], [{"at": ["2000 mm", "3000 mm"]}])
    found = {**solids(p, spars), **solids(p, ribs)}
    right = [name for name in found if name.endswith("_right")]
    assert len(right) == len(found) / 2 == 8
    for name in right:
        one, other = found[name], found[name.removesuffix("_right") + "_left"]
        assert volume(one).value == pytest.approx(volume(other).value, rel=1e-9)
        (x, y, z), (a, b, c) = centroid(one), centroid(other)
        assert (x, y, z) == pytest.approx((a, -b, c), abs=1e-6)
        assert bounding_box(one).low[1] > 0.0
    rise = centroid(found["rib_a_2_nose_right"])[2] - centroid(found["rib_a_1_nose_right"])[2]
    nose = centroid(found["rib_a_2_nose_right"])[0] - centroid(found["rib_a_1_nose_right"])[0]
    slope = 1000.0 * math.tan(math.radians(9.0))
    # Twist about the quarter chord moves the nose a little: 6 deg over 3200 mm.
    assert rise == pytest.approx(slope, rel=0.1)
    assert nose == pytest.approx(1000.0 * math.tan(math.radians(15.0)), rel=0.02)


def test_spar_ends_short_of_the_tip_by_the_skin():
    box = bounding_box(solids(planned(spars=[{"end": None}]), spars)["spar_main_cap_upper"])
    # As everywhere, it keeps a little more than the skin, or rounding would judge it.
    assert box.high[1] == pytest.approx(HALF - SKIN - FIT, abs=1e-6)
    assert box.low[1] == pytest.approx(SKIN + FIT - HALF, abs=1e-6)
