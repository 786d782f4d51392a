"""What goes into the file: the right keys, and nothing else of it touched."""

import tomllib
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.weighing.changes import MADE_OF, changed_text, file_changes
from geomgen.weighing.reading import typed_readings
from geomgen.weighing.target import targets_of

FILE = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"


def rewritten(*texts, source="own scales", file=FILE):
    p, (tables, _) = load(file), read_with_bases(file)
    changes = file_changes(p, tables, targets_of(p, typed_readings(texts)), source)
    return changed_text(file.read_text(), changes, tables, file.name)


def test_only_the_lines_of_the_part_are_others():
    former, new = FILE.read_text().splitlines(), rewritten("pod=9.2 kg").splitlines()
    added = [line for line in new if line not in former]
    assert added == ['weighed = "9.2 kg"', 'source = "own scales"']
    assert [line for line in new if line not in added] == former
    assert new[new.index('weighed = "9.2 kg"') - 1].startswith("band = 0.15")


def test_the_source_of_the_material_stays_behind():
    wing = tomllib.loads(rewritten("wing=38 kg"))["mass"][4]
    assert wing["source"] == f"own scales{MADE_OF}own block of foam on the kitchen scales"
    assert (wing["weighed"], wing["density"], wing["laminate"]) == ("38 kg", "20 kg/m^3", True)


def test_a_former_weighing_is_replaced():
    wheel = tomllib.loads(rewritten("wheel_main=7 lb each"))["mass"][12]
    assert wheel == {"part": "wheel_main", "weighed": "7 lb", "source": "own scales"}


def test_a_part_without_an_entry_gets_one_with_what_it_is_made_of():
    rows = tomllib.loads(rewritten("boom_left=1.6 kg", "firewall=1.2 kg"))["mass"]
    assert rows[-2:] == [
        {
            "part": "boom_left",
            "material": "carbon laminate",
            "wall": "1.2 mm",
            "weighed": "1.6 kg",
            "source": "own scales",
        },
        {"part": "firewall", "weighed": "1.2 kg", "source": "own scales"},
    ]


def test_an_item_gets_mass_source_and_the_band_of_scales():
    items = tomllib.loads(rewritten("engine with reduction gear and fan=20.6 kg"))["items"]
    assert (items[0]["mass"], items[0]["band"], items[0]["source"]) == (
        *("20.6 kg", "0.103 kg", "own scales"),
    )


def test_an_item_without_a_band_gets_none():
    battery = tomllib.loads(rewritten("battery=2.3 kg"))["items"][12]
    assert battery["mass"] == "2.3 kg"
    assert "band" not in battery


def test_a_list_of_a_base_file_is_copied_whole_with_its_places(tmp_path):
    text = FILE.read_text().replace('"2300 mm"  ', '"firewall + 500 mm"', 1)
    (tmp_path / "base.toml").write_text(text)
    (tmp_path / "curlew.dat").write_bytes((FILE.parent / "curlew.dat").read_bytes())
    file = tmp_path / "mine.toml"
    file.write_text('extends = "base.toml"\nname = "mine"  # my own\n')
    made = rewritten("pod=9.2 kg", "boom_left=1.6 kg", "battery=2.3 kg", file=file)
    assert made.startswith('extends = "base.toml"\nname = "mine"  # my own\n')
    tables, base = tomllib.loads(made), tomllib.loads(text)
    assert len(tables["mass"]) == len(base["mass"]) + 1
    assert len(tables["items"]) == len(base["items"])
    assert tables["items"][3]["station"] == base["items"][3]["station"]
    file.write_text(made)
    assert load(file).mass[0].weighed == pytest.approx(9.2)


def test_a_file_without_masses_gets_its_first(tmp_path):
    file = tmp_path / "bare.toml"
    text = FILE.read_text()
    head, tail = text.index("# What things weigh"), text.index("[[items]]")
    file.write_text(text[:head] + text[tail:])
    (tmp_path / "curlew.dat").write_bytes((FILE.parent / "curlew.dat").read_bytes())
    rows = tomllib.loads(rewritten("pod=9.2 kg", file=file))["mass"]
    assert rows == [{"part": "pod", "weighed": "9.2 kg", "source": "own scales"}]


@pytest.mark.parametrize(
    ("source", "problem"), [(" ", "which scales"), ("x" * 290, "longer than a file may hold")]
)
def test_a_source_that_is_none_or_too_long_is_refused(source, problem):
    with pytest.raises(ParameterError, match=problem):
        rewritten("wing=38 kg", source=source)
