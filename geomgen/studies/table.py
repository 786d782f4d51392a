"""All variants as one table: a row each, a column for every value, figure, verdict and margin."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from geomgen.studies.row import VariantOutcome
from geomgen.studies.vary import Variant, Vary

Kind = Literal["whole", "number", "text", "yes or no"]
Cell = int | float | str | bool | None


@dataclass(frozen=True)
class StudyColumn:
    """A column: its head, the kind of its cells, their unit (empty for none)."""

    head: str
    kind: Kind
    unit: str = ""


@dataclass(frozen=True)
class StudyTable:
    """Columns, and rows of cells in their order; a cell without an answer is None."""

    columns: tuple[StudyColumn, ...]
    rows: tuple[tuple[Cell, ...], ...]


def table_of(
    varies: Sequence[Vary], variants: Sequence[Variant], outcomes: Sequence[VariantOutcome]
) -> StudyTable:
    """Return the table of a study.

    Varied keys stand as written and, if numbers, in the unit inside (mm, deg), under heads such as
    `set firewall.station` and `set firewall.station [mm]`; a figure's unit is in its head too, such
    as `firewall.mass [kg]`, and how far it may be off stands beside it. Figures come in the order
    in which they first appear. `exact` says no where a row holds first answers; a verdict that an
    exact figure may turn is then `waits`, and `passed` is empty while one of these decides.
    """
    columns = [StudyColumn("variant", "whole")]
    for vary in varies:
        columns.append(StudyColumn(vary.key.as_set, "text"))
        if vary.key.dimension is not None:
            columns.append(
                StudyColumn(_head(vary.key.as_set, vary.key.unit), "number", vary.key.unit)
            )
    columns += [StudyColumn("status", "text"), StudyColumn("passed", "yes or no")]
    columns += [StudyColumn("exact", "yes or no"), StudyColumn("failing", "text")]
    columns += [StudyColumn("waiting", "text"), StudyColumn("reason", "text")]
    figures = _figures(outcomes)
    for id_, unit, word in figures:
        columns += _figure_columns(id_, unit, word)
    assert len({column.head for column in columns}) == len(columns), "two columns of one head"
    rows = [
        (*_front(varies, variant, outcome), *_back(outcome, figures))
        for variant, outcome in zip(variants, outcomes, strict=True)
    ]
    return StudyTable(tuple(columns), tuple(rows))


def _head(name: str, unit: str) -> str:
    return f"{name} [{unit or '1'}]"


def _figures(outcomes: Sequence[VariantOutcome]) -> list[tuple[str, str, bool]]:
    """Return every figure: id, unit, and whether it compares names, not numbers."""
    found: dict[tuple[str, str, bool], None] = {}
    for outcome in outcomes:
        for check in outcome.checks:
            found.setdefault((check.id, check.unit, check.comparison == "one of"))
    return list(found)


def _figure_columns(id_: str, unit: str, word: bool) -> list[StudyColumn]:
    verdict = StudyColumn(f"{id_} verdict", "text")
    if word:
        return [StudyColumn(id_, "text"), verdict]
    return [
        StudyColumn(_head(id_, unit), "number", unit),
        StudyColumn(_head(f"{id_} bound", unit), "number", unit),
        verdict,
        StudyColumn(_head(f"{id_} margin", unit), "number", unit),
    ]


def _front(varies: Sequence[Vary], variant: Variant, outcome: VariantOutcome) -> list[Cell]:
    cells: list[Cell] = [variant.number]
    for vary, value in zip(varies, variant.values, strict=True):
        cells.append(value.shown)
        if vary.key.dimension is not None:
            cells.append(value.number)
    reason = ": ".join(text for text in (outcome.part, outcome.message) if text)
    built = outcome.status == "built"
    one_line = " / ".join(line.strip() for line in reason.splitlines())
    return [
        *cells,
        outcome.status,
        outcome.passed if built and not outcome.undecided else None,
        outcome.exact if built else None,
        " ".join(outcome.failing) or None,
        " ".join(outcome.waiting) or None,
        one_line or None,
    ]


def _back(outcome: VariantOutcome, figures: Sequence[tuple[str, str, bool]]) -> list[Cell]:
    known = {(c.id, c.unit, c.comparison == "one of"): c for c in outcome.checks}
    cells: list[Cell] = []
    for figure in figures:
        check = known.get(figure)
        if check is None:
            cells += [None] * (2 if figure[2] else 4)
            continue
        verdict = "waits" if check.id in outcome.waits else check.verdict
        if figure[2]:
            cells += [check.written or None, verdict]
        else:
            cells += [check.measured, check.error_bound, verdict, check.margin]
    return cells


def csv_bytes(table: StudyTable) -> bytes:
    r"""Return the table as CSV (RFC 4180, UTF-8, a line feed ends a line); empty is None.

    >>> csv_bytes(StudyTable((StudyColumn("a [mm]", "number", "mm"),), ((0.1,), (None,))))
    b'a [mm]\n0.1\n""\n'
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(column.head for column in table.columns)
    writer.writerows([_written(cell) for cell in row] for row in table.rows)
    return stream.getvalue().encode("utf-8")


def _written(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return repr(cell) if isinstance(cell, float) else str(cell)


def from_csv(data: bytes, columns: Sequence[StudyColumn]) -> StudyTable:
    """Return a table from CSV, its cells read as the columns say; ValueError for other heads."""
    heads, *lines = csv.reader(io.StringIO(data.decode("utf-8"), newline=""))
    if heads != [column.head for column in columns]:
        raise ValueError("the heads of the columns differ")
    rows = [
        tuple(_cell(text, column.kind) for text, column in zip(line, columns, strict=True))
        for line in lines
    ]
    return StudyTable(tuple(columns), tuple(rows))


def _cell(text: str, kind: Kind) -> Cell:
    if text == "":
        return None
    if kind == "yes or no":
        return {"true": True, "false": False}[text]
    if kind == "whole":
        return int(text)
    return float(text) if kind == "number" else text


def parquet_bytes(table: StudyTable) -> bytes:
    """Return the table as Parquet; each column's unit stands in its metadata as `unit`."""
    import pyarrow as pa  # type: ignore[import-untyped,unused-ignore]
    import pyarrow.parquet as pq  # type: ignore[import-untyped,unused-ignore]

    kinds = {"whole": pa.int64(), "number": pa.float64(), "text": pa.string()}
    fields = [
        pa.field(c.head, kinds.get(c.kind, pa.bool_()), metadata={"unit": c.unit, "kind": c.kind})
        for c in table.columns
    ]
    cells = list(zip(*table.rows, strict=True)) or [()] * len(fields)
    arrays = [pa.array(column, field.type) for column, field in zip(cells, fields, strict=True)]
    sink: Any = pa.BufferOutputStream()
    pq.write_table(pa.Table.from_arrays(arrays, schema=pa.schema(fields)), sink)
    return bytes(sink.getvalue().to_pybytes())


def from_parquet(data: bytes) -> StudyTable:
    """Return a table from Parquet, with the units that stand in it."""
    import pyarrow as pa  # type: ignore[import-untyped,unused-ignore]
    import pyarrow.parquet as pq  # type: ignore[import-untyped,unused-ignore]

    read = pq.read_table(pa.BufferReader(data))
    columns = [
        StudyColumn(f.name, f.metadata[b"kind"].decode(), f.metadata[b"unit"].decode())
        for f in read.schema
    ]
    rows = zip(*(read.column(i).to_pylist() for i in range(read.num_columns)), strict=True)
    return StudyTable(tuple(columns), tuple(rows))
