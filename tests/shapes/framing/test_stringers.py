"""Stringers against closed forms: along an elliptic pod, on one side, in the centre plane."""

import math

import numpy as np
import pytest
from framed_pods import BROAD, MIDDLE, WALL, frame, framed, off_ellipse, pod_of, stringer

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.kernel.solids.validity import validity
from geomgen.shapes.hull import twins

OFF = WALL + 0.5


def test_a_strip_has_its_section_and_its_length():
    parts = framed(pod_of(stringer()))
    right = parts["stringer_strip_right"].solid
    assert volume(right).value == pytest.approx(20 * 12 * 1000, rel=1e-6)
    assert validity(right).problems == ()
    box = bounding_box(right)
    assert (box.low[0], box.high[0]) == pytest.approx((500.0, 1500.0))
    assert (box.low[2] + box.high[2]) / 2 == pytest.approx(MIDDLE, abs=1e-6)
    assert off_ellipse([[box.high[1], MIDDLE + 10.0]])[0] == pytest.approx(OFF, abs=0.02)
    assert twins(right, parts["stringer_strip_left"].solid)
    assert bounding_box(mirrored(right)).low[1] == pytest.approx(-box.high[1])


def test_on_a_taper_the_section_counts_across_the_run():
    """The side of the ellipse draws in by 0.4 of 296 mm on 2 m: the strip is that much longer."""
    parts = framed(pod_of(stringer(), taper=0.4))
    slope = 0.4 * BROAD / 2000
    assert volume(parts["stringer_strip_right"].solid).value == pytest.approx(
        20 * 12 * 1000 * math.hypot(1.0, slope), rel=2e-3
    )


@pytest.mark.parametrize(("share", "height"), [(0.0, -1.0), (1.0, 1.0)])
def test_one_in_the_centre_plane_has_no_hand(share, height):
    parts = framed(pod_of(stringer(waterline=None, girth=share, mirrored=False)))
    box = bounding_box(parts["stringer_strip"].solid)
    assert box.low[1] == pytest.approx(-10.0)
    outside = box.low[2] if height < 0 else box.high[2]
    assert off_ellipse([[10.0, outside]])[0] == pytest.approx(OFF, abs=0.02)


def test_a_share_of_the_girth_counts_from_the_keel():
    """Half of the way round an ellipse that is its own mirror is at its breadth."""
    (low, half) = (
        framed(pod_of(stringer(waterline=None, girth=g)))["stringer_strip_right"].solid
        for g in (0.25, 0.5)
    )
    (piece,) = regions(at_station(1000.0), half)
    assert float(np.mean(piece.polygon().bounds[1::2])) == pytest.approx(MIDDLE, abs=1e-3)
    assert bounding_box(low).high[2] < MIDDLE


@pytest.mark.parametrize("others", [(), (frame(),)], ids=["alone", "with a frame that it notches"])
def test_one_that_leaves_the_skin_is_refused_by_its_own_row(others):
    with pytest.raises(GeometryError, match="waterline 1300 mm is not on it") as caught:
        framed(pod_of(*others, stringer(waterline="1300 mm")))
    assert (caught.value.part, caught.value.look_at) == (
        "stringer_strip",
        ["stringers.strip.waterline"],
    )
    with pytest.raises(GeometryError, match="over the centre plane") as caught:
        framed(pod_of(*others, stringer(waterline=None, girth=0.001)))
    assert caught.value.part == "stringer_strip"


def test_that_it_is_no_matter_of_strength_is_said_once():
    notes = [note for piece in framed(pod_of(stringer())).values() for note in piece.notes]
    assert len(notes) == 1
    assert "not strength" in notes[0]
    both = framed(pod_of(frame(), frame(name="two", station="700 mm"), stringer()))
    assert [note for piece in both.values() for note in piece.notes] == notes
