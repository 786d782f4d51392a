"""Exact regions of one body in a plane: closed forms, the kernel's cut, another library's slice."""

import math

import pytest
from meshed_bodies import body

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plane_frame import Frame, at_station
from geomgen.kernel.sections.section import cross_section, outlines, regions, summed
from geomgen.kernel.solids.booleans import cut

X = (1.0, 0.0, 0.0)


def plate():
    drills = [cylinder((-1, y, 6), X, r, 20.0) for y, r in ((-9.0, 4.0), (12.0, 3.0))]
    return cut(box((0, -30, -20), (10, 30, 20)), drills, "plate", "holes")


@pytest.mark.parametrize("lean", [0.0, 0.05])
def test_a_plate_with_holes(lean: float) -> None:
    """A leaning plane takes more of rectangle and circles alike, by its cosine (closed form)."""
    frame = Frame((5.0, 0.0, 0.0), (math.sin(lean), math.cos(lean), 0.0), (0.0, 0.0, 1.0))
    solid = plate()
    one = body(solid)
    (found,) = outlines(frame, one, 50.0)
    area, error, _ = summed(found.rings)
    assert area == pytest.approx((2400.0 - math.pi * 25.0) / math.cos(lean), rel=1e-9)
    assert found.rings[0].area == pytest.approx(2400.0 / math.cos(lean), rel=1e-10)
    (kernel,) = regions(frame, solid)
    assert abs(area - kernel.area) <= error + 1e-9 * area
    # The mesh lies within the chords of the holes.
    assert cross_section(one.hull, frame).area() == pytest.approx(area, rel=1e-3)


def test_what_reaches_out_of_the_window_is_not_told() -> None:
    assert outlines(at_station(5.0), body(plate()), 25.0) is None
