import tomllib

import pytest

from geomgen.parameters import as_toml, fingerprint, load


@pytest.mark.parametrize("config", ["saltmarsh.toml", "framed.toml", "hayfield.toml", "tight.toml"])
def test_loads_back_to_equal_records(folder, config):
    p = load(folder / config)
    (folder / "whole.toml").write_text(as_toml(p), encoding="utf-8")
    again = load(folder / "whole.toml")
    assert again == p
    assert again.model_dump() == p.model_dump()
    assert fingerprint(again) == fingerprint(p)
    assert as_toml(again) == as_toml(p)


def test_all_defaults_stand_in_it(saltmarsh):
    p = saltmarsh()
    tables = tomllib.loads(as_toml(p))
    assert tables["pod"]["stations"][1]["fullness_upper"] == "ellipse"
    assert tables["rules"]["radial_clearance"]["value"] == "25 mm"
    assert tables["cooling"]["air_rise"] == "60 K"

    def holes(table, record):
        for key, value in record:
            if value is not None and value != ():
                assert key in table, key
            if hasattr(type(value), "model_fields"):
                holes(table[key], value)

    holes(tables, p)


@pytest.mark.parametrize(
    "title", ['a "quoted" one', "back\\slash", "Möwe — ñ", "# no comment", "'"]
)
def test_odd_text_survives(folder, title):
    text = (folder / "saltmarsh.toml").read_text()
    escaped = title.replace("\\", "\\\\").replace('"', '\\"')
    (folder / "odd.toml").write_text(
        text.replace("Saltmarsh shore-bird counter", escaped), encoding="utf-8"
    )
    p = load(folder / "odd.toml")
    assert p.title == title
    assert tomllib.loads(as_toml(p))["title"] == title


def test_every_line_says_what_it_means(saltmarsh):
    for line in as_toml(saltmarsh()).splitlines():
        assert not line or line.startswith("[") or "  # " in line
