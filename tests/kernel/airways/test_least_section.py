"""Rough sections of the air between bodies, against closed forms (DERIVED)."""

import math

import pytest
from meshed_bodies import body

from geomgen.kernel.airways.least_section import void_of
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.booleans import cut

X = (1.0, 0.0, 0.0)
ROOM = Box((-40.0, -40.0, -40.0), (140.0, 40.0, 40.0))


def pipe(bore=20.0):
    return cut(
        cylinder((0, 0, 0), X, 30.0, 100.0), [cylinder((-1, 0, 0), X, bore, 102.0)], "pipe", "bore"
    )


@pytest.mark.parametrize("lean", [0.0, 20.0, -40.0])
def test_a_leaning_plane_cuts_an_ellipse_within_what_meshes_may_be_off(lean) -> None:
    turn = math.radians(lean)
    air = void_of(ROOM, [body(pipe())])
    found = air.section((50.0, 0.0, 0.0), (math.cos(turn), 0.0, math.sin(turn)))
    assert abs(found.area - math.pi * 400.0 / math.cos(turn)) <= found.off < 30.0
    assert found.centroid == pytest.approx((50.0, 0.0, 0.0), abs=0.01)


def test_a_rod_in_the_middle_is_taken_off_and_one_at_the_seed_shuts() -> None:
    """A ring of 20 mm less 5 mm; seen from a seed in the air, and from one in the rod."""
    air = void_of(ROOM, [body(pipe()), body(cylinder((20, 0, 0), X, 5.0, 60.0))])
    found = air.section((50.0, 0.0, 12.0), X)
    assert abs(found.area - math.pi * (400.0 - 25.0)) <= found.off
    assert air.section((50.0, 0.0, 0.0), X) is None


@pytest.mark.parametrize(("slit", "closed"), [(0.0, False), (0.5, True)])
def test_a_slit_leaks_unless_it_counts_as_closed(slit, closed) -> None:
    sawn = cut(pipe(), [box((-1, 0, -0.15), (101, 50, 0.15))], "pipe", "slit")
    found = void_of(ROOM, [body(sawn)], slit).section((50.0, 0.0, 0.0), X)
    assert (found is not None) == closed
    if found is not None:
        assert abs(found.area - math.pi * 400.0) <= found.off


def test_a_plane_that_leaves_through_the_mouth_is_no_section() -> None:
    air = void_of(ROOM, [body(pipe())])
    assert air.section((5.0, 0.0, 0.0), (math.cos(1.0), 0.0, math.sin(1.0))) is None
