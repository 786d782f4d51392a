"""A plain page of text and tables as records, from which a file of any format is written."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Heading:
    """A heading; level 1 is the page's own."""

    text: str
    level: int = 2


@dataclass(frozen=True)
class Words:
    """A paragraph; `small` for what is read once."""

    text: str
    small: bool = False


@dataclass(frozen=True)
class Banner:
    """One line in large type, framed: the answer of a sheet; `loud` for what must not be missed."""

    text: str
    loud: bool = False


@dataclass(frozen=True)
class Table:
    """A table; `shares` are the columns' shares of the width, and sum up to 1."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]


Block = Heading | Words | Banner | Table
