"""Onsets at strength 1."""

import numpy as np

from geomgen.air.potential.onsets import AFT, UP


def test_streams() -> None:
    points = np.ones((2, 3))
    assert (AFT.at(points) == [1.0, 0.0, 0.0]).all()
    assert (UP.at(points) == [0.0, 0.0, 1.0]).all()
