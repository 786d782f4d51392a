"""The parts list as a table."""

import csv
import io

from geomgen.documents.record import Heading, Table, rows_of
from geomgen.pages.parts_list import HEAD, as_csv, blocks, rows, total_rows
from geomgen.pages.rows import PartDimension, PartRow
from geomgen.pages.totals import Total
from geomgen.shops.product import Item

PART = PartRow(
    "pod", "", (PartDimension("a", 3000.0), PartDimension("b", 620.0), PartDimension("c", 892.0)),
    2.5e7, 4.1e6, "plug, outside size", ("pod_mm.step",),
)  # fmt: skip
ITEM = Item(
    "core_1_right", "wing", "right", "foam", (1300.0, 1250.0, 190.0), 1, 1.5e8, 4.8, 3.1e6,
    ("core_1_right_root",), "2 x glass",
)  # fmt: skip


def test_units_are_in_the_heads_and_converted():
    part, item = rows([PART], [ITEM])
    by_head = dict(zip(HEAD, item, strict=True))
    assert by_head["volume_cm3"] == "150000.0"
    assert by_head["laminate_area_cm2"] == "31000.0"
    assert by_head["mass_kg"] == "4.800"
    assert by_head["hand"] == "right"
    assert len(part) == len(HEAD)


def test_csv_reads_back():
    text = as_csv(rows([PART], [ITEM])).decode("utf-8")
    back = list(csv.reader(io.StringIO(text, newline="")))
    assert tuple(back[0]) == HEAD
    assert back[2] == rows([PART], [ITEM])[1]


def test_cell_that_a_spreadsheet_would_run_is_made_plain():
    cell = [["-5.0", "=cmd()", "@x", "+1"] + [""] * (len(HEAD) - 4)]
    row = next(csv.reader(io.StringIO(as_csv(cell).decode().splitlines()[1])))
    assert row[:4] == ["-5.0", "'=cmd()", "'@x", "+1"]


def test_a_notice_stands_above_the_list():
    texts = [
        block.text for block in blocks(rows([PART], []), ("a crumb",)) if hasattr(block, "text")
    ]
    assert "a crumb" in texts


def test_totals_end_the_table_and_open_the_page():
    sums = [Total("foam", 4, 2.5e8, 8.0, stock=4.0e8), Total("resin", 2, mass=1.25)]
    foam, resin = (dict(zip(HEAD, row, strict=True)) for row in total_rows(sums))
    assert foam["name"] == "TOTAL foam"
    assert (foam["volume_cm3"], foam["mass_kg"], foam["note"]) == (
        "250000.0",
        "8.000",
        "to buy 0.400 m³",
    )
    assert (resin["mass_kg"], resin["volume_cm3"]) == ("1.250", "")
    tables = [block for block in blocks(rows([PART], [ITEM]), (), sums) if hasattr(block, "rows")]
    assert tables[0].rows[0].cells == ("foam", "4", "0.2500", "0.4000", "8.00", "-", "-", "-", "")
    assert len(tables) == 2


def test_the_order_of_assembly_stands_at_its_end_where_there_is_one():
    order = Table(("no.", "part"), rows_of([("1", "pod")]), title="Order of assembly")
    assert blocks(rows([PART], []), order=order)[-2:] == [Heading("Order of assembly"), order]
    assert Heading("Order of assembly") not in blocks(rows([PART], []))
