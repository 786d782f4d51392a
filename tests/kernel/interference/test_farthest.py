"""The farthest place on triangles: closed forms (DERIVED), and a search given up says so."""

import numpy as np
import pytest

from geomgen.kernel.interference import farthest as searching
from geomgen.kernel.interference.farthest import farthest
from geomgen.kernel.meshes.search import MeshSearch

FLAT = np.array([[[-90.0, -90.0, 0.0], [180.0, -90.0, 0.0], [-90.0, 180.0, 0.0]]])


def test_the_middle_between_two_planes_is_farthest() -> None:
    """A strip across from z = 1 to z = 9, planes at 0 and 10: 5 is the most, in no corner of it."""
    strip = np.array([[[0.0, 0.0, 1.0], [8.0, 0.0, 9.0], [8.0, 1.0, 9.0]]])
    found = farthest(
        strip, MeshSearch(np.concatenate([FLAT, FLAT + np.array([0.0, 0.0, 10.0])])), 0.01
    )
    assert found.distance == pytest.approx(5.0, abs=0.01)
    assert found.distance <= 5.0 <= found.at_most
    assert np.linalg.norm(found.at - found.foot) == pytest.approx(found.distance, abs=1e-9)


def test_a_search_given_up_says_what_it_could_not_exclude(monkeypatch) -> None:
    monkeypatch.setattr(searching, "MOST", 4)
    strip = np.array([[[0.0, 0.0, 1.0], [8.0, 0.0, 9.0], [8.0, 1.0, 9.0]]])
    found = farthest(
        strip, MeshSearch(np.concatenate([FLAT, FLAT + np.array([0.0, 0.0, 10.0])])), 0.01
    )
    assert found.at_most - found.distance > 0.05
    assert found.at_most >= 5.0
