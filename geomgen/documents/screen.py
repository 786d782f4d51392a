"""Records as lines of a terminal, each with the name of its style; rich (MIT) sets the tables."""

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import replace
from io import StringIO
from itertools import groupby

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
# The least that is left for a table's names, and a screen that is wide enough for all.
LEAST, FREE = 12, 10_000


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
        yield from [("", ""), (table.title, STYLES["head"])]
    rows = [Row(tuple(head.upper() for head in table.head), "head"), *table.rows]
    # A name that leaves the others no room stands in a line of its own, uncut.
    longest = max(len(row.cells[0]) for row in rows)
    room = max(LEAST, width - _set(rows, table.numbers, FREE)[1] + longest)
    short = [
        row if len(row.cells[0]) <= room else replace(row, cells=("", *row.cells[1:]))
        for row in rows
    ]
    for row, shown, lines in zip(rows, short, _set(short, table.numbers, width)[0], strict=True):
        if shown is not row:
            yield from _wrapped(Words(row.cells[0], row.tone), width)
        yield from ((line, STYLES[row.tone]) for line in lines)
        for name, text in row.under:
            if text:
                yield from _wrapped(Words(text, lead=f"    {name}: ", hang=6), width)


def _set(rows: Iterable[Row], numbers: Iterable[int], width: int) -> tuple[list[list[str]], int]:
    """Return the lines of each row, all in the same columns, and how long the longest is."""
    from rich.console import Console
    from rich.table import Table as Grid
    from rich.text import Text

    grid = Grid(box=None, pad_edge=False, show_header=False)
    for row in rows:
        grid.add_row(*(Text(cell, overflow="fold") for cell in row.cells))
        # An empty line after each row tells where the next one begins.
        grid.add_row()
    for i in numbers:
        grid.columns[i].justify = "right"
    console = Console(width=width, file=StringIO(), color_system=None)
    texts = [
        "".join(piece.text for piece in line).rstrip()
        for line in console.render_lines(grid, pad=False)
    ]
    found = [list(lines) for full, lines in groupby(texts, bool) if full]
    return found, max(map(len, texts))
