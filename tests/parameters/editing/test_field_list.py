"""Fields against the file as the standard library's reader (tomllib) sees it."""

import json
import tomllib
from pathlib import Path

import pytest

from geomgen import units
from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.editing.field_list import fields_of, value_for
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.reading.inheritance import lines_of, read_with_bases
from geomgen.parameters.reading.loading import records_of, written_values
from geomgen.parameters.reading.overrides import apply

CONFIGS = Path(__file__).parents[3] / "configs"


def listed(file, overrides=()):
    tables, origins = read_with_bases(file)
    apply(tables, origins, list(overrides))
    return {f.key: f for f in fields_of(records_of(tables, origins, file.parent), tables, origins)}


@pytest.fixture(scope="module")
def fields():
    return listed(CONFIGS / "saltmarsh.toml")


def test_every_value_of_the_file_has_a_field_with_its_text_and_line(fields):
    text = (CONFIGS / "saltmarsh.toml").read_text("utf-8")
    tables, lines = tomllib.loads(text), lines_of(text)
    written = written_values(tables)
    limits = ("handoff.moulds.0.draft", "handoff.cores.surface_tolerance")
    draft = {f"{key}.{part}" for key in limits for part in ("value", "source")}
    for key, value in written.items():
        if key in draft:
            continue
        assert fields[key].written == (value.lower() if value in ("True", "False") else value)
        path = tuple(int(part) if part.isdigit() else part for part in key.split("."))
        assert (fields[key].file, fields[key].line) == ("saltmarsh.toml", lines[path])
    assert fields["handoff.moulds.0.draft"].source == "floor for moulds, common practice"
    defaults = {key for key, field in fields.items() if field.file == "default"}
    assert not defaults & set(written)
    assert {"handoff.moulds.3.dowel_diameter", "rules.radial_clearance"} <= defaults
    json.dumps([field.as_dict() for field in fields.values()], allow_nan=False)


def test_numbers_and_limits_are_in_the_unit_that_was_written():
    fields = listed(CONFIGS / "hayfield.toml")
    lip = fields["scoops.0.lip_radius"]
    assert (lip.number, lip.unit) == (0.06, "in")
    # The inch is 25.4 mm exactly (international yard and pound, 1959).
    assert lip.low == pytest.approx(0.2 / 25.4)
    for field in fields.values():
        if field.kind == "number" and field.unit:
            assert field.low is not None
            assert field.high is not None
            assert field.number is not None
            assert field.low <= field.number <= field.high


def test_a_value_of_a_base_file_says_so():
    fields = listed(CONFIGS / "tight.toml", ["pod.wall=5 mm"])
    assert fields["scoops.0.height"].file == "tight.toml"
    assert fields["booms.nose"].file == "saltmarsh.toml"
    assert (fields["pod.wall"].file, fields["pod.wall"].written) == ("--set", "5 mm")


def test_titles_tell_items_apart(fields):
    titles = {}
    for field in fields.values():
        titles.setdefault(field.title, set()).add(field.table)
    assert all(len(tables) == 1 for title, tables in titles.items() if title != "joints")
    assert fields["scoops.0.height"].title == "scoops 1 (name cheek)"


def test_what_a_field_gives_back_loads_and_is_the_same(fields, tmp_path):
    """Each field's own value, given back, is the same quantity: nothing is lost on the way."""
    for field in fields.values():
        given = field.number if field.number is not None else field.written
        value = value_for(field, given)
        if field.kind == "number":
            dimension = next(d for d, k in units.DIMENSIONS.items() if field.unit in k.factors)
            assert units.parse(value, dimension) == pytest.approx(
                units.parse(field.written, dimension) if field.unit else float(value)
            )
        elif field.kind == "whole":
            assert value == int(field.written)
        else:
            assert str(value).lower() == field.written.lower()


def test_a_change_through_a_field_reaches_the_record(fields, tmp_path):
    file = CONFIGS / "saltmarsh.toml"
    text = file.read_text("utf-8")
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    changes = {
        key: value_for(fields[key], given)
        for key, given in {
            "scoops.0.height": 57.5,
            "handoff.foam.split_at_centre": "false",
            "pod.stations.4.fullness_upper": "0.45",
            "drawings.sheet": "A2",
            "handoff.laminate.plies.0.count": 3,
            "rules.tip_mach": 0.6,
        }.items()
    }
    (tmp_path / "mine.toml").write_text(rewritten(text, changes), encoding="utf-8")
    p = load(tmp_path / "mine.toml")
    assert p.scoops[0].height == 57.5
    assert p.handoff.foam.split_at_centre is False
    assert p.pod.stations[4].fullness_upper == 0.45
    assert p.drawings.sheet == "A2"
    assert p.handoff.laminate.plies[0].count == 3
    assert p.rules.tip_mach.value == 0.6


@pytest.mark.parametrize(
    ("key", "given"),
    [
        ("pod.wall", "5 mm"),
        ("pod.wall", True),
        ("pod.wall", None),
        ("pod.wall", [5]),
        ("handoff.laminate.plies.0.count", 1.5),
        ("handoff.laminate.plies.0.count", 1e300),
        ("handoff.foam.split_at_centre", "perhaps"),
        ("drawings.sheet", 3),
        ("title", "x" * 301),
    ],
)
def test_what_is_not_for_a_field_is_refused(fields, key, given):
    with pytest.raises(ParameterError, match="not a value for this field"):
        value_for(fields[key], given)
