"""Fittings as solids: volume, place and holes against closed forms."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
from framed_pods import MIDDLE, frame, pod_of

from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.parameters.records.structure.attachments import BoltedFitting
from geomgen.shapes.framing.fittings import bolt_places, bolted_plates, fittings, inside_others

ROW = {
    "name": "lug", "use": "boom", "side": "aft", "station": "1000 mm", "buttock_line": "100 mm",
    "waterline": "850 mm", "width": "80 mm", "height": "60 mm", "thickness": "4 mm",
    "gap": "0.5 mm",
    "bolts": {"diameter": "6 mm", "rows": 3, "pitch": "40 mm", "row_pitch": "20 mm"},
}  # fmt: skip


def row(**more):
    return BoltedFitting.model_validate({**ROW, **more})


def made(*rows, **leaning):
    p = pod_of(frame(**leaning))
    p = p.model_copy(update={"fittings": rows})
    return p, {piece.name: piece.solid for piece in fittings(p)}


def test_a_plate_less_its_holes():
    _, found = made(row())
    assert volume(found["fitting_lug"]).value == pytest.approx(
        4 * (80 * 60 - 6 * pi * 3**2), rel=1e-9
    )


@pytest.mark.parametrize(
    ("side", "low", "high"),
    [
        ("aft", (1000.5, 60.0, 820.0), (1004.5, 140.0, 880.0)),
        ("fore", (995.5, 60.0, 820.0), (999.5, 140.0, 880.0)),
        ("outboard", (960.0, 100.5, 820.0), (1040.0, 104.5, 880.0)),
        ("inboard", (960.0, 95.5, 820.0), (1040.0, 99.5, 880.0)),
        ("above", (970.0, 60.0, 850.5), (1030.0, 140.0, 854.5)),
        ("below", (970.0, 60.0, 845.5), (1030.0, 140.0, 849.5)),
    ],
)
def test_each_side_and_its_mirror(side, low, high):
    p, found = made(row(side=side, mirrored=True))
    own = bounding_box(found["fitting_lug_right"])
    assert np.allclose((own.low, own.high), (low, high), atol=1e-5)
    left = bounding_box(found["fitting_lug_left"])
    assert np.allclose(left.low, (low[0], -high[1], low[2]), atol=1e-5)
    published = bolted_plates(p)
    for hand, sign in (("right", 1.0), ("left", -1.0)):
        plate = published[f"fitting_lug_{hand}"]
        assert plate.plane.origin == pytest.approx((1000.0, sign * 100.0, 850.0))
        off = np.subtract(centroid(found[f"fitting_lug_{hand}"]), plate.plane.origin)
        assert float(off @ plate.plane.normal) == pytest.approx(2.5, abs=1e-6)


def test_a_left_one_of_its_own_has_its_outer_side_on_the_left():
    _, found = made(row(side="outboard", buttock_line="-100 mm"))
    assert bounding_box(found["fitting_lug"]).low[1] == pytest.approx(-104.5, abs=1e-5)


@pytest.mark.parametrize("side", ["fore", "aft"])
def test_on_a_leaning_frame_the_foot_lies_along_its_face(side):
    lean, rise = radians(-12), 850.0 - MIDDLE
    _, found = made(row(on="frame_one", station=None, side=side), tilt="-12 deg")
    station = 1000.0 + rise * sin(lean) / cos(lean)
    if side == "aft":
        station += 6.0 / cos(lean)
    off = 2.5 if side == "aft" else -2.5
    assert centroid(found["fitting_lug"]) == pytest.approx(
        (station + off * cos(lean), 100.0, 850.0 - off * sin(lean)), abs=1e-6
    )


def test_swept_on_the_right_its_outer_end_lies_aft():
    _, found = made(row(sweep="10 deg", mirrored=True))
    for hand in ("right", "left"):
        own = bounding_box(found[f"fitting_lug_{hand}"])
        assert own.high[0] - own.low[0] == pytest.approx(
            80 * sin(radians(10)) + 4 * cos(radians(10)), abs=1e-4
        )
    p, _ = made(row(sweep="10 deg"))
    assert bolted_plates(p)["fitting_lug"].plane.normal == pytest.approx(
        (cos(radians(10)), -sin(radians(10)), 0.0)
    )


def test_bolts_in_columns_and_rows():
    assert bolt_places(row()) == [(-20, -20), (20, -20), (-20, 0), (20, 0), (-20, 20), (20, 20)]


def test_what_stands_inside_a_wing_is_told():
    p, _ = made(row(inside="wing", mirrored=True), row(name="own"))
    assert inside_others(p) == {"fitting_lug_right": "wing", "fitting_lug_left": "wing"}


def test_a_fitting_on_a_side_piece_lies_on_its_face():
    halves = {"width": "90 mm", "top": "950 mm", "bottom": "650 mm"}
    on = {"station": None, "on": "frame_one_left", "side": "aft", "buttock_line": "-250 mm"}
    _, found = made(row(**on), **halves)
    box = bounding_box(found["fitting_lug"])
    assert (box.low[0], box.high[0]) == pytest.approx((1006.5, 1010.5), abs=1e-6)
    assert (box.low[1], box.high[1]) == pytest.approx((-290.0, -210.0), abs=1e-6)
