"""Panels from grids: what lines do at their ends, what is refused."""

import numpy as np
import pytest
from air_bodies import body, ellipsoid, elliptic_wing, plain_wing, planform

from geomgen.air.potential.grids import closed, grid, lid
from geomgen.air.potential.panels import NOBODY
from geomgen.errors import GeometryError


def test_every_panel_of_a_half_ball_has_four_neighbours() -> None:
    ball = body(8, 6)
    assert (ball.neighbours != NOBODY).all()
    # Lines end on the plane of symmetry in their own mirror image.
    on_plane = ball.beyond[:, 1]
    assert (ball.neighbours[:, 1][on_plane] == np.nonzero(on_plane)[0]).all()
    assert on_plane.sum() == 2 * 8


def test_across_a_pole_lies_the_opposite_panel() -> None:
    ball = body(8, 6)
    first = np.flatnonzero(ball.turned[:, 0, 0])
    there = ball.spots[ball.neighbours[first, 0, 0]] * [1, -1, 1]
    assert there[:, 1:] == pytest.approx(-ball.spots[first][:, 1:])
    whole = body(8, 12, whole=True)
    first = np.flatnonzero(whole.turned[:, 0, 0])
    there = whole.spots[whole.neighbours[first, 0, 0]]
    assert there[:, 1:] == pytest.approx(-whole.spots[first][:, 1:])


def test_a_wings_lines_end_at_its_edges() -> None:
    wing, *_ = elliptic_wing(12, 6, 6.0, 0.1)
    for panels in (wing.edges.first, wing.edges.last):
        assert len(panels) == 6
    assert (wing.neighbours[wing.edges.first, 0, 0] == NOBODY).all()
    assert (wing.neighbours[wing.edges.last, 0, 1] == NOBODY).all()
    # No pole at the tip, where upper and lower side would be neighbours.
    assert wing.turned.sum() == 12


def test_a_blunt_trailing_edge_is_closed_in_its_middle() -> None:
    points = planform(12, 4, lambda s: 1000.0 + 0 * s, 2000.0, 0.12)
    points[0, :, 2] -= 4.0
    points[-1, :, 2] += 6.0
    made = grid("wing", points, trailing=True)
    assert made.edges.ends[..., 2] == pytest.approx(1.0)
    points[0, :, 2] -= 30.0
    with pytest.raises(GeometryError, match=r"open by 4\.0% of the chord, at most 2%"):
        grid("wing", points, trailing=True)


def test_a_grid_that_is_inside_out_is_refused() -> None:
    for points in (ellipsoid(6, 6)[::-1], ellipsoid(6, 6)[:, ::-1]):
        with pytest.raises(GeometryError, match="pod: the grid is inside out"):
            closed(grid("pod", points))
    wing = planform(12, 4, lambda s: 1000.0 + 0 * s, 2000.0, 0.12)
    with pytest.raises(GeometryError, match="inside out"):
        closed(grid("wing", wing[::-1], trailing=True))
    assert closed(grid("wing", wing, trailing=True))


def test_odd_grids_are_refused() -> None:
    points = ellipsoid(6, 6)
    with pytest.raises(GeometryError, match="at positive y; the grid reaches -1"):
        grid("pod", points * [1, -1, 1])
    with pytest.raises(GeometryError, match="two points or more"):
        grid("pod", points[:1])
    with pytest.raises(GeometryError, match="no numbers"):
        grid("pod", np.where(points > 0.9, np.nan, points))
    with pytest.raises(GeometryError, match="odd number"):
        lid("wing", points[:6, 3])


def test_a_lid_closes_a_wing() -> None:
    wing = plain_wing(12, 4)
    whole = (wing.areas[:, None] * wing.normals).sum(axis=0)
    assert np.abs(whole[[0, 2]]).max() < 1e-6 * wing.areas.sum()
    root = plain_wing(12, 4).corners[wing.corners[:, :, 1].max(axis=1) > 4499.0]
    assert len(root)
    # The hole at the plane of symmetry is as large as the lid.
    lids = np.abs(wing.normals[:, 1]) > 0.99
    assert whole[1] == pytest.approx(wing.areas[lids].sum())
