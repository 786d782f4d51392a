"""What is typed into a field is read as in a file. Lengths by hand: 1 in = 25.4 mm, exactly."""

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.editing.field_list import fields_of
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.editing.typed_values import reading_of, typed
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of

CONFIGS = Path(__file__).parents[3] / "configs"
FILE = CONFIGS / "saltmarsh.toml"


@pytest.fixture(scope="module")
def known():
    tables, origins = read_with_bases(FILE)
    found = fields_of(records_of(tables, origins, CONFIGS), tables, origins)
    return {field.key: field for field in found}, tables, origins


def given(known, key, text):
    """Return what would be written for a text, and what it comes to."""
    fields, tables, origins = known
    value = typed(fields[key], text)
    return value, reading_of(fields[key], value, tables, origins)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("pod.wall", "5", "5 mm"),
        ("pod.wall", " 5.5 ", "5.5 mm"),
        ("pod.wall", "3 3/16", "3 3/16 mm"),
        ("pod.wall", "3/16 in", "3/16 in"),
        ("pod.wall", "0.2  in", "0.2 in"),
        ("firewall.station", "7' 3-1/2\"", "7' 3-1/2\""),
        ("firewall.station", "7 ft 3 1/2 in", "7 ft 3 1/2 in"),
        ("engine.fan_face.station", "firewall + 380 mm", "firewall + 380 mm"),
        ("engine.fan_face.station", "firewall + 1 1/2 in", "firewall + 1 1/2 in"),
        ("flight.climb_speed", "60 ft/s", "60 ft/s"),
        ("handoff.laminate.plies.0.count", "3", 3),
        ("pod.stations.4.fullness_upper", "0.45", 0.45),
        ("pod.stations.4.fullness_upper", "ellipse", "ellipse"),
        ("rules.tip_mach", "0.6", 0.6),
        ("rules.tip_mach", "60 %", "60 %"),
        ("handoff.foam.split_at_centre", "false", False),
    ],
)
def test_a_text_becomes_what_stands_in_the_file_and_loads(known, tmp_path, key, text, value):
    found, _ = given(known, key, text)
    assert found == value
    assert type(found) is type(value)
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    file = tmp_path / "mine.toml"
    file.write_text(rewritten(FILE.read_text("utf-8"), {key: found}), encoding="utf-8")
    held = tomllib.loads(file.read_text("utf-8"))
    for part in key.split("."):
        held = held[int(part)] if part.isdigit() else held[part]
    assert (held["value"] if isinstance(held, dict) else held) == value
    if key == "pod.wall" and "in" in text:
        inches = 3 / 16 if "/" in text else 0.2
        assert load(file).pod.wall == pytest.approx(inches * 25.4, abs=1e-9)


@pytest.mark.parametrize(
    ("key", "text", "problem", "advice"),
    [
        ("pod.wall", "1,5", "not a number", 'write "1.5 mm"'),
        ("pod.wall", "1,5 mm", "not a number", 'write "1.5 mm"'),
        ("pod.wall", "0,25 in", "not a number", 'write "0.25 in"'),
        ("pod.stations.4.fullness_upper", "0,45", "decimal comma", 'write "0.45"'),
        ("handoff.laminate.plies.0.count", "3,0", "decimal comma", 'write "3"'),
        ("rules.tip_mach", "0,6", "not a number", 'write "0.6"'),
        ("engine.fan_face.station", "firewall + 1,5 mm", "after the +", '"1.5 mm"'),
        ("flight.climb_speed", "5 in", "'in' is a unit of a length, not a speed", ""),
        ("pod.wall", "5 kg", "'kg' is a unit of a mass, not a length", ""),
        ("pod.wall", "firewall + 3 mm", "not a number", ""),
        ("pod.wall", "1 m", "out of range", ""),
        ("pod.wall", "", "nothing was written", "Escape"),
        ("pod.wall", "nan", "not a finite number", ""),
        ("handoff.laminate.plies.0.count", "2.5", "not a whole number", ""),
        ("handoff.laminate.plies.0.count", "three", "not a whole number", ""),
        ("engine.fan_face.station", "firewal + 3 mm", "neither a length nor a place", "firewall"),
        ("drawings.sheet", "A9", "not one of the choices", ""),
    ],
)
def test_what_the_file_may_not_say_is_refused_in_words(known, key, text, problem, advice):
    with pytest.raises(ParameterError) as caught:
        given(known, key, text)
    assert problem in caught.value.problem
    assert advice in (caught.value.advice or "")
    assert caught.value.key == key


@pytest.mark.parametrize(
    ("key", "text", "reads"),
    [
        # 5/8 in = 15.875 mm; 1800 mm / 25.4 = 70.866; 1.5 in = 38.1 mm.
        ("pod.wall", "5/8 in", "15.875 mm / 0.625 in"),
        ("engine.fan_face.station", "firewall", "1800 mm / 70.8661 in"),
        ("engine.fan_face.station", "firewall + 1 1/2 in", "1838.1 mm / 72.3661 in"),
        ("handoff.laminate.plies.0.count", "3", ""),
        ("handoff.foam.split_at_centre", "false", ""),
    ],
)
def test_what_it_comes_to_is_told(known, key, text, reads):
    fields, _, _ = known
    assert fields["firewall.station"].written == "1800 mm"
    assert given(known, key, text)[1] == reads


def test_a_bare_number_where_a_place_hangs_has_no_unit(known, tmp_path):
    fields, tables, origins = known
    hung = {**tables, "engine": {**tables["engine"], "fan_face": {"station": "firewall + 1 m"}}}
    field = next(f for f in fields.values() if f.key == "engine.fan_face.station")
    text = type(field)(**{**field.as_dict(), "kind": "text", "unit": "", "number": None})
    with pytest.raises(ParameterError, match="no unit"):
        reading_of(text, typed(text, "2400"), hung, origins)
    assert reading_of(text, typed(text, "2.4 m"), hung, origins).startswith("2400 mm / ")
