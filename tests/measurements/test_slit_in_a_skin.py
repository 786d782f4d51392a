"""Room under a skin that is parted where its outer half comes off; truths by hand.

Two boxes stand for the skin's parts, 2 mm apart at BL 0, and a bar runs through both.
"""

from functools import cache
from math import hypot

import pytest
from spar_wings import body

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Plane
from geomgen.measurements.wing_structure.inside import SkinSlit, room_under_skin

SLIT = SkinSlit(Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0)), 2.0)


@cache
def skins(gap=2.0):
    return {
        "wing_inner": body(box((0.0, -500.0, 0.0), (300.0, -gap / 2, 100.0))),
        "wing_outer": body(box((0.0, gap / 2, 0.0), (300.0, 500.0, 100.0))),
    }


def room(low, high, slits=(SLIT,), gap=2.0):
    return room_under_skin({"bar": body(box(low, high))}, skins(gap), slits)


def test_what_runs_through_the_slit_is_as_far_from_the_skin_as_beside_it():
    found = room((100.0, -200.0, 7.0), (140.0, 200.0, 60.0))
    assert found.gap == pytest.approx(7.0, abs=0.01)


def test_a_rib_whose_face_is_flush_with_the_slit_has_its_room_to_the_skin():
    found = room((5.0, 1.0, 5.0), (295.0, 5.0, 95.0))
    assert found.gap == pytest.approx(5.0, abs=0.01)


def test_without_a_slit_the_cut_counts_as_surface():
    assert room((5.0, 1.0, 5.0), (295.0, 5.0, 95.0), ()).gap == pytest.approx(0.0, abs=0.01)
    assert room((100.0, -200.0, 7.0), (140.0, 200.0, 60.0), ()).gap < 0.0


def test_what_comes_through_the_skin_beside_the_slit_is_told():
    found = room((100.0, -200.0, 60.0), (140.0, 200.0, 112.0))
    # In the middle of the slit the nearest skin is its edge.
    assert found.gap == pytest.approx(-hypot(12.0, 1.0), abs=0.01)


def test_a_skin_open_further_than_stated_does_not_count_as_closed():
    assert room((100.0, -200.0, 7.0), (140.0, 200.0, 60.0), gap=12.0).gap < 0.0


def test_what_stands_beyond_both_parts_is_outside():
    assert room((100.0, 505.0, 7.0), (140.0, 600.0, 60.0)).gap < -4.0
