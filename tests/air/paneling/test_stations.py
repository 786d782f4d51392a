"""Grids on long bodies against closed forms: ellipsoids, cylinders, cones."""

import numpy as np
import pytest
from plain_machines import HALF_LONG, HALF_WIDE, RIM, box, ellipsoid, lofted, mirrored, pod

from geomgen.air.paneling.stations import TAIL_ROWS, long_body, ring, spread
from geomgen.air.potential.grids import grid
from geomgen.errors import GeometryError

AXES = np.array([1500.0, 300.0, 400.0])


def off(points, axes=AXES):
    """Return how far points lie off an ellipsoid, over its size there."""
    return np.abs(np.linalg.norm(points / axes, axis=-1) - 1.0)


def volume(panels):
    """Return the volume [mm3] that panels enclose, of both halves."""
    return 2 * float(panels.areas @ np.einsum("nd,nd->n", panels.centres, panels.normals)) / 3


def test_stations_crowd_to_both_ends_alike():
    found = spread(10.0, 30.0, 20)
    steps = np.diff(found)
    assert (found[0], found[-1]) == (10.0, 30.0)
    assert steps == pytest.approx(steps[::-1])
    assert (np.diff(steps[:10]) > 0).all()


def test_half_of_an_ellipsoid_lies_on_it():
    points = long_body([ellipsoid(AXES)], 24, 8, half=True)
    # The icosphere's own triangles lie 1.1 thousandths inside.
    assert off(points).max() < 2e-3
    assert points[..., 1].min() == 0.0
    assert (points[0] == points[0, 0]).all()
    assert (points[-1] == points[-1, 0]).all()
    assert points[1:-1, 0, 2] == pytest.approx(-points[1:-1, -1, 2], abs=1.5)
    assert (points[1:-1, 0, 2] > 0).all()
    middle = points[len(points) // 2]
    assert np.linalg.norm(np.diff(middle, axis=0), axis=1) == pytest.approx(
        np.full(8, np.linalg.norm(np.diff(middle, axis=0), axis=1).mean()), rel=0.02
    )


@pytest.mark.parametrize(("along", "around", "share"), [(24, 8, 0.04), (60, 24, 0.006)])
def test_panels_hold_the_ellipsoids_volume_with_normals_outward(along, around, share):
    panels = grid("pod", long_body([ellipsoid(AXES)], along, around, half=True))
    whole = 4 / 3 * np.pi * AXES.prod()
    assert 1 - share < volume(panels) / whole < 1.0
    outward = panels.centres / AXES**2
    outward /= np.linalg.norm(outward, axis=1)[:, None]
    assert np.einsum("nd,nd->n", outward, panels.normals).min() > 0.85


def test_whole_body_beside_the_plane_is_drawn_all_round():
    panels = grid("boom", long_body([ellipsoid(AXES, (0.0, 900.0, 50.0))], 24, 16, half=False))
    centred = panels.centres - np.array([0.0, 900.0, 50.0])
    held = float(panels.areas @ np.einsum("nd,nd->n", centred, panels.normals)) / 3
    assert 0.95 < held / (4 / 3 * np.pi * AXES.prod()) < 1.0


def test_several_meshes_are_one_body():
    halves = [box((0, -50, -40), (300, 50, 40)), box((300, -50, -40), (500, 50, 40))]
    points = long_body(halves, 20, 8, half=True)
    assert (points[..., 0].min(), points[..., 0].max()) == (0.0, 500.0)
    assert points[2:-2, :, 1].max() == pytest.approx(50.0)


def test_hollow_and_notch_are_drawn_shut():
    """The outermost ring: the body that a wing's cut-out leaves is as whole as before."""
    turn = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)
    wavy = 100.0 - 30.0 * np.exp(-((np.degrees(turn) - 90.0) ** 2) / 200.0)
    flat = np.c_[wavy * np.sin(turn), wavy * np.cos(turn)]
    drawn = ring(flat, 40, half=True)
    assert np.linalg.norm(drawn, axis=1).min() > 90.0
    assert drawn[0] == pytest.approx([0.0, 100.0])
    assert drawn[-1] == pytest.approx([0.0, -100.0])


def test_blunt_nose_gets_rows_across_it():
    cylinder = lofted(
        [
            [(x, 200 * np.sin(t), 200 * np.cos(t)) for t in np.linspace(0, 2 * np.pi, 60, False)]
            for x in (0.0, 1000.0)
        ]
    )
    points = long_body([cylinder], 20, 8, half=True)
    radii = np.linalg.norm(points[:5, :, 1:], axis=2).mean(axis=1)
    # The chords of 60 and the 8 steps along them lie a little inside.
    assert radii == pytest.approx(np.array([0.0, 50.0, 100.0, 150.0, 200.0]), rel=0.01)
    assert np.ptp(points[:5, :, 0]) < 1.0


def slope_at_the_rim(points):
    """Return the slopes of the crown ahead of the rim and just behind it."""
    crown = points[:, 0]
    last = len(crown) - 1 - TAIL_ROWS
    before, after = crown[last] - crown[last - 1], crown[last + 1] - crown[last]
    return before[2] / before[0], after[2] / after[0]


def test_drawn_tail_leaves_the_rim_in_the_skins_slope():
    points = long_body([pod()], 60, 16, half=True, open_behind=True)
    skin = -HALF_WIDE / HALF_LONG * (RIM / HALF_LONG) / np.sqrt(1 - (RIM / HALF_LONG) ** 2)
    before, after = slope_at_the_rim(points)
    assert before == pytest.approx(skin, rel=0.05)
    # The tail's own curve turns a little within its first row.
    assert after == pytest.approx(skin, rel=0.25)
    assert points[-1 - TAIL_ROWS, 0, 0] == pytest.approx(RIM, abs=1.0)
    radii = np.linalg.norm(points[-1 - TAIL_ROWS :, :, 1:], axis=2).mean(axis=1)
    assert (np.diff(radii) < 0).all()
    assert radii[-1] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("slope", [0.08, 0.12, 0.2])
def test_drawn_tail_goes_on_in_the_slope_of_a_cone(slope):
    """Gentle enough that neither the shortest nor the longest tail is drawn."""
    ends = ((0.0, 10.0), (300.0, 320.0), (1300.0, 320.0 - 1000.0 * slope))
    cone = lofted(
        [
            [(x, r * np.sin(t), r * np.cos(t)) for t in np.linspace(0, 2 * np.pi, 60, False)]
            for x, r in ends
        ]
    )
    before, after = slope_at_the_rim(long_body([cone], 60, 16, half=True, open_behind=True))
    assert before == pytest.approx(-slope, rel=0.02)
    assert after == pytest.approx(-slope, rel=0.1)


def test_tail_of_a_hull_with_level_sides_is_long_but_ends():
    tube = lofted(
        [
            [(x, r * np.sin(t), r * np.cos(t)) for t in np.linspace(0, 2 * np.pi, 60, False)]
            for x, r in ((0.0, 10.0), (300.0, 200.0), (1000.0, 200.0))
        ]
    )
    usual, longer = (
        np.ptp(long_body([tube], 30, 8, True, open_behind=True, tail=t)[..., 0]) - 1000.0
        for t in (1.0, 2.0)
    )
    assert usual == pytest.approx(8 * 200.0, rel=0.02)
    assert longer == pytest.approx(2 * usual, rel=1e-3)


def test_left_body_is_no_right_half():
    left = mirrored(box((0.0, 20.0, -50.0), (400.0, 90.0, 50.0)))
    with pytest.raises(GeometryError, match="does not reach the plane of symmetry"):
        long_body([left], 10, 8, half=True)


def test_line_has_no_area():
    with pytest.raises(GeometryError, match="no area"):
        ring(np.array([[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]), 8, half=False)


@pytest.mark.parametrize("seed", range(12))
def test_a_ring_begins_at_the_same_one_of_two_corners_as_high(seed):
    corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) * 80.0
    moved = corners * (1.0 + 1e-8 * np.random.default_rng(seed).uniform(-1, 1, corners.shape))
    found = ring(moved, 8, half=False)
    assert found == pytest.approx(ring(corners, 8, half=False), abs=1e-5)
    assert found[0] == pytest.approx([-80.0, 80.0], abs=1e-5)
