"""The parts list: every part and blank, what it is made of, its size and weight, its files."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geomgen.documents.record import Block, Heading, Notice, Table, Words, rows_of
from geomgen.drafting.own_lengths import in_inches, told
from geomgen.length_words import figures
from geomgen.pages.rows import PartRow, family_of
from geomgen.pages.totals import Total
from geomgen.shops.product import Item

HEAD = (
    "name",
    "for part",
    "hand",
    "count",
    "material",
    "length_mm",
    "width_mm",
    "height_mm",
    "volume_cm3",
    "mass_kg",
    "laminate_area_cm2",
    "note",
    "files",
)
RELEASED = "released_although_a_check_failed"
FINISHED = "as the builder chooses"


def _number(value: float | None, digits: int, factor: float = 1.0) -> str:
    return "" if value is None else f"{value * factor:.{digits}f}"


def size_words(value: float) -> str:
    """Return a size [mm] with one decimal, or two where one would hide what was asked for.

    >>> size_words(6.35), size_words(12.7), size_words(50.0)
    ('6.35', '12.7', '50.0')
    """
    return f"{value:.1f}" if abs(round(value, 1) - value) < 0.005 else f"{value:.2f}"


@dataclass(frozen=True)
class Material:
    """What a finished part is made of, in words; its density [kg/m3] where it is known."""

    words: str
    density: float | None = None


def rows(
    parts: Sequence[PartRow],
    items: Sequence[Item],
    materials: Mapping[str, Material] | None = None,
) -> list[list[str]]:
    """Return the rows below `HEAD`: the finished parts, then what the shops make.

    `materials` by the part's name without its hand; the others are as the builder chooses.
    """
    known = materials or {}
    made = [_part(part, known.get(family_of(part.part), Material(FINISHED))) for part in parts]
    return made + [_item(item) for item in items]


def _part(part: PartRow, material: Material) -> list[str]:
    density = material.density
    mass = None if density is None else part.volume * 1e-9 * density
    sizes = [_number(dimension.value, 1) for dimension in part.dimensions]
    return [
        part.part,
        part.part,
        part.hand,
        "1",
        material.words,
        *sizes,
        _number(part.volume, 1, 1e-3),
        _number(mass, 3),
        "",
        part.treatment,
        " ".join(part.files),
    ]


def _item(item: Item) -> list[str]:
    sizes = ["", "", ""] if item.size is None else [size_words(value) for value in item.size]
    return [
        item.name,
        item.part,
        item.hand,
        str(item.count),
        item.material,
        *sizes,
        _number(item.volume, 1, 1e-3),
        _number(item.mass, 3),
        _number(item.laminate_area, 1, 1e-2),
        item.note,
        " ".join(item.files),
    ]


def total_rows(sums: Sequence[Total]) -> list[list[str]]:
    """Return the rows that end the table: what all the shops' parts come to."""
    return [
        [
            *(f"TOTAL {total.what}", "", "", str(total.pieces), total.what, "", "", ""),
            _number(total.volume, 1, 1e-3),
            _number(total.mass, 3),
            _number(total.area, 1, 1e-2),
            "; ".join(text for text in _told(total) if text),
            "",
        ]
        for total in sums
    ]


def _told(total: Total) -> tuple[str, ...]:
    long = "" if total.length is None else f"{total.length * 1e-3:.2f} m as cut"
    return long, _bought(total), f"own prices: {total.cost}" if total.cost else "", total.note


def _bought(total: Total) -> str:
    return "" if total.stock is None else f"to buy {total.stock * 1e-9:.3f} m³"


def _totals(sums: Sequence[Total]) -> list[Block]:
    """Return the totals as a table in the units that are bought; nothing where there are none."""
    rows = rows_of(
        (
            total.what,
            str(total.pieces),
            _number(total.volume, 4, 1e-9) or "-",
            _number(total.stock, 4, 1e-9) or "-",
            _number(total.mass, 2) or "-",
            _number(total.area, 2, 1e-6) or "-",
            _number(total.length, 2, 1e-3) or "-",
            total.cost or "-",
            total.note,
        )
        for total in sums
    )
    head = (
        "total",
        "parts",
        "volume [m³]",
        "to buy [m³]",
        "mass [kg]",
        "area [m²]",
        "length [m]",
        "own prices",
        "note",
    )
    shares = (0.2, 0.06, 0.09, 0.09, 0.08, 0.08, 0.08, 0.12, 0.2)
    return [Heading("Totals of what the shops make"), Table(head, rows, shares)] if rows else []


def blocks(
    table: Sequence[Sequence[str]],
    notices: Sequence[str] = (),
    sums: Sequence[Total] = (),
    order: Table | None = None,
) -> list[Block]:
    """Return the page of the list: the notices, what all comes to, every row, then the order.

    Sizes stand in one column, and no column is empty.
    """
    rows = []
    for row in table:
        cells = dict(zip(HEAD, row, strict=True))
        sizes = _sizes(cells)
        rows.append(
            (
                cells["name"],
                cells["hand"] or "-",
                cells["count"],
                cells["material"],
                " x ".join(sizes) if all(sizes) else "-",
                cells["volume_cm3"] or "-",
                cells["mass_kg"] or "-",
                cells["laminate_area_cm2"] or "-",
                cells["note"],
                cells["files"].replace(" ", ", "),
            )
        )
    head = (
        "part or blank",
        "hand",
        "no.",
        "material",
        "size [mm]",
        "volume [cm³]",
        "mass [kg]",
        "laminate [cm²]",
        "note",
        "files",
    )
    shares = (0.15, 0.05, 0.03, 0.1, 0.13, 0.07, 0.06, 0.07, 0.16, 0.18)
    last: list[Block] = [Heading(order.title), order] if order else []
    return [
        *map(Notice, notices),
        *_totals(sums),
        Heading("Parts and blanks"),
        Words("Sizes are length, width, height over all. Masses are of the bare material."),
        Table(head, rows_of(rows), shares),
        *last,
    ]


def made_of(table: Sequence[Sequence[str]]) -> Table:
    """Return the finished parts of the list as a page shows them."""
    named = [dict(zip(HEAD, row, strict=True)) for row in table]
    rows = rows_of(
        (
            cells["name"],
            cells["hand"] or "–",
            cells["material"],
            " × ".join(_sizes(cells)),
            cells["volume_cm3"],
            cells["mass_kg"] or "–",
            cells["note"],
        )
        for cells in named
    )
    head = ("part", "hand", "material", "size [mm]", "volume [cm³]", "mass [kg]", "skin")
    return Table(head, rows, title="Parts", numbers=(3, 4, 5))


def _sizes(cells: Mapping[str, str]) -> list[str]:
    return [cells[f"{name}_mm"] for name in ("length", "width", "height")]


def as_csv(table: Sequence[Sequence[str]], reason: str = "") -> bytes:
    """Return the list as CSV (RFC 4180, UTF-8), a cell that a spreadsheet would run made plain.

    The `reason` of a release stands in a last column of every row; without, there is none. Sizes
    have columns in inches before those in mm where the builder counts so.

    >>> as_csv([["=1+1"] * len(HEAD)]).splitlines()[1].startswith(b"'=1+1,")
    True
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    more = [reason] if reason else []
    writer.writerow([*_in_both(HEAD), *([RELEASED] if reason else [])])
    writer.writerows([[_plain(cell) for cell in (*_in_both(row), *more)] for row in table])
    return out.getvalue().encode("utf-8")


def _in_both(row: Sequence[str]) -> list[str]:
    """Return a row, or the head, with sizes in inches before those in mm where they are told so."""
    if not in_inches():
        return list(row)
    first, last = HEAD.index("length_mm"), HEAD.index("height_mm") + 1
    sizes = [_in_inches(size) for size in row[first:last]]
    return [*map(told, row[:first]), *sizes, *row[first:last], *map(told, row[last:])]


def _in_inches(size: str) -> str:
    decimals = len(size.partition(".")[2])
    number = _is_number(size)
    return (
        figures(float(size), decimals, True).partition(" / ")[0]
        if number
        else (size.replace("_mm", "_in"))
    )


def _plain(cell: str) -> str:
    return "'" + cell if cell[:1] in ("=", "+", "-", "@") and not _is_number(cell) else cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return True
