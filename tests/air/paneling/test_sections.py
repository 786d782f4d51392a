"""Grids on wings and struts against the sections that they were made from."""

import numpy as np
import pytest
from plain_machines import CHORD, HALF_SPAN, box, lofted, naca, wing

from geomgen.air.paneling.sections import SpanStretch, lifting_surface, section
from geomgen.air.potential.grids import closed, grid, lid
from geomgen.air.potential.panels import together
from geomgen.errors import GeometryError
from geomgen.kernel.second_library import hull_of

SPAN = SpanStretch(1, 0.0, HALF_SPAN)


def half_thickness(share, thickness=0.12):
    """Return the half thickness [1] of the four-digit section at shares of the chord."""
    coefficients = (0.2969, -0.1260, -0.3516, 0.2843, -0.1036)
    powers = (np.sqrt(share), share, share**2, share**3, share**4)
    return 5 * thickness * sum(c * p for c, p in zip(coefficients, powers, strict=True))


def drawn(mesh, cut=(), span=SPAN, start=0.0, around=12, across=10):
    return lifting_surface([mesh], span, cut, around, across, start=start)


def test_outline_runs_from_the_trailing_edge_below_forward_and_back_above():
    loop = section([hull_of(wing())], 1, 1000.0, 12)
    assert loop.shape == (25, 3)
    assert loop[:, 1] == pytest.approx(np.full(25, 1000.0))
    assert loop[0] == pytest.approx(loop[-1])
    assert (loop[0, 0], loop[12, 0]) == pytest.approx((500.0, -300.0), abs=0.5)
    assert (loop[1:12, 2] < 500.0).all()
    assert (loop[13:24, 2] > 500.0).all()


def test_points_lie_on_the_section():
    points = drawn(wing())
    share = np.clip((points[..., 0] + 300.0) / CHORD, 0.0, 1.0)
    off = np.abs(points[..., 2] - 500.0) - CHORD * half_thickness(share)
    # The mesh has 40 chords a side; at the nose it lies inside the curve by a little more.
    assert np.abs(off).max() < 1.2


def test_spanwise_stations_crowd_at_the_tip_and_reach_both_ends():
    y = drawn(wing())[0, :, 1]
    assert (y[0], y[-1]) == pytest.approx((0.0, HALF_SPAN))
    steps = np.diff(y)
    assert (np.diff(steps) < 0).all()


def test_taper_is_followed():
    points = drawn(wing(tip=0.5))
    y, chords = points[0, :, 1], np.ptp(points[..., 0], axis=0)
    assert chords == pytest.approx(CHORD * (1 - 0.5 * y / HALF_SPAN), rel=2e-3)


def test_part_cut_by_a_boom_is_drawn_straight_through():
    """What lies in the stretch that the boom cuts is not looked at, however it is cut."""
    whole, low, high = wing(tip=0.6), 1150.0, 1400.0
    rings = []
    stations = np.linspace(0.0, HALF_SPAN, 30)
    stations = stations[(stations < low) | (stations > high)]
    lines = np.r_[-HALF_SPAN, stations, low, low + 1e-3, high, high + 1e-3]
    for y in np.sort(lines).tolist():
        # Between the two the section lacks all that lies ahead of the middle.
        c = CHORD * (1 - 0.4 * abs(y) / HALF_SPAN)
        section_ = naca(0.12).copy()
        if low < y <= high:
            section_[:, 0] = 0.5 + 0.5 * section_[:, 0]
        front = -300.0 + 0.25 * (CHORD - c)
        rings.append([(front + c * u, y, 500.0 + c * v) for u, v in section_])
    cut = drawn(lofted(rings), [(low - 5.0, high + 5.0)])
    assert cut == pytest.approx(drawn(whole), abs=0.6)
    assert np.abs(drawn(lofted(rings)) - drawn(whole)).max() > 100.0


def test_root_inside_the_pod_is_drawn_on_to_the_plane():
    points = drawn(wing(tip=0.6), [(0.0, 450.0)])
    assert points == pytest.approx(drawn(wing(tip=0.6)), abs=0.5)


def test_box_wing_and_its_lids_hold_its_volume():
    plank = box((0.0, -2000.0, -40.0), (500.0, 2000.0, 40.0))
    points = drawn(plank, span=SpanStretch(1, 0.0, 2000.0), around=20)
    # A box is blunt behind; the grid runs together in the middle of its end.
    parts = [grid("wing", points, trailing=True), lid("wing", points[:, -1])]
    panels = closed(together(parts))
    held = 2 * float(panels.areas @ np.einsum("nd,nd->n", panels.centres, panels.normals)) / 3
    assert held == pytest.approx(500 * 4000 * 80.0, rel=0.1)


def test_blunt_trailing_edge_is_closed_in_its_middle():
    blunt = naca(0.12)
    blunt[:, 1] += np.sign(blunt[:, 1]) * 0.004 * blunt[:, 0]
    blunt = np.r_[[[1.0, 0.004]], blunt[1:], [[1.0, -0.004]]]
    rings = [[(800 * u, y, 800 * v) for u, v in blunt] for y in (-2000.0, 0.0, 2000.0)]
    points = drawn(lofted(rings), span=SpanStretch(1, 0.0, 2000.0))
    assert points[0] == pytest.approx(points[-1])
    assert points[0, :, 2] == pytest.approx(np.zeros(11), abs=0.05)
    assert points[0, :, 0] == pytest.approx(np.full(11, 800.0))
    assert points[-2, :, 2].min() > 0


def test_plate_of_few_points_is_as_thick_right_to_its_blunt_end():
    flat = [(1.0, 0.005), (0.05, 0.005), (0.0, 0.0), (0.05, -0.005), (1.0, -0.005)]
    rings = [[(800 * u, y, 800 * v) for u, v in flat] for y in (-2000.0, 0.0, 2000.0)]
    points = drawn(lofted(rings), span=SpanStretch(1, 0.0, 2000.0))
    middle = (points[..., 0] > 60.0) & (points[..., 0] < 780.0)
    assert np.abs(points[middle][:, 2]) == pytest.approx(np.full(middle.sum(), 4.0), abs=0.1)
    assert (points[0, :, 0] > 799.0).all()


def test_strut_is_drawn_from_end_to_end():
    rings = [[(300 * u, 300 * v, z) for u, v in naca(0.15)] for z in (100.0, 300.0, 500.0)]
    points = drawn(lofted(rings), span=SpanStretch(2, 100.0, 500.0), start=None)
    assert (points[..., 2].min(), points[..., 2].max()) == pytest.approx((100.0, 500.0))
    assert points[..., 1].max() == pytest.approx(300 * 0.075, rel=0.02)


def test_two_pieces_are_no_section():
    both = [hull_of(box((x, -50.0, 0.0), (x + 100.0, 50.0, 10.0))) for x in (0.0, 300.0)]
    assert section(both, 1, 0.0, 8) is None
    assert section(both[:1], 1, 200.0, 8) is None


def test_wing_that_is_cut_everywhere_is_refused():
    with pytest.raises(GeometryError, match="no two cuts across the span are whole"):
        drawn(wing(), [(-1.0, HALF_SPAN + 1.0)])
