"""What `geomgen balance` says: the sheet, JSON, and a file that weighs nothing."""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from weighed_machines import machine, solid

from geomgen import cli
from geomgen.balance.judged import checks_of
from geomgen.documents.record import Table
from geomgen.parameters import load
from geomgen.terminal.console import balance_lines
from geomgen.workflows.building.balance_file import read_balance, write_balance
from geomgen.workflows.building.balancing import balance_result
from geomgen.workflows.reporting.balance_page import balance_page, envelope

CONFIGS = Path(__file__).parents[3] / "configs"
NAMES = ("pod", "wing", "engine", "pylon", "firewall")


@pytest.fixture(scope="module")
def measured():
    return [solid(name, 2e7, (1500.0, 0.0, 900.0), area=4e6) for name in NAMES]


@pytest.fixture(scope="module")
def result(measured):
    p = machine()
    return balance_result(p, measured, checks_of(p, measured))


def test_the_sheet_begins_with_the_caution_and_ends_with_the_checks(result) -> None:
    text = "\n".join(line for line, _ in balance_lines(result))
    assert text.index("Computed masses are no weighing") < text.index("What it is made of")
    for id_ in ("mass.empty", "mass.gross", "balance.forward", "balance.aft", "fuel.volume"):
        assert id_ in text
    assert "prop." not in text


@pytest.mark.parametrize("width", [80, 100])
def test_the_sheet_keeps_to_a_terminal_and_breaks_no_figure(result, width) -> None:
    """Every table as the screen shows it has each number of its rows in one piece."""
    lines = [line for line, _ in balance_lines(result, width)]
    assert max(map(len, lines)) <= width
    words = set(" ".join(lines).split())
    tables = [block for block in result.blocks() if isinstance(block, Table)]
    assert len(tables) == 9
    for table in tables:
        for row in table.rows:
            assert all(row.cells[at] in words for at in table.numbers)


def test_quiet_leaves_out_what_passed_and_the_sheet(result) -> None:
    text = "\n".join(line for line, _ in balance_lines(result, quiet=True))
    assert "What it is made of" not in text
    assert "fuel.volume" not in text
    assert "balance.aft" in text


def test_for_a_file_in_inches_its_checks_are_told_in_its_own_units(result) -> None:
    inches = replace(result, parameters=load(CONFIGS / "hayfield.toml"))
    assert (result.inches, inches.inches) == (False, True)
    lines = [line for line, _ in balance_lines(inches)]
    (row,) = [line for line in lines if line.startswith("mass.gross")]
    gross = next(check for check in result.checks if check.id == "mass.gross")
    assert f"{gross.measured / 0.45359237:.3f} lb" in row
    assert any("own inches" in line for line in lines)


def test_json_holds_every_figure(result) -> None:
    values = json.loads(json.dumps(result.as_dict(), allow_nan=False))
    lines = sum(row["mass_kg"] for row in values["lines"] if row["in_empty_mass"])
    assert values["empty"]["mass_kg"] == pytest.approx(lines)
    assert {row["id"] for row in values["checks"]} >= {"mass.empty", "balance.static_margin"}


def test_a_set_keeps_its_masses_for_the_page(measured, tmp_path) -> None:
    p = machine()
    assert write_balance(tmp_path, p, measured) == [("balance.json", "mass and balance")]
    values = read_balance(tmp_path)
    assert values is not None
    page = balance_page(tmp_path, p)
    assert page is not None
    assert page.envelope is not None
    assert len(page.envelope.points) == len(values["loadings"])
    assert any("No neutral point" in words for words in page.words)


@pytest.mark.parametrize(
    ("limit", "station"),
    [("1450 mm", 1450.0), ("20 % chord", 1500.0), ("static margin 0.05", 1550.0)],
)
def test_a_limit_stands_in_the_envelope_where_it_counts_from(limit, station) -> None:
    """Chord of 1 m from STA 1300, neutral point at STA 1600: by hand."""
    values = {
        "loadings": [{"centre_mm": [1480.0, 0, 0], "mass_kg": 200.0, "name": "a", "named": True}],
        "mean_chord": {"length_mm": 1000.0, "leading_edge_mm": 1300.0},
        "neutral_point": {"station_mm": 1600.0, "band_mm": [1580.0, 1620.0]},
    }
    assert envelope(machine(f"rules.aft_limit={limit}"), values).aft == pytest.approx(station)


def test_a_set_that_weighs_nothing_has_no_page_of_it(measured, tmp_path) -> None:
    p = machine().model_copy(update={"mass": (), "items": ()})
    assert write_balance(tmp_path, p, measured) == []
    assert balance_page(tmp_path, p) is None


def test_a_file_that_weighs_nothing_is_refused_before_anything_is_built(capsys) -> None:
    file = str(CONFIGS / "saltmarsh.toml")
    assert cli.main(["balance", file, "--set", "mass=[]", "--set", "items=[]"]) == 2
    told = capsys.readouterr()
    assert "nothing says what anything weighs" in told.err
    assert "[[mass]]" in told.err
