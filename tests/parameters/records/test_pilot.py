"""Lengths of people: in a believable order, as written before any table, their source said."""

from itertools import pairwise

import pytest

from geomgen.parameters.records.pilot import (
    FROM_MEMORY,
    PERCENTILES,
    SURVEY,
    Pilot,
    length_of,
    said_of_lengths,
)

PLACES = {
    "seat_station": "1 m", "seat_waterline": "400 mm", "hand_station": "700 mm",
    "hand_waterline": "600 mm", "pedal_station": "300 mm", "pedal_waterline": "500 mm",
}  # fmt: skip


def pilot(**more):
    return Pilot.model_validate(PLACES | more)


@pytest.mark.parametrize("key", SURVEY)
def test_rows_rise_and_the_middle_is_the_middle(key):
    """Published rows are all but normal: 5th and 95th as far from the 50th, to rounding."""
    for row in SURVEY[key]:
        assert all(a < b for a, b in pairwise(row))
        assert abs(row[0] + row[2] - 2 * row[1]) <= 10.0


def test_rows_agree_with_each_other():
    """What one person's lengths must obey holds in every column."""
    for who in (0, 1):
        for rank in range(3):
            one = {key: rows[who][rank] for key, rows in SURVEY.items()}
            assert one["shoulder_height"] < one["eye_height"] < one["sitting_height"]
            assert 100 <= one["sitting_height"] - one["eye_height"] <= 130
            assert one["knee_height"] < one["buttock_to_knee"]


@pytest.mark.parametrize("key", SURVEY)
def test_what_is_written_goes_before_the_percentile(key):
    own = pilot(percentile="95th man", **{key: f"{SURVEY[key][0][1]} mm"})
    assert length_of(own, key) == SURVEY[key][0][1]
    assert length_of(pilot(percentile="95th man"), key) == SURVEY[key][0][2]
    assert length_of(pilot(), key) is None


@pytest.mark.parametrize("who", PERCENTILES)
def test_every_percentile_says_what_is_from_memory(who):
    said = said_of_lengths(pilot(percentile=who))
    assert "from memory" in said
    assert "measure yourself" in said
    assert all(key in said for key in FROM_MEMORY[who.split()[1]])


def test_lengths_that_are_all_written_need_no_source():
    own = {key: f"{rows[0][1]} mm" for key, rows in SURVEY.items()}
    assert "from memory" not in said_of_lengths(pilot(percentile="50th man", **own))
