"""Evenness: the centred discrepancy of a sample against that of plain random points (scipy.qmc)."""

import numpy as np
import pytest
from scipy.stats import qmc

from geomgen.errors import ParameterError
from geomgen.studies.samples import design_of, sample, shares
from geomgen.studies.vary import varies_of

TABLES = {"firewall": {}, "rules": {}, "pod": {}}
RANGES = ["firewall.station=1.8m:2m", "firewall.tilt=-3deg:3deg", "pod.wall=3mm:6mm"]


@pytest.mark.parametrize("many", [32, 50])
def test_a_sample_fills_the_ranges_better_than_chance(many):
    varies = varies_of(RANGES, TABLES, sampled=True)
    rows = [[value.number for value in variant.values] for variant in sample(varies, many, 3)]
    unit = qmc.scale(np.array(rows), [1800, -3, 3], [2000, 3, 6], reverse=True)
    assert len(rows) == many
    chance = [qmc.discrepancy(np.random.default_rng(s).random((many, 3))) for s in range(20)]
    assert qmc.discrepancy(np.clip(unit, 0, 1)) < 0.5 * min(chance) + 1e-4 or qmc.discrepancy(
        np.clip(unit, 0, 1)
    ) < np.quantile(chance, 0.05)


def test_the_seed_decides():
    varies = varies_of(RANGES, TABLES, sampled=True)
    assert sample(varies, 20, 7) == sample(varies, 20, 7)
    assert sample(varies, 20, 7) != sample(varies, 20, 8)


def test_values_stay_within_and_carry_their_unit():
    varies = varies_of(["firewall.station=72in:73in"], TABLES, sampled=True)
    for variant in sample(varies, 64):
        value = variant.values[0]
        assert 72 * 25.4 <= value.number <= 73 * 25.4
        assert value.text.endswith("in")
        assert len(value.text) < 14


def test_sobol_is_balanced_at_powers_of_two():
    """Each half of each key holds half the points: the defining property of a (t, m, s)-net."""
    points = np.array(shares(2, 64, 5))
    assert ((points < 0.5).sum(axis=0) == 32).all()
    assert (design_of(64), design_of(63)) == ("Sobol", "Halton")


def test_words_are_drawn_evenly_and_twins_count_once():
    texts = ["rules.clearances=CS 22.925,14 CFR 23.925", "pod.wall=3mm,4mm"]
    rows = sample(varies_of(texts, TABLES, sampled=True), 64)
    assert len(rows) == 4
    assert [variant.number for variant in rows] == [1, 2, 3, 4]


def test_a_seed_below_nought_is_refused():
    with pytest.raises(ParameterError, match="not a seed") as refused:
        sample(varies_of(RANGES, TABLES, sampled=True), 4, -1)
    assert (refused.value.file, refused.value.exit_code) == ("--seed", 2)


@pytest.mark.parametrize("many", [0, -1, 10**6])
def test_sizes_out_of_reason_are_refused(many):
    with pytest.raises(ParameterError):
        sample(varies_of(RANGES, TABLES, sampled=True), many)
