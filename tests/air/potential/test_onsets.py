"""Onsets at strength 1."""

import numpy as np
import pytest

from geomgen.air.potential.onsets import AFT, UP, Pitching


def test_streams() -> None:
    points = np.ones((2, 3))
    assert (AFT.at(points) == [1.0, 0.0, 0.0]).all()
    assert (UP.at(points) == [0.0, 0.0, 1.0]).all()


def test_pitching_nose_up_meets_the_tail_from_below() -> None:
    """Minus omega cross r: 1 m behind, and 1 m above where it turns."""
    pitch = Pitching("pitch", (500.0, 0.0, 100.0))
    points = np.array([[1500.0, 300.0, 100.0], [500.0, -300.0, 1100.0]])
    assert pitch.at(points) == pytest.approx(np.array([[0.0, 0.0, 1.0], [-1.0, 0.0, 0.0]]))
    turn = np.cross([0.0, 1.0, 0.0], points - [500.0, 0.0, 100.0]) / 1000.0
    assert pitch.at(points) == pytest.approx(-turn)
