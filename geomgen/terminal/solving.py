"""What a terminal shows of a search: each measured state, the answer, what it changed."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.documents.record import Block, Row, Table, Tone, Words
from geomgen.documents.screen import Line, lines_of
from geomgen.terminal.console import CAUTIOUS, WIDE
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure, margin_text, measured_text

if TYPE_CHECKING:
    from geomgen.solving.search.search import Solved
    from geomgen.solving.solve import SolveResult

SAVED = (
    "The parameter file, or one that it reads, was changed during the search: the answer belongs "
    "to it as it was before."
)
TONES: dict[str, Tone] = {"holds": "good", "breaks a check": "bad", "not met": "bad"}


def answer_lines(result: "SolveResult", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return the answer, three tables, what else there is to say, where it is written.

    Quiet leaves the answer, a changed file, and where it is written.
    """
    from geomgen.solving.search.told import headline, sentences

    solved = result.solved
    told: list[Block] = [Words(_sentence(headline(solved)), TONES[solved.status])]
    if not quiet:
        told += [freed(solved), asked(solved), others(solved), Words(""), *_mass(result)]
        told += [Words(_sentence(text), "doubt") for text in sentences(solved)]
    if result.saved:
        told.append(Words(SAVED, "doubt"))
    told += [Words(_sentence(text), "doubt") for text in result.strayed]
    return lines_of([*told, _end(result), CAUTIOUS], width)


def _sentence(text: str) -> str:
    return f"{text}." if not text.endswith(".") else text


def freed(solved: "Solved") -> Table:
    """Return the table of the freed keys: former and new value, bounds, step."""
    rows = []
    for i, free in enumerate(solved.asked.frees):
        values = solved.answer.values if solved.answer is not None else ()
        former = "-" if free.start is None else free.shown(free.start)
        new = free.shown(values[i]) if i < len(values) else "-"
        bounds = f"{free.shown(free.low)} to {free.shown(free.high)}"
        rows.append(Row((free.label, former, new, bounds, free.step.text)))
    return Table(("key", "former", "new", "bounds", "step"), tuple(rows), title="FREED")


def asked(solved: "Solved") -> Table:
    """Return the table of what is asked: each figure former and new, and whether it is met."""
    from geomgen.solving.search.told import wanted_text

    before = {check.id: check for check in solved.former.checks}
    rows = []
    unmet = solved.unmet
    for gap in solved.answer.gaps if solved.answer is not None else ():
        met = gap not in unmet
        if gap.until.way == "all" and met:
            continue
        wanted = wanted_text(gap, solved.gives.get(gap.check.id, 0.0))
        former, new = measured_text(before.get(gap.check.id)), measured_text(gap.check)
        cells = (gap.check.id, former, new, wanted, "met" if met else "not met")
        rows.append(Row(cells, "good" if met else "bad"))
    return Table(("figure", "former", "new", "asked", ""), tuple(rows), title="ASKED")


def others(solved: "Solved") -> Table:
    """Return the table of the other figures that moved, and of verdicts that changed."""
    from geomgen.solving.search.told import moved

    rows = []
    for old, new in moved(solved):
        was = "-" if old is None else OUTCOMES[kind_of(old)]
        now = OUTCOMES[kind_of(new)]
        verdict = now if was == now else f"{was} -> {now}"
        tone: Tone = "bad" if new.stops else "" if was == now else "good"
        cells = (new.id, measured_text(old), measured_text(new), margin_text(new), verdict)
        rows.append(Row(cells, tone))
    return Table(("figure", "former", "new", "margin", "verdict"), tuple(rows), title="ALSO MOVED")


def _mass(result: "SolveResult") -> Iterator[Words]:
    """Yield the mass, former and new, and what it is of."""
    from geomgen.solving.mass import mass_words

    answer, former = result.solved.answer, result.solved.former.mass
    if answer is not None and answer.mass is not None:
        was = "-" if former is None else figure(former, "kg")
        yield Words(f"{was} -> {figure(answer.mass, 'kg')}: {mass_words(result.plan.densities)}.")


def _end(result: "SolveResult") -> Words:
    points, seconds = result.solved.points, result.seconds
    first = sum(not point.exact for point in points)
    told = f"{len(points)} states measured in {seconds:.1f} s"
    if first:
        told += f", {first} of them on the way by first answers; the answer's figures are exact"
    if result.file is None:
        return Words(f"nothing written; {told}")
    return Words(f"written: {result.file}; {told}")
