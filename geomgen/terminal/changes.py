"""What a terminal shows of a comparison: the answer, four tables, what to mind."""

import textwrap
from collections.abc import Iterator, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.terminal.console import WIDE, Line, caution

if TYPE_CHECKING:
    from geomgen.comparison.wording import TextTable
    from geomgen.workflows import ComparisonResult

MOODS = {"": "", "good": "green", "bad": "bold red", "doubt": "yellow"}
GAP = "  "
# A column is never made narrower than this.
LEAST = 10


def comparison(
    result: "ComparisonResult",
    folder: Path,
    width: int = WIDE,
    quiet: bool = False,
    everything: bool = False,
) -> list[Line]:
    """Return what differs between two states; quiet gives the answer only."""
    lines = [(line, "bold") for line in textwrap.wrap(_sentence(result.answer), width)]
    lines += [(f"former: {_side(result.former)}", ""), (f"new:    {_side(result.new)}", "")]
    for finding in result.findings:
        lines += _wrapped(finding, width, "bold red")
    if not quiet:
        for table in result.tables(everything):
            lines += table_lines(table, width)
        for note in result.notes:
            lines += [("", ""), *_wrapped(f"note: {note}", width, "yellow")]
    drawn = ", overlay drawing" if result.sheet is not None else ""
    end = f"written to {folder}: comparison.json{drawn}; compared in {result.seconds:.1f} s"
    return [*lines, ("", ""), (end, ""), *caution(width)]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _side(side: object) -> str:
    label, name, revision = (getattr(side, key) for key in ("label", "name", "revision"))
    built = ", built for this comparison" if getattr(side, "built", False) else ""
    return f"{label} ({name}, revision {revision}{built})"


def _wrapped(text: str, width: int, style: str) -> list[Line]:
    rows = textwrap.wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)
    return [(row, style) for row in rows]


def table_lines(table: "TextTable", width: int = WIDE) -> list[Line]:
    """Return a table as lines; long cells are folded. An empty table gives nothing."""
    if not table.rows:
        return []
    wide = widths([table.headings, *table.rows], width)
    lines: list[Line] = [("", ""), (table.title, "bold")]
    lines += [(line, "bold") for line in _folded(table.headings, wide)]
    for row, mood in zip(table.rows, table.moods, strict=True):
        lines += [(line, MOODS[mood]) for line in _folded(row, wide)]
    return lines


def widths(rows: Sequence[Sequence[str]], width: int) -> list[int]:
    """Return the widths of columns that fit; the widest give way first.

    >>> widths([("a" * 30, "b" * 80)], 100)
    [30, 68]
    """
    wide = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    room = width - len(GAP) * (len(wide) - 1)
    while sum(wide) > room and max(wide) > LEAST:
        wide[wide.index(max(wide))] -= 1
    return wide


def _folded(row: Sequence[str], wide: Sequence[int]) -> Iterator[str]:
    cells = [folded(cell, size) for cell, size in zip(row, wide, strict=True)]
    for parts in zip_longest(*cells, fillvalue=""):
        padded = (part.ljust(size) for part, size in zip(parts, wide, strict=True))
        yield GAP.join(padded).rstrip()


def folded(cell: str, size: int) -> list[str]:
    """Return the lines of a cell; a name that is too long is cut behind a point or underscore.

    >>> folded("duct.throat_area.scoop_cheek_left", 22)
    ['duct.throat_area.', 'scoop_cheek_left']
    """
    words = [piece for word in cell.split() for piece in _cut(word, size)]
    return textwrap.wrap(" ".join(words), size, break_on_hyphens=False) or [""]


def _cut(word: str, size: int) -> list[str]:
    pieces = []
    while len(word) > size:
        at = max(word.rfind(".", 0, size), word.rfind("_", 0, size)) + 1 or size
        pieces.append(word[:at])
        word = word[at:]
    return [*pieces, word]
