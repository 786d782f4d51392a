"""Where a dotted key leads; the files' own keys are the oracle."""

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.reading.loading import written_values
from geomgen.parameters.reading.written_key import at, path_of, put

CONFIGS = Path(__file__).parents[3] / "configs"


@pytest.mark.parametrize("name", ["saltmarsh", "hayfield"])
def test_every_key_of_a_file_leads_to_its_value(name):
    tables = tomllib.loads((CONFIGS / f"{name}.toml").read_text("utf-8"))
    for key, text in written_values(tables).items():
        if key.endswith(".source"):
            continue
        path, present = path_of(key, tables)
        value = at(tables, path)
        assert present
        assert str(value["value"] if isinstance(value, dict) else value) == text


def test_an_item_by_its_name_comes_before_its_number():
    rows = {"scoops": [{"name": "b"}, {"name": "0"}]}
    assert path_of("scoops.0.width", rows)[0] == ("scoops", 1, "width")
    assert path_of("scoops.b.width", rows)[0] == ("scoops", 0, "width")


def test_a_list_of_a_base_file_is_found_there_and_said_not_to_be_here():
    known = {"scoops": [{"name": "cheek"}]}
    assert path_of("scoops.cheek.width", {}, known) == (("scoops", 0, "width"), False)
    with pytest.raises(ParameterError, match="no such item"):
        path_of("scoops.cheek.width", {})


def test_put_makes_the_tables_on_its_way():
    tables = {}
    put(tables, ("exit", "tail_fairing", "bore"), "50 mm")
    assert tables == {"exit": {"tail_fairing": {"bore": "50 mm"}}}
