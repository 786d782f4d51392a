"""The tables read by other readers: Python's csv against rows written by hand, pyarrow's CSV."""

import csv
import io
from dataclasses import replace

import pyarrow.csv
import pyarrow.parquet
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_outcomes import check

from geomgen.studies.row import VariantOutcome
from geomgen.studies.table import (
    StudyColumn,
    StudyTable,
    csv_bytes,
    from_csv,
    from_parquet,
    parquet_bytes,
    table_of,
)
from geomgen.studies.vary import grid, varies_of
from geomgen.verdicts.check import Limits

TEXT = st.text(st.characters(blacklist_categories=["Cs", "Cc"]), min_size=1, max_size=12)
CELLS = {
    "whole": st.integers(-(2**40), 2**40),
    "number": st.floats(allow_nan=False, allow_infinity=False),
    "text": TEXT | st.just('a "quoted", text'),
    "yes or no": st.booleans(),
}


@st.composite
def tables(draw):
    kinds = draw(st.lists(st.sampled_from(list(CELLS)), min_size=1, max_size=5))
    columns = tuple(
        StudyColumn(f"{i} [{k}]", k, draw(st.sampled_from(["", "mm"]))) for i, k in enumerate(kinds)
    )
    row = st.tuples(*(st.none() | CELLS[kind] for kind in kinds))
    return StudyTable(columns, tuple(draw(st.lists(row, max_size=5))))


@given(tables())
def test_both_tables_come_back_as_they_were(table):
    assert from_csv(csv_bytes(table), table.columns) == table
    assert from_parquet(parquet_bytes(table)) == table
    assert csv_bytes(table) == csv_bytes(table)
    assert parquet_bytes(table) == parquet_bytes(table)


@pytest.fixture
def study():
    tables = {"spinner": {}, "rules": {}}
    varies = varies_of(["spinner.length=7 in,180 mm", "rules.clearances=CS 22.925"], tables)
    gap = check("gap", 30.0, Limits("at least 25 mm", 25.0), "at least")
    metal = replace(
        check("metal", 0.0, Limits("one of: steel"), "one of", "", "steel"), measured=None
    )
    lost = VariantOutcome("not built", part="pod", message="the walls meet\n  step: inner wall")
    return table_of(varies, grid(varies), [VariantOutcome("built", (gap, metal)), lost])


def test_a_row_says_what_was_asked_and_measured(study):
    rows = list(csv.DictReader(io.StringIO(csv_bytes(study).decode())))
    assert rows[0] == {
        "variant": "1",
        "set spinner.length": "7 in",
        "set spinner.length [mm]": repr(7 * 25.4),
        "set rules.clearances": "CS 22.925",
        "status": "built",
        "passed": "true",
        "exact": "true",
        "failing": "",
        "waiting": "",
        "reason": "",
        "gap [mm]": "30.0",
        "gap bound [mm]": "",
        "gap verdict": "pass",
        "gap margin [mm]": "5.0",
        "metal": "steel",
        "metal verdict": "pass",
    }
    assert rows[1]["reason"] == "pod: the walls meet / step: inner wall"
    assert rows[1]["passed"] == rows[1]["gap [mm]"] == ""


def test_an_independent_reader_agrees(study):
    again = pyarrow.csv.read_csv(io.BytesIO(csv_bytes(study)))
    assert again.column("gap [mm]").to_pylist() == [30.0, None]
    assert again.column("set spinner.length [mm]").to_pylist() == [7 * 25.4, 180.0]


def test_units_stand_in_the_parquet_file(study):
    schema = pyarrow.parquet.read_schema(io.BytesIO(parquet_bytes(study)))
    assert schema.field("gap margin [mm]").metadata[b"unit"] == b"mm"
    assert schema.field("passed").type == "bool"


def test_a_key_and_a_figure_of_one_name_stand_apart():
    """What was set is one thing, what was measured on the solid another."""
    varies = varies_of(
        ["firewall.thickness=0.4 mm", "firewall.material=stainless steel"], {"firewall": {}}
    )
    measured = check("firewall.thickness", 0.38, Limits("at least 0.38 mm", 0.38), "at least")
    metal = replace(
        check(
            "firewall.material",
            0.0,
            Limits("one of: stainless steel"),
            "one of",
            "",
            "stainless steel",
        ),
        measured=None,
    )
    made = table_of(varies, grid(varies), [VariantOutcome("built", (measured, metal))])
    assert from_parquet(parquet_bytes(made)) == made
    (row,) = csv.DictReader(io.StringIO(csv_bytes(made).decode()))
    assert (row["set firewall.thickness [mm]"], row["firewall.thickness [mm]"]) == ("0.4", "0.38")
    assert row["set firewall.material"] == row["firewall.material"] == "stainless steel"


def test_another_table_is_told_apart(study):
    data = csv_bytes(study)
    assert from_csv(data.replace(b"30.0", b"30.000000000000004"), study.columns) != study
    with pytest.raises(ValueError, match="heads"):
        from_csv(data.replace(b"gap verdict", b"gap verdikt"), study.columns)
    with pytest.raises(ValueError, match="thirty"):
        from_csv(data.replace(b"30.0", b"thirty"), study.columns)
