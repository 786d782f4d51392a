"""Wakes: where they begin, what they skip, what they part."""

import numpy as np
import pytest
from air_bodies import body, plain_wing, winged_pod

from geomgen.air.potential.hidden import inside
from geomgen.air.potential.panels import NOBODY, together
from geomgen.air.potential.wakes import felt, parted, wake
from geomgen.errors import GeometryError

AFT = np.array([1.0, 0.0, 0.0])


def test_a_wing_alone_has_a_piece_a_strip() -> None:
    trail = wake(plain_wing(12, 6), AFT)
    assert len(trail) == len(trail.corners) == 6
    assert not trail.carried.any()
    assert np.ptp(trail.corners[:, :, 2]) == 0.0


def test_no_wake_without_a_trailing_edge() -> None:
    trail = wake(body(6, 6), AFT)
    assert len(trail) == 0
    assert felt(trail, np.zeros((3, 3)), True).shape == (3, 0)


def test_no_piece_lies_in_a_body_and_they_close_behind_it() -> None:
    panels = winged_pod(16, 8, 16)
    trail = wake(panels, AFT)
    assert not inside(panels, trail.corners.mean(axis=1)).any()
    # Behind the pod, which ends at 2,500 mm, the wake is whole from the plane of symmetry on.
    behind = trail.corners[trail.corners[:, :, 0].max(axis=1) > 1e4]
    assert sorted(behind[:, 0, 1].round(6)) == pytest.approx(trail.ends[:, 0, 1])
    assert behind[:, 0, 0].max() < 3000.0


def test_a_strip_above_is_felt_as_half_of_all_directions() -> None:
    trail = wake(plain_wing(12, 6), AFT)
    middle = trail.ends[2].mean(axis=0) + 20000.0 * AFT
    points = middle + np.array([[0.0, 0, 1e-2], [0, 0, -1e-2], [0, 0, 0]])
    seen = felt(trail, points, True)
    assert seen[:, 2] == pytest.approx([0.5, -0.5, 0.0], abs=1e-3)


def test_panels_on_both_sides_of_a_wake_are_parted() -> None:
    panels = winged_pod(16, 8, 16)
    between = parted(panels, wake(panels, AFT))
    who, line, side = np.nonzero(between)
    assert len(who)
    there = panels.spots[panels.neighbours[who, line, side]]
    assert (panels.spots[who, 2] * there[:, 2] < 0).all()
    assert (panels.spots[who, 0] > 1290.0).all()


def test_a_wing_that_is_hidden_as_a_whole_is_refused() -> None:
    wing = plain_wing(12, 6)
    keep = np.ones(len(wing), dtype=bool)
    keep[wing.edges.first] = False
    panels = together([wing.kept(keep), body(6, 6, name="pod")])
    assert (panels.edges.first == NOBODY).all()
    with pytest.raises(GeometryError, match="wing: the whole trailing edge is hidden"):
        wake(panels, AFT)
