"""Lines added to text, read back by the standard library's reader (tomllib)."""

import tomllib

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.editing.added_lines import (
    item_of,
    put_aside,
    with_key,
    with_list,
    without_key,
)


def test_a_key_stands_behind_a_value_of_several_lines():
    text = '[drawings]\nstations = [\n  "600 mm", # one\n  "1 m",\n]\n\n[pod]\n'
    made = with_key(text, ("drawings", "sheet"), "A2")
    assert made == text.replace("]\n\n[pod]", ']\nsheet = "A2"\n\n[pod]')
    assert tomllib.loads(made)["drawings"]["sheet"] == "A2"


def test_a_table_without_keys_and_a_file_without_line_end():
    assert with_key("[pod]", ("pod", "wall"), "4 mm") == '[pod]\nwall = "4 mm"\n'
    assert with_key("", ("name",), "a") == 'name = "a"\n'


def test_a_key_of_a_table_with_tables_inside_stays_in_its_own():
    text = '[pod]\nwall = "4 mm"\n\n[[pod.stations]]\nkeel = "1 m"\n'
    made = with_key(text, ("pod", "nose"), "flat")
    assert tomllib.loads(made)["pod"]["nose"] == "flat"
    inside = with_key(text, ("pod", "stations", 0, "crown"), "2 m")
    assert tomllib.loads(inside)["pod"]["stations"] == [{"keel": "1 m", "crown": "2 m"}]


def test_a_list_of_tables_inside_a_table_that_stands_there():
    rows = [{"station": "0 mm", "keel": "1 m"}, {"station": "1 m", "keel": "2 m"}]
    made = with_list('[pod]\nwall = "4 mm"\n', ("pod", "stations"), rows)
    assert tomllib.loads(made) == {"pod": {"wall": "4 mm", "stations": rows}}


def test_a_line_put_aside_is_a_comment():
    text = '[propeller]\nstation = "3 m" # here\nflex = "1 mm"\n'
    made = put_aside(text, ("propeller", "station"))
    assert tomllib.loads(made) == {"propeller": {"flex": "1 mm"}}
    assert 'station = "3 m" # here' in made


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ('[pod]\nwall = "4 mm"  # skin\n\n[wing]\n', ("pod", "wall")),
        ('[[scoops]]\nname = "cheek"\n', ("scoops", 0, "name")),
        ('[drawings]\nstations = [\n  "600 mm", # one\n  "1 m",\n]\nsheet = "A2"\n',
         ("drawings", "stations")),
        ('rules = {tip_mach = 0.7, axial_clearance = "13 mm"} # ours\n',
         ("rules", "axial_clearance")),
        ('title = "a"', ("title",)),
    ],
)  # fmt: skip
def test_a_key_is_taken_out_and_nothing_else(text, path):
    wanted = tomllib.loads(text)
    table = wanted
    for part in path[:-1]:
        table = table[part]
    del table[path[-1]]
    assert tomllib.loads(without_key(text, path)) == wanted


def test_a_key_that_was_added_is_taken_out_to_the_last_byte():
    text = '[pod]\nwall = "4 mm" # skin\n\n[wing]\n'
    assert without_key(with_key(text, ("pod", "nose"), "flat"), ("pod", "nose")) == text


def test_what_is_no_value_is_refused():
    with pytest.raises(ParameterError, match=r"pod\.wall"):
        item_of(("pod", "wall"), object())
