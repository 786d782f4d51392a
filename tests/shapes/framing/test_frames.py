"""Frames against closed forms of ellipses: full, open rings, openings, notches, leaning ones."""

import math

import numpy as np
import pytest
import shapely
import trimesh
from framed_pods import (
    BROAD,
    HIGH,
    MIDDLE,
    WALL,
    frame,
    framed,
    inside,
    model_of,
    perimeter,
    pod_of,
    stringer,
)
from surveyed_models import meshes_of

from geomgen.errors import GeometryError
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.properties import bounding_box, volume

OFF = WALL + 0.5


def made(*rows, taper=0.0):
    p = pod_of(*rows, taper=taper)
    return framed(p)[f"frame_{p.frames[0].name}"].solid


def test_a_full_frame_is_the_ellipse_inside_wall_and_gap():
    solid = made(frame())
    assert volume(solid).value == pytest.approx(6.0 * inside(OFF), rel=1e-5)
    (piece,) = regions(at_station(1003.0), solid)
    assert piece.area == pytest.approx(inside(OFF), rel=1e-5)
    length = np.hypot(*np.diff(np.vstack([piece.outer.points, piece.outer.points[:1]]), axis=0).T)
    assert float(length.sum()) == pytest.approx(perimeter() - 2 * math.pi * OFF, rel=1e-5)


@pytest.mark.parametrize("width", [40.0, 120.0])
def test_a_ring_is_as_wide_as_asked(width):
    """Its inside is a curve parallel to the pod's ellipse, by the width further in."""
    solid = made(frame(width=f"{width} mm"))
    ring = inside(OFF) - inside(OFF + width)
    assert volume(solid).value == pytest.approx(6.0 * ring, rel=1e-4)


def test_openings_take_out_what_they_say_on_their_own_side():
    whole = made(frame())
    round_ = {"use": "tank", "buttock_line": "100 mm", "waterline": "900 mm", "diameter": "80 mm"}
    slot = {"use": "legs", "buttock_line": "-60 mm", "waterline": "700 mm",
            "width": "100 mm", "height": "60 mm", "corner_radius": "15 mm"}  # fmt: skip
    solid = made(frame(round_, slot))
    out = math.pi * 40**2 + 100 * 60 - (4 - math.pi) * 15**2
    assert (volume(whole).value - volume(solid).value) / 6 == pytest.approx(out, rel=1e-5)
    (piece,) = regions(at_station(1003.0), solid)
    holes = sorted(tuple(np.round(hole.points.mean(axis=0) / 5) * 5) for hole in piece.holes)
    assert holes == [(-60.0, 700.0), (100.0, 900.0)]
    both = made(frame({**round_, "mirrored": True}))
    assert (volume(whole).value - volume(both).value) / 6 == pytest.approx(
        2 * math.pi * 40**2, rel=1e-5
    )


def test_a_leaning_frame_leans_its_top_aft_and_is_longer():
    solid = made(frame(tilt="20 deg"))
    slope = math.radians(20)
    assert volume(solid).value == pytest.approx(inside(OFF) / math.cos(slope) * 6.0, rel=1e-4)
    box = bounding_box(solid)
    assert box.high[0] == pytest.approx(
        1000 + (HIGH - OFF) * math.tan(slope) + 6 / math.cos(slope), abs=0.01
    )
    top = regions(at_station(1000 + 0.9 * HIGH * math.tan(slope)), solid)
    assert min(piece.polygon().bounds[1] for piece in top) > MIDDLE


def test_a_frame_put_into_the_pods_mesh_leaves_the_gap_for_the_bond():
    """By another library: every corner of the sheet's mesh near the skin to the pod's (trimesh)."""
    p = pod_of(frame(width="60 mm", gap="0.8 mm", tilt="-12 deg"), taper=0.4)
    model = model_of(p)
    meshes = {n: m for n, (m, _) in meshes_of(model, 0.15).items()}
    pod = trimesh.Trimesh(meshes["pod"].vertices, meshes["pod"].triangles)
    points = meshes["frame_one"].vertices
    off = np.abs(trimesh.proximity.ProximityQuery(pod).on_surface(points)[1])
    rim = off < 20.0
    assert rim.sum() > 100
    assert off[rim].min() == pytest.approx(0.8, abs=0.2)
    assert off[rim].max() == pytest.approx(0.8, abs=0.2)


def test_a_notch_is_as_wide_as_its_stringer_and_its_clearance():
    p = pod_of(frame(), stringer())
    parts = framed(p)
    whole = made(frame())
    out = (volume(whole).value - volume(parts["frame_one"].solid).value) / 6
    # Each notch: 20.6 mm by 12.3 mm, and the segment of the ellipse that the strip's flat leaves.
    assert out / 2 == pytest.approx(20.6 * 12.3, rel=0.02)


def test_what_can_not_be_cut_is_refused_by_name():
    opening = {"use": "spar", "buttock_line": "290 mm", "waterline": "800 mm",
               "diameter": "60 mm"}  # fmt: skip
    for rows, words in (
        ((frame(opening),), "the opening for spar runs out through the edge"),
        ((frame({**opening, "buttock_line": "0 mm"}, width="60 mm"),), "cuts nothing"),
        ((frame(width="10 mm"), stringer()), "cuts the sheet into"),
        ((frame(width="320 mm"),), "leaves no single opening"),
    ):
        with pytest.raises(GeometryError, match=words) as caught:
            made(*rows)
        assert caught.value.part == "frame_one"
        assert "frames.0" in caught.value.look_at


def segment(waterline, off=OFF):
    """Return the area [mm2] below a waterline of what is inside the pod, by the true offset curve.

    Points on the ellipse moved inward along the normal; the area between them by the shoelace rule.
    """
    angle = np.linspace(0.0, 2 * math.pi, 40001)
    y, z = BROAD * np.cos(angle), HIGH * np.sin(angle)
    n = np.stack([np.cos(angle) / BROAD, np.sin(angle) / HIGH])
    y, z = np.stack([y, z]) - off * n / np.hypot(*n)
    ring = shapely.Polygon(np.c_[y, MIDDLE + z])
    return ring.intersection(shapely.box(-1e4, -1e4, 1e4, waterline)).area


def ellipse_segment(waterline, a=BROAD, b=HIGH):
    """Return the area [mm2] of an ellipse below a level: the circle's segment, stretched."""
    turn = math.acos((MIDDLE - waterline) / b)
    return a * b * (turn - math.sin(2 * turn) / 2)


def test_the_segments_here_are_those_of_the_closed_form():
    for waterline in (550.0, 800.0, 1100.0):
        assert segment(waterline, 0.0) == pytest.approx(ellipse_segment(waterline), rel=1e-6)


@pytest.mark.parametrize("waterline", [640.0, 980.0])
def test_a_floor_frame_is_the_segment_below_its_cut_and_a_deck_frame_the_rest(waterline):
    floor = made(frame(top=f"{waterline} mm"))
    deck = made(frame(bottom=f"{waterline} mm"))
    assert volume(floor).value == pytest.approx(6.0 * segment(waterline), rel=1e-5)
    assert bounding_box(floor).high[2] == pytest.approx(waterline, abs=1e-6)
    assert bounding_box(deck).low[2] == pytest.approx(waterline, abs=1e-6)
    both = volume(floor).value + volume(deck).value
    assert both == pytest.approx(6.0 * inside(OFF), rel=1e-5)


def test_a_ring_cut_off_twice_is_two_pieces_that_mirror_each_other():
    p = pod_of(frame(top="980 mm", bottom="640 mm", width="50 mm"), stringer())
    parts = framed(p)
    right, left = (parts[f"frame_one_{hand}"].solid for hand in ("right", "left"))
    a, b = bounding_box(right), bounding_box(left)
    assert (a.low[2], a.high[2]) == pytest.approx((640.0, 980.0), abs=1e-6)
    assert (a.low[1], a.high[1]) == pytest.approx((-b.high[1], -b.low[1]), abs=1e-4)
    assert volume(right).value == pytest.approx(volume(left).value, rel=1e-6)
    band = segment(980.0) - segment(640.0)
    inner = segment(980.0, OFF + 50.0) - segment(640.0, OFF + 50.0)
    notches = 2 * 20.6 * 12.3
    assert 2 * volume(right).value / 6.0 == pytest.approx(band - inner - notches, rel=2e-3)


def test_stringers_notch_a_half_frame_only_where_they_meet_it():
    low, high = stringer(name="low", waterline="600 mm"), stringer(name="high", waterline="980 mm")
    bare, notched = (volume(made(frame(top="700 mm"), *more)).value for more in ((), (low, high)))
    only = volume(made(frame(top="700 mm"), low)).value
    assert notched == pytest.approx(only, rel=1e-9)
    assert (bare - only) / 12.0 == pytest.approx(20.6 * 12.3, rel=0.05)


@pytest.mark.parametrize("tilt", [-12.0, 20.0])
def test_a_leaning_half_frame_is_cut_at_its_front_face(tilt):
    solid = made(frame(tilt=f"{tilt} deg", top="900 mm"))
    lean = math.radians(tilt)
    front = bounding_box(solid).high[2]
    # Square to the sheet the aft face ends lower where the top leans aft, else higher.
    assert front == pytest.approx(900.0 - min(0.0, 6.0 * math.sin(lean)), abs=1e-3)
    area = segment(900.0 - 3.0 * math.sin(lean)) / math.cos(lean)
    assert volume(solid).value == pytest.approx(6.0 * area, rel=1e-4)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"top": "300 mm"}, "leaves nothing of it: its sheet reaches from WL 404.5 to 1195.5 mm"),
        ({"bottom": "1300 mm"}, "leaves nothing of it"),
        ({"top": "1300 mm"}, "leaves it whole"),
        ({"top": "440 mm", "bottom": "420 mm", "width": "50 mm"}, "in 1 pieces, not in 2"),
        ({"under": "wing"}, "the wing, from STA .* does not cross it: top gives the height"),
    ],
)
def test_a_half_frame_that_can_not_be_is_refused_by_name(fields, words):
    with pytest.raises(GeometryError, match=words) as caught:
        made(frame(**{"station": "400 mm", **fields}))
    assert caught.value.part == "frame_one"
    assert "frames.0" in caught.value.look_at


def test_an_opening_that_a_straight_cut_meets_is_refused():
    hole = {"use": "tank", "waterline": "690 mm", "diameter": "60 mm"}
    for waterline, words in ((690, "is partly cut away"), (760, "is cut away")):
        with pytest.raises(GeometryError, match=words):
            made(frame({**hole, "waterline": f"{waterline} mm"}, top="700 mm"))
    whole, pierced = (
        volume(made(frame(*rows, top="700 mm"))).value
        for rows in ((), ({**hole, "waterline": "600 mm"},))
    )
    assert (whole - pierced) / 6.0 == pytest.approx(math.pi * 30**2, rel=1e-5)
