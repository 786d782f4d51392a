import re

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import schema
from geomgen.parameters.reading.anchors import _FIXED
from geomgen.parameters.values.place_values import (
    PLACES,
    ButtockLine,
    Mouth,
    Station,
    Waterline,
    hangs,
)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("firewall + 380 mm", True),
        ("  pod end-2in", True),
        ("crankcase", True),
        ("2-stroke + 3 mm", False),
        ("1.8 m", False),
        ("-3 in", False),
        (".5 m", False),
        ("+3 m", False),
        ("NaN mm", False),
        ("infinity", False),
        ("At  Firewall", False),
        ("", False),
        (3, False),
        (None, False),
    ],
)
def test_what_hangs_on_a_part(text, expected):
    assert hangs(text) is expected


def test_every_place_that_is_promised_can_be_told():
    assert {along: set(rows) for along, rows in _FIXED.items()} == {
        along: set(names) for along, names in PLACES.items()
    }


@pytest.mark.parametrize("reader", [Station, Waterline, ButtockLine, Mouth()])
def test_schema_takes_both_forms_and_names_the_places(reader):
    forms = [form for form in reader.describe()["anyOf"] if "pattern" in form]
    for text in ("1.8 m", "firewall + 380 mm", "Öltank - 3 in"):
        assert any(re.search(form["pattern"], text) for form in forms)
    for wrong in ("3", "1,8 m", "12 hands"):
        assert not any(re.search(form["pattern"], wrong) for form in forms)
    words = forms[-1]["description"]
    assert all(name in words for name in PLACES[reader.along])
    assert all(hangs(example) for example in forms[-1]["examples"])


def test_schema_of_a_file_has_the_form():
    made = schema()["$defs"]["EngineBox"]["properties"]["station"]
    assert any("firewall" in form.get("description", "") for form in made["anyOf"])


def test_refusal_says_that_a_place_would_do():
    with pytest.raises(ParameterError) as caught:
        Station.read("12 hands")
    assert '"firewall + 380 mm"' in caught.value.allowed
