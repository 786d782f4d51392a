"""What a terminal shows of a comparison: the answer, four tables, what to mind."""

from pathlib import Path
from typing import TYPE_CHECKING

from geomgen.documents.record import Block, Words
from geomgen.documents.screen import Line, lines_of
from geomgen.terminal.console import CAUTIOUS, WIDE

if TYPE_CHECKING:
    from geomgen.workflows import ComparisonResult


def comparison(
    result: "ComparisonResult",
    folder: Path,
    width: int = WIDE,
    quiet: bool = False,
    everything: bool = False,
) -> list[Line]:
    """Return what differs between two states; quiet gives the answer only."""
    head = [Words(_sentence(result.answer), "head", hang=0)]
    sides = [(f"former: {_side(result.former)}", ""), (f"new:    {_side(result.new)}", "")]
    told: list[Block] = [Words(finding, "bad") for finding in result.findings]
    if not quiet:
        told += result.tables(everything)
        for note in result.notes:
            told += [Words(""), Words(f"note: {note}", "doubt")]
    drawn = ", overlay drawing" if result.sheet is not None else ""
    end = f"written to {folder}: comparison.json{drawn}; compared in {result.seconds:.1f} s"
    return [
        *lines_of(head, width),
        *sides,
        *lines_of([*told, Words("")], width),
        (end, ""),
        *lines_of([CAUTIOUS], width),
    ]


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _side(side: object) -> str:
    label, name, revision = (getattr(side, key) for key in ("label", "name", "revision"))
    built = ", built for this comparison" if getattr(side, "built", False) else ""
    return f"{label} ({name}, revision {revision}{built})"
