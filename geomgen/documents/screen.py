"""Records as lines of a terminal, each with the name of its style."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import zip_longest

from geomgen.documents.record import Block, Notice, Row, Table, Tone, Words

# A line of text and the name of its style, empty for plain.
Line = tuple[str, str]
STYLES: dict[Tone, str] = {
    "": "",
    "head": "bold",
    "good": "green",
    "bad": "bold red",
    "doubt": "yellow",
    "lost": "bold magenta",
    "worse": "red",
    "loud": "bold yellow",
    "aside": "dim",
}
# Blanks between columns; a column is never made narrower than this.
GAP, LEAST = 2, 8


def lines_of(blocks: Iterable[Block], width: int) -> list[Line]:
    """Return blocks as lines of at most `width` letters; an empty table gives nothing.

    >>> lines_of([Words("a gap that is too small", "bad", lead="gap: ")], 20)
    [('gap: a gap that is', 'bold red'), ('  too small', 'bold red')]
    """
    return [line for block in blocks for line in _lines(block, width)]


def _lines(block: Block, width: int) -> Iterator[Line]:
    if isinstance(block, Table):
        yield from _table(block, width)
    elif isinstance(block, Notice):
        yield "", ""
        yield from _wrapped(Words(block.text, "loud", lead="NOTICE  ", hang=8), width)
    elif isinstance(block, Words):
        yield from _wrapped(block, width) if block.text else [("", "")]
    else:
        yield block.text, STYLES["head"]


def _wrapped(words: Words, width: int) -> list[Line]:
    rows = textwrap.wrap(
        words.text,
        width,
        initial_indent=words.lead,
        subsequent_indent=" " * words.hang,
        break_on_hyphens=False,
    )
    return [(row, STYLES[words.tone]) for row in rows]


def _table(table: Table, width: int) -> Iterator[Line]:
    if not table.rows:
        return
    if table.title:
        yield "", ""
        yield from _wrapped(Words(table.title, "head"), width)
    rows = [Row(tuple(head.upper() for head in table.head), "head"), *table.rows]
    spare = width - GAP * (len(table.head) - 1)
    # A name that leaves the others no room stands in a line of its own, uncut.
    longest = max(len(row.cells[0]) for row in rows)
    room = max(spare // len(table.head), spare - sum(_widths(rows)) + longest)
    short = [
        row if len(row.cells[0]) <= room else replace(row, cells=("", *row.cells[1:]))
        for row in rows
    ]
    wide = _widths(short)
    while sum(wide) > spare and max(wide) > LEAST:
        wide[wide.index(max(wide))] -= 1
    for row, shown in zip(rows, short, strict=True):
        if shown is not row:
            yield from _wrapped(Words(row.cells[0], row.tone), width)
        yield from ((line, STYLES[row.tone]) for line in _folded(shown, wide, table.numbers))
        for name, text in row.under:
            if text:
                yield from _wrapped(Words(text, lead=f"    {name}: ", hang=6), width)


def _widths(rows: Sequence[Row]) -> list[int]:
    return [max(map(len, column)) for column in zip(*(row.cells for row in rows), strict=True)]


def _folded(row: Row, wide: Sequence[int], numbers: Sequence[int]) -> Iterator[str]:
    pairs = zip(row.cells, wide, strict=True)
    cells = [textwrap.wrap(cell, size, break_on_hyphens=False) for cell, size in pairs]
    for parts in zip_longest(*cells, fillvalue=""):
        padded = [
            part.rjust(size) if i in numbers else part.ljust(size)
            for i, (part, size) in enumerate(zip(parts, wide, strict=True))
        ]
        yield (" " * GAP).join(padded).rstrip()
