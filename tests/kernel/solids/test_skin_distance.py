"""Distances off skins, against closed forms of round bodies."""

import numpy as np
import pytest

from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.skin_distance import off_skin
from geomgen.shapes.hull import hull, pod_lines


def ring_of_points(radius, count=60):
    t = np.linspace(0.1, 6.2, count)
    away = np.stack([np.zeros_like(t), np.cos(t), np.sin(t)], axis=-1)
    return np.array([25.0, 0.0, 0.0]) + radius * away, away


def pipe():
    return cut(
        cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 103.0, 50.0),
        [cylinder((-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 52.0)],
        "pipe",
        "bore",
    )


def test_skin_that_looks_at_the_points_is_taken() -> None:
    points, away = ring_of_points(99.6)
    assert off_skin(pipe(), points, away, -1.0) == pytest.approx(0.4, abs=1e-9)
    assert off_skin(pipe(), points, away, 1.0) == pytest.approx(-3.4, abs=1e-9)


def test_points_that_stand_in_the_wall_are_negative() -> None:
    points, away = ring_of_points(100.15)
    assert off_skin(pipe(), points, away, -1.0) == pytest.approx(-0.15, abs=1e-9)


@pytest.mark.parametrize("dive", [5.0, 10.0, 20.0, 40.0])
@pytest.mark.parametrize("facing", [1.0, -1.0])
def test_floor_of_an_opening_cut_aslant_is_not_taken_for_the_skin(dive, facing) -> None:
    """A rod has one radius; the bore that dives into it has a floor that looks nearly its way."""
    turn = np.radians(dive)
    way = (np.cos(turn), 0.0, -np.sin(turn))
    rod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 400.0)
    start = (100.0, 0.0, 101.0 + 20.0 / np.cos(turn))
    bored = cut(rod, [cylinder(start, way, 20.0, 250.0)], "rod", "opening")
    x = np.linspace(20.0, 380.0, 400)
    points = np.c_[x, 0.0 * x, 0.0 * x + 99.5]
    away = np.tile([0.0, 0.0, facing], (len(x), 1))
    assert off_skin(bored, points, away, facing) == pytest.approx(-0.5, abs=1e-6)


def test_no_skin_near_by_is_said() -> None:
    points, away = ring_of_points(100.0)
    assert np.isnan(off_skin(pipe(), points + np.array([500.0, 0, 0]), away, 1.0)).all()


def test_pod_inside_stands_off_its_outside_by_the_wall(saltmarsh) -> None:
    """The wall is stated; the points lie on the outer lines, taken from the lines' own splines."""
    pod = pod_lines(saltmarsh)
    half = pod.half_section(1800.0)[3:-3]
    points = np.column_stack([np.full(len(half), 1800.0), half])
    way = np.gradient(half, axis=0)
    away = np.column_stack([np.zeros(len(half)), -way[:, 1], way[:, 0]])
    away /= np.linalg.norm(away, axis=1)[:, None]
    away *= np.sign(np.sum(away * (points - [1800.0, 0.0, 795.0]), axis=1))[:, None]
    solid = hull(saltmarsh, pod).solid
    assert off_skin(solid, points, away, 1.0) == pytest.approx(0.0, abs=1e-6)
    inner = off_skin(solid, points, away, -1.0)
    assert inner == pytest.approx(-saltmarsh.pod.wall, abs=0.01)


def test_a_long_skin_is_found_between_the_rows_of_its_grid_too() -> None:
    """A rod of 20 m has its rows 645 mm apart: none of them is near most places along it."""
    rod = cylinder((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 100.0, 20000.0)
    for station in np.linspace(40.0, 19950.0, 23):
        points, away = ring_of_points(103.0, 12)
        points[:, 0] = station
        assert off_skin(rod, points, away, 1.0) == pytest.approx(3.0, abs=1e-6)
