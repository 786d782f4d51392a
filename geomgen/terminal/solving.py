"""What a terminal shows of a search: each measured state, the answer, what it changed."""

import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING

from geomgen.terminal.console import WIDE, Line, caution
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure, measured_text

if TYPE_CHECKING:
    from geomgen.comparison.wording import Mood, Table
    from geomgen.solving.search.search import Solved
    from geomgen.solving.solve import SolveResult

SAVED = (
    "The parameter file, or one that it reads, was changed during the search: the answer belongs "
    "to it as it was before."
)
STYLES = {"holds": "green", "breaks a check": "bold red", "not met": "bold red"}


def answer_lines(result: "SolveResult", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return the answer, three tables, what else there is to say, where it is written.

    Quiet leaves the answer, a changed file, and where it is written.
    """
    from geomgen.solving.search.told import headline, sentences
    from geomgen.terminal.changes import table_lines

    solved = result.solved
    lines = _wrapped(_sentence(headline(solved)), width, STYLES[solved.status])
    if not quiet:
        for table in (freed(solved), asked(solved), others(solved)):
            lines += table_lines(table, width)
        lines.append(("", ""))
        lines += mass_lines(result, width)
        for text in sentences(solved):
            lines += _wrapped(_sentence(text), width, "yellow")
    return [*lines, *_saved(result, width), *_end(result, width), *caution(width)]


def _saved(result: "SolveResult", width: int) -> list[Line]:
    return _wrapped(SAVED, width, "yellow") if result.saved else []


def _sentence(text: str) -> str:
    return f"{text}." if not text.endswith(".") else text


def _wrapped(text: str, width: int, style: str = "") -> list[Line]:
    rows = textwrap.wrap(text, width, subsequent_indent="  ", break_on_hyphens=False)
    return [(row, style) for row in rows]


def _table(title: str, heads: Sequence[str], rows: "list[tuple[tuple[str, ...], Mood]]") -> "Table":
    from geomgen.comparison.wording import Table

    texts, moods = tuple(row for row, _ in rows), tuple(mood for _, mood in rows)
    return Table(title, tuple(heads), texts, moods)


def freed(solved: "Solved") -> "Table":
    """Return the table of the freed keys: former and new value, bounds, step."""
    rows: list[tuple[tuple[str, ...], Mood]] = []
    for i, free in enumerate(solved.asked.frees):
        values = solved.answer.values if solved.answer is not None else ()
        former = "-" if free.start is None else free.shown(free.start)
        new = free.shown(values[i]) if i < len(values) else "-"
        bounds = f"{free.shown(free.low)} to {free.shown(free.high)}"
        rows.append(((free.label, former, new, bounds, free.step.text), ""))
    return _table("FREED", ("KEY", "FORMER", "NEW", "BOUNDS", "STEP"), rows)


def asked(solved: "Solved") -> "Table":
    """Return the table of what is asked: each figure former and new, and whether it is met."""
    from geomgen.solving.search.told import wanted_text

    before = {check.id: check for check in solved.former.checks}
    rows: list[tuple[tuple[str, ...], Mood]] = []
    unmet = solved.unmet
    for gap in solved.answer.gaps if solved.answer is not None else ():
        met = gap not in unmet
        if gap.until.way == "all" and met:
            continue
        wanted = wanted_text(gap, solved.gives.get(gap.check.id, 0.0))
        former, new = measured_text(before.get(gap.check.id)), measured_text(gap.check)
        cells = (
            gap.check.id,
            former,
            new,
            wanted,
            "met" if met else "not met",
        )
        rows.append((cells, "good" if met else "bad"))
    return _table("ASKED", ("FIGURE", "FORMER", "NEW", "ASKED", ""), rows)


def others(solved: "Solved") -> "Table":
    """Return the table of the other figures that moved, and of verdicts that changed."""
    from geomgen.solving.search.told import moved

    rows: list[tuple[tuple[str, ...], Mood]] = []
    for old, new in moved(solved):
        was = "-" if old is None else OUTCOMES[kind_of(old)]
        now = OUTCOMES[kind_of(new)]
        verdict = now if was == now else f"{was} -> {now}"
        mood: Mood = "bad" if new.stops else "" if was == now else "good"
        margin = "-" if new.margin is None else figure(new.margin, new.unit, sign=True)
        rows.append(((new.id, measured_text(old), measured_text(new), margin, verdict), mood))
    return _table("ALSO MOVED", ("FIGURE", "FORMER", "NEW", "MARGIN", "VERDICT"), rows)


def mass_lines(result: "SolveResult", width: int = WIDE) -> list[Line]:
    """Return the mass, former and new, and what it is of."""
    from geomgen.solving.mass import mass_words

    answer, former = result.solved.answer, result.solved.former.mass
    new = answer.mass if answer is not None else None
    if new is None:
        return []
    was = "-" if former is None else figure(former, "kg")
    return _wrapped(f"{was} -> {figure(new, 'kg')}: {mass_words(result.plan.densities)}.", width)


def _end(result: "SolveResult", width: int) -> list[Line]:
    made, seconds = len(result.solved.points), result.seconds
    told = f"{made} states measured in {seconds:.1f} s"
    if result.file is None:
        return _wrapped(f"nothing written; {told}", width)
    return _wrapped(f"written: {result.file}; {told}", width)
