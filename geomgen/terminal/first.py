"""How `check --quick` answers: a table or JSON of first answers, and the exit code."""

import sys
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from geomgen.documents.record import Block, Notice, Row, Table, Words
from geomgen.documents.screen import lines_of
from geomgen.terminal import console
from geomgen.terminal.answers import NOT_PASSED, OK, print_json
from geomgen.verdicts.first import WAITS, FirstCheck
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure_of, notices_of

if TYPE_CHECKING:
    from geomgen.workflows.building.quick import QuickResult

HEAD = (
    "First answers, measured on meshes. Those with a verdict are final; the rest waits for the "
    "exact figure: geomgen check FILE gives it."
)
# So many that wait are named at the end.
NAMED = 6


def code_of_first(result: "QuickResult") -> int:
    """Return the exit code: well only where all that decides is final and passes."""
    return OK if result.passed else NOT_PASSED


def first_outcome(result: "QuickResult", quiet: bool) -> None:
    """Show the table of first answers; quiet leaves out what is final and passed."""
    width = console.width_of(sys.stdout)
    shown = [c for c in result.checks if not (quiet and c.final and c.check.verdict == "pass")]
    rows = tuple(_row(check, result.inches) for check in shown)
    head = ("check", "first figure", "may be off by", "target", "verdict")
    told: list[Block] = [Words(HEAD, "aside", hang=0), Table(head, rows, numbers=(1, 2))]
    told[1:1] = [Words(console.IN_INCHES, "aside", hang=0)] if result.inches and rows else []
    told += map(Notice, [*notices_of(result.targets), *result.notices])
    told += [Words(""), *_closing(result), console.CAUTIOUS]
    console.show(lines_of(told, width), sys.stdout)


def _row(first: FirstCheck, inches: bool) -> Row:
    check = first.check
    row = console.check_row(check, inches)
    id_, measured, target, _, outcome = row.cells
    bound = check.error_bound
    off = "" if bound is None or check.measured is None else figure_of(check, bound, inches=inches)
    if first.final:
        return replace(row, cells=(id_, measured, off, target, outcome))
    under = tuple((name, text) for name, text in row.under if name in ("part", "note"))
    under = tuple((name, text) for name, text in under if text != WAITS)
    return replace(row, cells=(id_, measured, off, target, WAITS), tone="doubt", under=under)


def _closing(result: "QuickResult") -> list[Words]:
    tally = Counter(kind_of(c.check) if c.final else "waits" for c in result.checks)
    words = {**OUTCOMES, "waits": "for the exact figure to come"}
    text = ", ".join(f"{tally[kind]} {name}" for kind, name in words.items() if tally[kind])
    total = f"{len(result.checks)} first answers"
    told = [Words(f"{total}: {text or 'none'}", "bad" if tally["fail"] else "")]
    failing = [c.check.id for c in result.checks if c.fails]
    waiting = [c.check.id for c in result.checks if c.waits]
    if failing:
        told.append(Words(f"not passed, whatever the rest is: {_named(failing)}", "bad"))
    if waiting:
        told.append(Words(f"not settled: {_named(waiting)}", "doubt"))
    return told


def _named(ids: list[str]) -> str:
    more = len(ids) - NAMED
    return ", ".join(ids[:NAMED]) + (f" and {more} more" if more > 0 else "")


def first_json(result: "QuickResult", code: int) -> None:
    """Write the first answers as JSON."""
    answer: dict[str, object] = {
        "first_answers": True,
        "settled": result.settled,
        "checks": [check.as_dict() for check in result.checks],
        "notices": [*notices_of(result.targets), *result.notices],
        "seconds": round(result.seconds, 3),
        "caution": console.CAUTION,
    }
    print_json(answer, code)
