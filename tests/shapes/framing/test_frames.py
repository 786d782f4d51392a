"""Frames against closed forms of ellipses: full, open rings, openings, notches, leaning ones."""

import math

import numpy as np
import pytest
import trimesh
from framed_pods import (
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
