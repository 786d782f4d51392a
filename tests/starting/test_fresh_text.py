"""Every combination of choices gives a file that loads; those that hold every pair also build."""

import re
import tomllib
from itertools import cycle
from pathlib import Path

import pytest
from covering_choices import covering, every_value, rows
from few_cases import few

from geomgen.parameters.file_text.source_text import tables_of
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.refusal import Origin, field_words
from geomgen.parameters.reading.written_key import slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.starting.choices import OPTIONS, SHOPS, choices_of
from geomgen.starting.fresh_text import fresh_tables, fresh_text

SHAPE = ("gear", "wing", "tail", "scoops", "units")
EVERY = tuple(option.name for option in OPTIONS)
PLACE = Path("mine.toml")
NO_INLET = ("inlet.area", "exit.to_inlet_ratio")
# Warnings that are true of the machine: high booms touch only after it has fallen on its tail, and
# without its pilot the engine pulls it there; how a V tail's panels act on each other is not known.
TRUE_OF_PUSHERS = ("gear.tip_back_spare", "gear.load.nose.empty")
TRUE_OF_V_TAILS = ("balance.static_margin", "balance.aft")


def loaded(tables) -> Parameters:
    return records_of(tables, {(): Origin(PLACE.name, None)}, Path())


def text_of(**chosen: str) -> str:
    return fresh_text(choices_of("mine", "Mine", chosen))


def checked(kept, **chosen: str):
    """Build and measure a new file as `check` does; return the checks that do not pass.

    A file without scoops has no inlet to measure, which its air checks say. Besides those only
    warnings that are true of the machine are let by.
    """
    from geomgen.regeneration.regenerating import regenerate

    made = regenerate(loaded(tables_of(text_of(**chosen), PLACE)), kept)
    assert len(made.checks) > 25
    assert {"balance.aft", "pilot.head_room"} <= {c.id for c in made.checks} or chosen.get("masses")
    let_by = {(id_, "warn") for id_ in TRUE_OF_PUSHERS}
    if chosen.get("scoops") == "none":
        let_by |= {(id_, "not_measured") for id_ in NO_INLET}
    if chosen.get("tail") == "inverted-v":
        let_by |= {(id_, "warn") for id_ in TRUE_OF_V_TAILS}
    return [
        (c.id, c.verdict, c.note)
        for c in made.checks
        if c.verdict != "pass" and (c.id, c.verdict) not in let_by
    ]


@pytest.mark.parametrize("each", few([7, 1]))
def test_every_shape_loads_with_every_set_of_shops(each) -> None:
    """Every seventh of them in the default run; below, all pairs of choices load there."""
    shops = cycle(every_value(SHOPS))
    shapes = list(rows(SHAPE))
    assert len(shapes) == 2 * 5 * 3 * 8 * 2
    for row in shapes[::each]:
        loaded(fresh_tables(choices_of("mine", "Mine", row | {"shops": next(shops)})))


@pytest.mark.long
def test_every_combination_of_everything_loads() -> None:
    for row in rows(EVERY):
        loaded(fresh_tables(choices_of("mine", "Mine", row)))


@pytest.mark.parametrize("row", covering(EVERY), ids=lambda row: "-".join(row.values()))
def test_the_text_says_what_the_tables_say(row) -> None:
    tables = tables_of(text_of(**row), PLACE)
    assert tables == fresh_tables(choices_of("mine", "Mine", row))
    assert loaded(tables).plain() == loaded(fresh_tables(choices_of("mine", "Mine", row))).plain()


@pytest.mark.parametrize(
    "scoops", ["none", pytest.param(None, marks=pytest.mark.long)], ids=["no scoops", "all of it"]
)
def test_the_default_file_builds_and_passes_its_checks(kept, scoops) -> None:
    """Without scoops, whose ways of air take longer than all else, in the default run."""
    assert checked(kept, **({"scoops": scoops} if scoops else {})) == []


@pytest.mark.long
@pytest.mark.parametrize(
    "row", few(covering(SHAPE), *range(0, 99, 3)), ids=lambda row: "-".join(row.values())
)
def test_every_pair_of_choices_builds_and_passes_its_checks(kept, row) -> None:
    assert checked(kept, **row) == []


def unnamed(tables, record, lines: set[str]) -> list[str]:
    """Return the keys of a record that none of its tables and no comment of the file holds."""
    found = []
    for key, field in record.model_fields.items():
        slot, held = slot_of(field), [table[key] for table in tables if key in table]
        if not held:
            found += [] if {f"# {key} =", f"# [{key}]"} & lines else [key]
        elif slot.record is not None:
            rows = [row for value in held for row in (value if slot.many else [value])]
            found += unnamed(rows, slot.record, lines)
    return found


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_key_is_there_or_named_as_left_out(units) -> None:
    text = text_of(units=units, wing="mid", tail="inverted-v", shops="foam")
    lines = set(re.findall(r"^# \w+ =|^# \[.*\]", text, re.MULTILINE))
    lines = {re.sub(r"\[+(?:\w+\.)*(\w+)\]+", r"[\1]", line) for line in lines}
    assert unnamed([tables_of(text, PLACE)], Parameters, lines) == []
    assert {"# [pylon]", "# [fins]", "# [moulds]", "# radial_clearance ="} <= lines
    assert unnamed([{}], Parameters, lines)


def test_comments_are_the_schema_s_own_and_said_once() -> None:
    lines = text_of().splitlines()
    own = [line for line in lines if line.startswith("crown = ")]
    assert own[0].endswith(f"# {field_words(('pod', 'stations', 0, 'crown'))}")
    assert not any("#" in line for line in own[1:])
    head = lines[: lines.index("")]
    assert all(line.startswith("#") and len(line) <= 100 for line in head)
    assert tomllib.loads("\n".join(head)) == {}


def test_imperial_files_speak_inches() -> None:
    text = text_of(units="imperial")
    assert not re.search(r'\d (mm|cm|m|kW|kg|K|Pa|kg/m\^3)"', text)
    assert re.search(r'climb_speed = "50 kt"', text)
    assert 'clearances = "14 CFR 23.925"' in text
