"""Zones of bend angles against all ways there are to divide a few tabs."""

from itertools import combinations

import numpy as np
import pytest

from geomgen.shops.sheet_metal.flat_pattern.bend_zones import STEP, angles_in, zones_of


@pytest.mark.parametrize("many", [1, 2, 3, 4])
@pytest.mark.parametrize("seed", range(6))
def test_spread_is_the_least_of_all_divisions(many, seed) -> None:
    """Every division of the sorted angles into so many runs is tried."""
    ideal = np.random.default_rng(seed).uniform(85.0, 105.0, 9)
    rising = np.sort(ideal)
    best = min(
        max(np.ptp(run) for run in np.split(rising, list(cuts)))
        for cuts in combinations(range(1, len(rising)), many - 1)
    )
    found = angles_in(ideal, many)
    assert len(set(found)) <= many
    assert np.abs(found - ideal).max() <= best / 2 + STEP / 2 + 1e-6
    assert np.allclose(found / STEP, np.round(found / STEP))


def test_one_angle_is_enough_for_equal_tabs() -> None:
    assert set(angles_in(np.full(12, 97.9), 4)) == {98.0}


def test_zones_hold_every_tab_once() -> None:
    zones = zones_of([90.0, 95.0, 90.0, 100.0])
    assert [zone.name for zone in zones] == ["A", "B", "C"]
    assert sorted(n for zone in zones for n in zone.tabs) == [1, 2, 3, 4]
