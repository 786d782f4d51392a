"""What is measured on moulds: right on plain bodies, and caught when broken on purpose."""

import numpy as np
import pytest
from shops.moulds.plain_moulds import LENGTH, RADIUS, SKIN, cylinder_pod, with_mould

from geomgen.kernel.brep.primitives import box, cylinder, moved
from geomgen.shops.moulds.boards import Board
from geomgen.shops.moulds.findings import (
    dowel_finding,
    fits,
    flats_finding,
    mirror_findings,
    pitch_finding,
    skin_finding,
    volume_finding,
)
from geomgen.shops.moulds.flange import FlangePlan
from geomgen.shops.moulds.skin import Bounds, moulded
from geomgen.shops.moulds.split import halves


def cores(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), treatment="core_minus_skin")
    return [moulded(half, Bounds()) for half in halves(p, mould, -SKIN)]


def finished(radius=RADIUS, aside=0.0):
    return cylinder((-10.0, aside, 0.0), (1.0, 0.0, 0.0), radius, LENGTH + 20.0)


def test_a_core_lies_its_skin_inside_a_finished_cylinder(saltmarsh):
    found = skin_finding("pod", cores(saltmarsh), finished(), -SKIN)
    assert found.verdict == "pass"
    assert found.measured < 0.01
    assert found.method.startswith("500 of 500 points")


@pytest.mark.parametrize(
    ("solid", "wanted", "miss"),
    [
        (finished(), 0.0, SKIN),  # the skin forgotten
        (finished(RADIUS + 0.3), -SKIN, 0.3),
        (finished(aside=0.25), -SKIN, 0.25),
    ],
)
def test_a_core_of_the_wrong_size_or_place_is_caught(saltmarsh, solid, wanted, miss):
    found = skin_finding("pod", cores(saltmarsh), solid, wanted)
    assert found.verdict == "fail"
    assert found.measured == pytest.approx(miss, abs=0.02)


def test_a_finished_part_without_that_skin_is_caught(saltmarsh):
    elsewhere = cylinder((5000.0, 0.0, 0.0), (1.0, 0.0, 0.0), RADIUS, LENGTH)
    found = skin_finding("pod", cores(saltmarsh), elsewhere, -SKIN)
    assert (found.measured, found.verdict) == (None, "fail")


RIGHT = box((0.0, 1.0, 0.0), (10.0, 5.0, 3.0))
LEFT = box((0.0, -5.0, 0.0), (10.0, -1.0, 3.0))


def test_mirrored_halves_pass():
    assert {f.verdict for f in mirror_findings("pod", RIGHT, LEFT)} == {"pass"}


@pytest.mark.parametrize(
    ("right", "left"),
    [
        (LEFT, RIGHT),  # hands mixed up
        (RIGHT, RIGHT),
        (RIGHT, moved(LEFT, (0.0, 0.0, 0.01))),
        (RIGHT, box((0.0, -5.0, 0.0), (10.0, -1.0, 3.001))),
    ],
)
def test_hands_that_do_not_match_are_caught(right, left):
    assert "fail" in {f.verdict for f in mirror_findings("pod", right, left)}


def test_hands_mixed_up_are_measured_not_made_up():
    """Boxes whose middles stand 3 mm to each side of the centre plane, swapped."""
    good, bad = (
        {f.id: f for f in mirror_findings("pod", *pair)} for pair in ((RIGHT, LEFT), (LEFT, RIGHT))
    )
    assert good["mould.hands.pod"].measured == pytest.approx(3.0, abs=1e-6)
    assert bad["mould.hands.pod"].measured == pytest.approx(-3.0, abs=1e-6)
    assert bad["mould.hands.pod"].verdict == "fail"
    assert bad["mould.mirror_place.pod"].measured == pytest.approx(0.0, abs=1e-6)


def test_pieces_that_do_not_add_up_are_caught():
    whole = box((0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    parts = [box((0.0, 0.0, 0.0), (4.0, 10.0, 10.0)), box((4.0, 0.0, 0.0), (10.0, 10.0, 9.0))]
    assert volume_finding("pod", parts, 60.0, whole).verdict == "pass"
    assert volume_finding("pod", parts, 59.9, whole).verdict == "fail"
    found = volume_finding("pod", parts[:1], 60.0, whole)
    assert (found.measured, found.unit) == (pytest.approx(54.0), "%")
    assert "cm^3" in found.what


def test_symmetrical_dowels_are_caught():
    turn = np.arange(5) * 2 * np.pi / 5
    pentagon = 200.0 * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    odd = pentagon + np.array([[0.0, 12.0], *[[0.0, 0.0]] * 4])
    # A regular pentagon is laid on itself in ten ways, its own included.
    assert fits(pentagon, 8.0) == 9
    assert fits(odd, 8.0) == 0
    rectangle = np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 100.0], [0.0, 100.0]])
    assert fits(rectangle, 8.0) == 3


def board_of(dowels, pitch=300.0, outer=None):
    from geomgen.shops.moulds.outline import sheet_of
    from geomgen.shops.moulds.split import Split

    sheet = sheet_of(Split((0.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    return Board("right", (0, 1, 0), [], FlangePlan(sheet, outer, None, dowels, pitch, (0, 0), 0.0))


def test_dowels_that_fit_two_ways_or_stand_too_far_apart_fail():
    good = np.array([[0.0, 0.0], [250.0, 0.0], [0.0, 180.0]])
    bad = np.array([[0.0, 0.0], [250.0, 0.0], [125.0, 180.0]])
    assert dowel_finding("pod", board_of(good), 8.0).verdict == "pass"
    assert dowel_finding("pod", board_of(bad), 8.0).verdict == "fail"
    assert pitch_finding("pod", board_of(good), 300.0).verdict == "pass"
    assert pitch_finding("pod", board_of(good), 299.0).verdict == "fail"


def test_a_datum_flat_that_is_too_short_warns():
    from shapely.geometry import Polygon

    square = Polygon([(0, 0), (100, 0), (100, 50), (0, 50)])
    corner = Polygon([(0, 0), (100, 0), (100, 10), (50, 50), (0, 50)])
    found = flats_finding("pod", board_of(np.zeros((3, 2)), outer=square))
    assert (found.measured, found.verdict) == (pytest.approx(50.0), "pass")
    found = flats_finding("pod", board_of(np.zeros((3, 2)), outer=corner))
    assert (found.measured, found.verdict) == (pytest.approx(10.0), "warn")
