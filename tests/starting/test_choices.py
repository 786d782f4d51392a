import subprocess
import sys

import pytest
from covering_choices import covering, every_value, pairs, rows

from geomgen.errors import ParameterError
from geomgen.starting.choices import OPTIONS, SCOOPS, SHOPS, WING, choices_of, name_from

SHAPE = ("gear", "wing", "tail", "scoops", "units")


@pytest.mark.parametrize("option", OPTIONS, ids=lambda option: option.name)
def test_every_value_and_the_default_are_read(option) -> None:
    for text in every_value(option):
        assert (",".join(option.read(text)) or "none") == text
    assert set(option.read(option.default)) <= set(option.values)


@pytest.mark.parametrize("option", OPTIONS, ids=lambda option: option.name)
@pytest.mark.parametrize("text", ["", "nothing", ",", "low\x00", "x" * 300])
def test_refused_with_what_is_allowed(option, text) -> None:
    with pytest.raises(ParameterError) as caught:
        option.read(text)
    said = str(caught.value)
    assert f"--{option.name}" in said
    assert all(value in said for value in option.values)
    assert len(caught.value.written or "") < 80
    assert said.replace("\n", "").isprintable()


def test_several_go_together_only_where_they_may() -> None:
    assert SCOOPS.read("belly,cheek,belly") == ("cheek", "belly")
    assert SHOPS.read("none") == ()
    assert SHOPS.read("all") == tuple(SHOPS.values)
    assert SCOOPS.read("none") == ()
    for option, text in ((WING, "low,mid"), (WING, "all"), (WING, "none")):
        with pytest.raises(ParameterError):
            option.read(text)


def test_what_was_chosen_reads_back_as_it_was() -> None:
    chosen = {"wing": "low", "scoops": "shoulder,belly", "shops": "none"}
    choices = choices_of("mine", "Mine", chosen)
    assert choices_of("mine", "Mine", choices.words()) == choices
    assert choices.through
    assert not choices_of("mine", "Mine", {}).through


def test_names_out_of_file_names_can_be_used() -> None:
    from geomgen.parameters.records.engine_bay import SLUG

    for stem in ("My Bird 2", "Möwe", "---", "..", "x" * 90, "a" * 39 + "- b", "_a_"):
        assert SLUG.read(name_from(stem)) == name_from(stem)


def test_few_combinations_hold_all_pairs() -> None:
    found = covering(SHAPE)
    due = set().union(*(pairs(row) for row in rows(SHAPE)))
    assert set().union(*map(pairs, found)) == due
    assert 15 <= len(found) <= 20


def test_the_choices_are_listed_before_anything_heavy_is_loaded() -> None:
    code = "import sys, geomgen.commands.new; print('pydantic' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"
