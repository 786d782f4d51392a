"""Speeds are the slopes of potentials; what is compiled is kept where it can be."""

import numba
import numpy as np
import pytest
from air_bodies import plain_wing, winged_pod

from geomgen.air.potential import kernels
from geomgen.air.potential.influence import potentials
from geomgen.air.potential.onsets import AFT, UP
from geomgen.air.potential.solution import solved
from geomgen.air.potential.wakes import felt


def test_speeds_are_slopes_of_potentials() -> None:
    panels = winged_pod(12, 6, 12)
    flow = solved(panels, [AFT, UP]).flow({"aft": 1.0, "up": 0.1})
    points = np.array([[600.0, 900.0, 400.0], [1500.0, 2000.0, 200.0], [-1700.0, 50.0, 300.0]])
    step = 0.05

    def potential(at):
        doublets, sources = potentials(panels, at, flow.sources[:, None])
        strips = felt(flow.wake, at, True) @ flow.jumps
        return doublets @ flow.doublets + sources[:, 0] + strips

    found = flow.at(points) - flow.onset[0]
    for axis in range(3):
        off = step * np.eye(3)[axis]
        slope = (potential(points + off) - potential(points - off)) / (2 * step)
        assert found[:, axis] == pytest.approx(slope, abs=4e-4)


def test_nothing_flows_through_a_wing_near_its_skin() -> None:
    wing = plain_wing(40, 10)
    flow = solved(wing, [AFT, UP]).flow({"aft": 1.0, "up": 0.05})
    middle = np.flatnonzero((np.abs(wing.spots[:, 1] - 1500) < 400) & (wing.spots[:, 0] > 200))
    middle = middle[wing.spots[middle, 0] < 1000]
    out = 0.4 * np.sqrt(wing.areas[middle])
    there = flow.at(wing.centres[middle] + out[:, None] * wing.normals[middle])
    assert np.abs((there * wing.normals[middle]).sum(axis=1)).max() < 0.06
    assert np.linalg.norm(there, axis=1) == pytest.approx(flow.speed[middle], abs=0.09)


def test_without_a_place_to_keep_it_a_function_is_compiled_all_the_same(monkeypatch) -> None:
    real = numba.njit

    def nowhere(*given, cache=False, **further):
        if cache:
            raise RuntimeError("cannot cache function: no locator available")
        return real(*given, **further)

    monkeypatch.setattr(kernels.numba, "njit", nowhere)
    assert kernels.compiled(lambda x: 2.0 * x)(3.0) == 6.0
