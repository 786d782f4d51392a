import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.values.place_values import Mouth
from geomgen.parameters.values.quantities import (
    ELLIPSE,
    Fullness,
    Matching,
    OneOf,
    SourcedLimit,
    Text,
    Threshold,
    Within,
    YesNo,
    clipped,
)

LENGTH = Within("length", "1 mm", "10 mm")


@pytest.mark.parametrize(("text", "value"), [("1 mm", 1.0), ("1 cm", 10.0), ("5 mm", 5.0)])
def test_limits_are_allowed(text, value):
    assert LENGTH.read(text) == value


@pytest.mark.parametrize("text", ["0.999 mm", "1.01 cm", "-5 mm", "1 m"])
def test_out_of_range_names_value_and_limits(text):
    with pytest.raises(ParameterError) as caught:
        LENGTH.read(text)
    assert caught.value.allowed == "from 1 mm to 10 mm"
    assert caught.value.written.startswith(text)


def test_out_of_range_shows_value_in_unit_of_limits():
    with pytest.raises(ParameterError, match=r"1 m \(1000 mm\)"):
        LENGTH.read("1 m")


@pytest.mark.parametrize(
    ("reader", "values"),
    [
        (LENGTH, [1.0, 10.0, 25.4 / 7]),
        (Within("fraction", "0", "2"), [0.0, 0.1, 2.0]),
        (SourcedLimit("mass", "0 kg", "9 kg"), [Threshold(0.1), Threshold(2.0, "own")]),
        (Fullness(), [ELLIPSE, 0.3, 0.85]),
        (Mouth(), ["at firewall", 1234.5]),
    ],
)
def test_what_is_written_reads_back(reader, values):
    for value in values:
        assert reader.read(reader.write(value)) == value


@pytest.mark.parametrize(
    ("value", "key"),
    [
        ({"value": "1 in", "sauce": "x"}, "sauce"),
        ({"source": "x"}, "value"),
        ({"value": "1"}, "value"),
        ({"value": "1 in", "source": 3}, "source"),
        ({"value": "1 in", "source": ""}, "source"),
    ],
)
def test_threshold_table_names_the_key_inside(value, key):
    with pytest.raises(ParameterError) as caught:
        SourcedLimit("length", "0 mm", "1 m").read(value)
    assert caught.value.key == key


@pytest.mark.parametrize(
    ("reader", "value"),
    [
        (Fullness(), 0.29),
        (Fullness(), 0.86),
        (Fullness(), "round"),
        (Fullness(), True),
        (Fullness(), float("nan")),
        (Mouth(), "at the firewall, please"),
        (Mouth(), 12),
        (Text(5), "123456"),
        (Text(5), "a\nb"),
        (Text(5), " "),
        (Text(5), 5),
        (Matching("[a-z]+", "letters"), "A"),
        (Matching("[a-z]+", "letters"), "a\n"),
        (OneOf(("x", "y")), "z"),
        (OneOf(("x", "y")), ["x"]),
        (YesNo(), "true"),
        (YesNo(), 1),
    ],
)
def test_refusals_say_what_is_allowed(reader, value):
    with pytest.raises(ParameterError) as caught:
        reader.read(value)
    assert caught.value.allowed
    assert caught.value.written


def test_choice_hints_at_case():
    with pytest.raises(ParameterError, match='perhaps "titanium"'):
        OneOf(("titanium",)).read("Titanium")


def test_clipped_is_one_short_printable_line():
    assert len(clipped("x" * 500)) == 60
    assert clipped("a\x1b[31m\nb").isprintable()
    assert clipped({"a": 1}) == "a table"
    assert clipped(10**50) == "a number of more than 30 digits"
