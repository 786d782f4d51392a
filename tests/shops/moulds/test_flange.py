"""Flanges against the closed form of a rounded rectangle with flats and drilled holes."""

from math import acos, pi, sqrt

import numpy as np
import pytest
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_Plane
from shapely.geometry import LineString, Point
from shops.moulds.plain_moulds import LENGTH, RADIUS, cylinder_pod, with_mould

from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import faces_of
from geomgen.kernel.solids.properties import bounding_box, volume
from geomgen.kernel.solids.validity import require_valid
from geomgen.shops.moulds import flange
from geomgen.shops.moulds.flange import board, plan, spread
from geomgen.shops.moulds.outline import outline, sheet_of
from geomgen.shops.moulds.split import halves, split_of

WIDTH, THICK, DOWEL = 60.0, 12.0, 8.0


def made(saltmarsh, rise=0.0, **fields):
    wanted = {"flange": WIDTH, "flange_thickness": THICK, "dowel_diameter": DOWEL}
    p, mould = with_mould(cylinder_pod(saltmarsh, rise), **{**wanted, **fields})
    split = split_of(p, mould, 0.0, mould.flange)
    first = halves(p, mould, 0.0)[0]
    drawn = plan(p, mould, split, outline(p, mould, 0.0, first, sheet_of(split)))
    return mould, split, drawn


def segment(radius, depth):
    """Return the area of a circle's segment (closed form)."""
    return radius**2 * acos(1 - depth / radius) - (radius - depth) * sqrt(
        2 * radius * depth - depth**2
    )


def ring_area(dowels):
    flat = 0.1 * WIDTH
    whole = (LENGTH + 2 * WIDTH) * (2 * RADIUS + 2 * WIDTH) - (4 - pi) * WIDTH**2
    flats = flat * (LENGTH + 2 * RADIUS) + 2 * segment(WIDTH, flat)
    return whole - flats - LENGTH * 2 * RADIUS - dowels * pi / 4 * DOWEL**2


def test_a_plane_flange_has_the_volume_of_its_ring(saltmarsh):
    mould, split, drawn = made(saltmarsh)
    solid = board(mould, split, drawn)
    require_valid(solid, "pod", "flange")
    assert volume(solid).value == pytest.approx(THICK * ring_area(len(drawn.dowels)), rel=2e-5)
    box = bounding_box(solid)
    assert (box.low[1], box.high[1]) == pytest.approx((-THICK, 0.0), abs=1e-6)


def test_dowels_are_drilled_through(saltmarsh):
    mould, split, drawn = made(saltmarsh)
    thin, _, _ = made(saltmarsh, dowel_diameter=4.0)
    more = volume(board(thin, split, drawn)).value - volume(board(mould, split, drawn)).value
    assert more == pytest.approx(len(drawn.dowels) * pi / 4 * (64 - 16) * THICK, rel=1e-6)


def test_dowels_stand_in_the_middle_of_the_flange_and_near_enough(saltmarsh):
    _, _, drawn = made(saltmarsh, dowel_pitch=150.0)
    rectangle = LineString([(0, -100), (800, -100), (800, 100), (0, 100), (0, -100)])
    off = [rectangle.distance(Point(*at)) for at in drawn.dowels]
    assert off == pytest.approx([WIDTH / 2] * len(off), abs=0.05)
    apart = np.linalg.norm(drawn.dowels - np.roll(drawn.dowels, 1, axis=0), axis=1)
    assert apart.max() <= 150.0
    assert drawn.pitch <= 150.0


def test_a_bent_flange_follows_the_line_that_it_parts_on(saltmarsh):
    mould, split, drawn = made(saltmarsh, rise=0.2, split="maximum breadth")
    solid = board(mould, split, drawn)
    require_valid(solid, "pod", "flange")
    # A straight rise needs one plane; in plan it is the same ring, its thickness upright.
    dowels = len(drawn.dowels)
    assert drawn.near > 0
    assert volume(solid).value == pytest.approx(THICK * drawn_area(drawn, dowels), rel=1e-4)
    # It goes on rising for a tenth of what the sheet reaches past the pod (the width and 20 mm).
    rise = 0.2 * (LENGTH + 2 * 0.1 * (WIDTH + 20))
    box = bounding_box(solid)
    assert box.high[2] - box.low[2] == pytest.approx(rise + THICK, abs=1e-3)


def drawn_area(drawn, dowels):
    return drawn.outer.area - LENGTH * 2 * RADIUS - dowels * pi / 4 * DOWEL**2


def test_two_datum_flats_square_to_each_other_and_to_the_split(saltmarsh):
    mould, split, drawn = made(saltmarsh)
    found = []
    for face in faces_of(board(mould, split, drawn)):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Plane:
            way, at = surface.Plane().Axis().Direction(), surface.Plane().Location()
            found.append((way, at))
    aft = [at.X() for way, at in found if abs(abs(way.X()) - 1) < 1e-9]
    low = [at.Z() for way, at in found if abs(abs(way.Z()) - 1) < 1e-9]
    assert max(aft) == pytest.approx(LENGTH + 0.9 * WIDTH, abs=1e-6)
    assert min(low) == pytest.approx(-RADIUS - 0.9 * WIDTH, abs=1e-6)
    # The flat is the straight side and two half chords of the corners (closed form).
    chords = 2 * sqrt(WIDTH**2 - (0.9 * WIDTH) ** 2)
    assert drawn.flat_lengths() == pytest.approx((2 * RADIUS + chords, LENGTH + chords), abs=0.2)


def test_a_flange_too_narrow_for_its_dowels_is_refused(saltmarsh):
    with pytest.raises(GeometryError) as error:
        made(saltmarsh, flange=15.0)
    assert error.value.look_at == ["handoff.moulds.0.flange", "handoff.moulds.0.dowel_diameter"]


def test_a_board_that_does_not_hold_its_volume_is_caught(saltmarsh, monkeypatch):
    from geomgen.kernel.solids.properties import Integral

    mould, split, drawn = made(saltmarsh)
    monkeypatch.setattr(flange, "area", lambda face: Integral(1.0, 0.0))
    with pytest.raises(GeometryError, match="volume"):
        board(mould, split, drawn)


@pytest.mark.parametrize(("length", "pitch"), [(100.0, 1000.0), (3000.0, 250.0), (3000.0, 60.0)])
def test_dowels_are_three_at_least_and_one_stands_off(length, pitch):
    side = length / 4
    ring = LineString([(0, 0), (side, 0), (side, side), (0, side), (0, 0)])
    found, largest = spread(ring, pitch, DOWEL)
    at = np.sort([ring.project(Point(*q)) for q in found])
    gaps = np.diff([*at, at[0] + length])
    assert len(found) >= 3
    assert gaps.max() == pytest.approx(largest)
    assert largest <= pitch
    assert gaps.max() - gaps.min() > 1.0


def starts(monkeypatch, shifts):
    """Return in how many wrong ways the dowels of an ellipse fit, wherever its line begins."""
    monkeypatch.setattr(flange, "SHIFTS", shifts)
    turn = np.linspace(0.0, 2 * np.pi, 401)
    found = []
    for begin in np.linspace(0.0, np.pi, 80):
        ring = np.stack([300 * np.cos(turn + begin), 120 * np.sin(turn + begin)], axis=-1)
        dowels, largest = spread(LineString(ring), 520.0, DOWEL)
        assert largest <= 520.0
        found.append(flange.fits(dowels, DOWEL))
    return found


def test_dowels_fit_in_one_way_wherever_the_outline_begins(monkeypatch):
    """Three dowels may stand in an isosceles triangle by chance: then others are tried."""
    wanted = flange.SHIFTS
    assert max(starts(monkeypatch, (0.0,))) > 0
    assert max(starts(monkeypatch, wanted)) == 0
