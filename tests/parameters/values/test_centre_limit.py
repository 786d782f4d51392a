"""Limits of the centre of gravity: three ways to write one, each with its source or without."""

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.values.centre_limit import CentreLimit, CentreLimitReader

READER = CentreLimitReader()


@pytest.mark.parametrize(
    ("written", "kind", "value"),
    [
        ("1540 mm", "station", 1540.0),
        ("60 in", "station", 1524.0),
        ("30 % chord", "chord", 0.3),
        ("-5% mean chord", "chord", -0.05),
        ("static margin 0.10", "static margin", 0.1),
        ({"value": "22.5 % chord", "source": "textbook"}, "chord", 0.225),
    ],
)
def test_it_is_read_and_written_back(written, kind, value):
    found = READER.read(written)
    assert (found.kind, found.value) == (kind, pytest.approx(value))
    assert READER.read(READER.write(found)) == found


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("30 %", "30 % chord"),
        (0.3, "30 % chord"),
        ("static margin 1.5", "static margin 0 to 1"),
        ("300 % chord", "-100 to 200 % chord"),
        ("99 m", "from -5 m to 15 m"),
        ({"source": "a"}, "30 % chord"),
        ({"value": "1 m", "sauce": "a"}, "value, source"),
    ],
)
def test_what_can_not_be_is_refused_with_what_is_allowed(written, words):
    with pytest.raises(ParameterError) as caught:
        READER.read(written)
    assert words in str(caught.value)


def test_a_limit_as_it_was_made_is_itself():
    limit = CentreLimit("chord", 0.3, "a")
    assert READER.read(limit) is limit
