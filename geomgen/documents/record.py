"""What is said to people, as plain records, from which a screen, a PDF or a page is made."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

# How a line or a row is meant; whoever shows it chooses the colour.
Tone = Literal["", "head", "good", "bad", "doubt", "lost", "worse", "loud", "aside"]


@dataclass(frozen=True)
class Heading:
    """A heading."""

    text: str


@dataclass(frozen=True)
class Words:
    """A paragraph; `small` for what is read once.

    On a screen `lead` stands before its first line, `hang` blanks before the others.
    """

    text: str
    tone: Tone = ""
    small: bool = False
    lead: str = ""
    hang: int = 2


@dataclass(frozen=True)
class Notice:
    """What has to be known before the rest is read."""

    text: str


@dataclass(frozen=True)
class Banner:
    """One line in large type, framed: the answer of a sheet; `loud` for what must not be missed."""

    text: str
    loud: bool = False


@dataclass(frozen=True)
class Row:
    """A row of a table; `under` is what else there is to say of it, as (name, text)."""

    cells: tuple[str, ...]
    tone: Tone = ""
    under: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Table:
    """A table; `shares` are the columns' shares of a page's width, and sum up to 1.

    `numbers` are the places of the columns that are set to the right.
    """

    head: tuple[str, ...]
    rows: tuple[Row, ...]
    shares: tuple[float, ...] = ()
    title: str = ""
    numbers: tuple[int, ...] = ()


Block = Heading | Words | Notice | Banner | Table


def rows_of(cells: Iterable[Sequence[str]]) -> tuple[Row, ...]:
    """Return rows of which nothing but their cells is to be said."""
    return tuple(Row(tuple(row)) for row in cells)
