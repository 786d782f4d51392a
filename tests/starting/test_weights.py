"""The estimate that places battery and wheels, against sums of its own."""

import pytest
from covering_choices import rows

from geomgen.starting import mass_tables, weights
from geomgen.starting.choices import choices_of
from geomgen.starting.proportions import Proportions


def proportions(**chosen: str) -> Proportions:
    return Proportions(choices_of("mine", "Mine", chosen))


ROWS = list(rows(("gear", "wing", "tail")))


def test_the_mean_chord_is_that_of_the_textbook() -> None:
    # Two trapezoids: 2/3 c (1 + t + t^2) / (1 + t) each, together by their areas.
    q = proportions()
    inner, taper = q.panel * q.chord, q.tip_chord / q.chord
    outer = (q.half_span - q.panel) * (q.chord + q.tip_chord) / 2
    mean = 2 / 3 * q.chord * (1 + taper + taper**2) / (1 + taper)
    assert q.mean_chord == pytest.approx((inner * q.chord + outer * mean) / (inner + outer))
    # The quarter points of all sections stand in one line.
    assert q.mean_edge + q.mean_chord / 4 == pytest.approx(q.leading_edge + q.chord / 4)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(row.values()))
def test_the_battery_brings_the_centre_where_it_should_be(row) -> None:
    q = proportions(**row)
    station = mass_tables.battery_station(q)
    rest = [
        *weights.fixed(q),
        *mass_tables.gear_weights(q),
        weights.pilot(q, weights.LIGHTEST),
        weights.Weight(weights.BALLAST, *weights.BALLAST_PLACE),
    ]
    battery = weights.Weight(mass_tables.BATTERY, station, 0.0)
    centre = weights.together([*rest, battery]).station
    assert 100 < station < q.firewall - 150
    # Where the battery can't go further aft the centre stays ahead, by less than the limit allows.
    most = q.firewall - mass_tables.OFF_FIREWALL
    assert centre == pytest.approx(
        weights.wanted(q), abs=1e-6 if station < most else 0.05 * q.chord
    )


def test_nothing_is_without_mass() -> None:
    q = proportions(scoops="all", wing="parasol")
    assert all(weight.mass > 0 for weight in weights.fixed(q))
    assert 110 < sum(weight.mass for weight in weights.fixed(q)) < 140
