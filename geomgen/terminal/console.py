"""What a terminal shows: the table of checks, the size sheet, progress. Made from records only."""

import os
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import TYPE_CHECKING, TextIO

from geomgen import units
from geomgen.documents.record import Block, Notice, Row, Table, Tone, Words
from geomgen.documents.screen import Line, lines_of
from geomgen.drafting.paper.title import RELEASED
from geomgen.length_words import in_inches_alone
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import (
    check_cells,
    figure,
    finding_cells,
    limits_text,
    notices_of,
    points_text,
)

if TYPE_CHECKING:
    from geomgen.workflows import (
        AirResult,
        BalanceResult,
        HandoffResult,
        ReportResult,
        VerifyResult,
    )

NARROW, WIDE = 80, 100
TONES: dict[str, Tone] = {
    "pass": "good",
    "fail": "bad",
    "warn": "doubt",
    "not_measured": "lost",
    "info": "",
}
# A longer word of the builder's stands below its row.
LONGEST = 18
# So many checks that stop the whole are named at the end.
NAMED = 6
DIMENSION = {"mm2": "area", "kg": "mass", "m/s": "speed", "deg": "angle"}
CAUTION = (
    "A geometry aid, not an airworthiness approval: local codes and licensed practice come first."
)
IN_INCHES = "in the file's own inches, places too; checks.json is in mm"
CAUTIOUS = Words(CAUTION, "aside", hang=0)


def width_of(stream: TextIO) -> int:
    """Return how many columns to use: a terminal's between 80 and 100, a pipe's 100."""
    if not stream.isatty():
        return WIDE
    return max(NARROW, min(WIDE, get_terminal_size((WIDE, 24)).columns))


def wants_colour(stream: TextIO) -> bool:
    """Tell whether colour may be used: a terminal, and the user did not say no to it."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def show(lines: Iterable[Line], stream: TextIO) -> None:
    """Write lines, in colour where that is wanted."""
    if not wants_colour(stream):
        stream.write("".join(text.rstrip() + "\n" for text, _ in lines))
        stream.flush()
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(file=stream, highlight=False, markup=False, soft_wrap=True)
    for text, style in lines:
        console.print(Text(text, style=style))
    stream.flush()


def check_table(
    checks: Sequence[Check],
    notices: Sequence[str] = (),
    width: int = WIDE,
    quiet: bool = False,
    inches: bool = False,
) -> list[Line]:
    """Return the table of checks, the notices, the counts and the caution.

    Quiet leaves out what passed. For a file that counts in inches so does the table, with
    millimetres below what did not pass.
    """
    words = [in_inches_alone(notice) if inches else notice for notice in notices]
    told = [*_checks(checks, quiet, inches), *map(Notice, words)]
    if notices or any(not (quiet and check.verdict == "pass") for check in checks):
        told.append(Words(""))
    return lines_of([*told, *closing(checks)], width)


def _checks(checks: Sequence[Check], quiet: bool, inches: bool) -> "list[Block]":
    """Return the rows of checks; quiet leaves out what passed."""
    rows = tuple(
        check_row(check, inches) for check in checks if not (quiet and check.verdict == "pass")
    )
    head = ("check", "measured", "target", "margin", "verdict")
    aside = (Words(IN_INCHES, "aside", hang=0),) if inches and rows else ()
    return [Table(head, rows, numbers=(1, 3)), *aside]


def balance_lines(result: "BalanceResult", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return the sheet of masses and its checks; quiet leaves out the sheet and what passed."""
    return _sheet_lines(result, width, quiet)


def air_lines(result: "AirResult", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return the sheet of the air and its checks; quiet leaves out the sheet and what passed."""
    return _sheet_lines(result, width, quiet)


def _sheet_lines(result: "AirResult | BalanceResult", width: int, quiet: bool) -> list[Line]:
    blocks = [] if quiet else result.blocks()
    table = _checks(result.checks, quiet, result.inches)
    return lines_of([*blocks, Words(""), *table, Words(""), *closing(result.checks)], width)


def check_row(check: Check, inches: bool) -> Row:
    """Return a check as a row of the table."""
    id_, measured, target, margin, outcome = check_cells(check, inches)
    kind, bad = kind_of(check), check.verdict != "pass"
    named, long = check.comparison == "one of", len(measured) > LONGEST
    cells = (
        id_,
        "see below" if long else measured,
        "on the list" if named else target,
        margin,
        "info" if kind == "info" else outcome,
    )
    plain = check_cells(check)
    metric = f"{plain[1]}, {plain[2]}, margin {plain[3]}"
    under = {
        "metric": metric if bad and plain != check_cells(check, inches) else "",
        "as written": measured if long else "",
        "what": check.what if bad else "",
        "part": check.part if check.part not in check.id else "",
        "where": in_inches_alone(check.where) if inches else check.where,
        "points": points_text(check.points, inches),
        "limit": check.source if bad else "",
        "list": target.removeprefix("one of: ") if named and bad else "",
        "note": in_inches_alone(check.note) if inches else check.note,
    }
    return Row(cells, TONES[kind], tuple(under.items()))


def counts(checks: Sequence[Check]) -> dict[str, int]:
    """Return how many checks ended in each verdict, and how many figures are only to be read.

    >>> counts([])
    {'pass': 0, 'fail': 0, 'warn': 0, 'not_measured': 0, 'info': 0}
    """
    tally = Counter(kind_of(check) for check in checks)
    return {kind: tally[kind] for kind in OUTCOMES}


def closing(checks: Sequence[Check]) -> list[Words]:
    """Return the counts, what stops by name, and the caution."""
    tally = counts(checks)
    text = ", ".join(f"{number} {OUTCOMES[kind]}" for kind, number in tally.items() if number)
    worst = next((kind for kind in ("fail", "not_measured", "warn") if tally[kind]), "pass")
    total = f"{len(checks)} figure{'' if len(checks) == 1 else 's'}"
    told = [Words(f"{total}: {text or 'none'}", TONES[worst])]
    stopping = [check.id for check in checks if check.stops]
    if stopping:
        more = len(stopping) - NAMED
        names = ", ".join(stopping[:NAMED]) + (f" and {more} more" if more > 0 else "")
        told.append(Words(f"not passed: {names}", TONES["fail"]))
    return [*told, CAUTIOUS]


def caution(width: int = WIDE) -> list[Line]:
    """Return the caution that ends every answer."""
    return lines_of([CAUTIOUS], width)


def size_sheet(targets: Sequence[Target], width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return each target with formula, inputs, result, band and source, then the notices.

    Quiet leaves the notices and, a line each, the results.
    """
    told: list[Block] = [
        words for target in targets for words in ([_brief(target)] if quiet else _full(target))
    ]
    notices = [Notice(notice) for notice in notices_of(targets)]
    return lines_of([*told, *notices, *([Words("")] if notices else []), CAUTIOUS], width)


def _brief(target: Target) -> Words:
    return Words(f"{target.id.removesuffix('.*')}: {both_units(target)}", hang=0)


def _full(target: Target) -> Iterator[Words]:
    yield Words(target.id.removesuffix(".*"), "head")
    band = target.band and "  to  ".join(_both(value, target.unit) for value in target.band)
    rows = {
        "what": target.what,
        "target": both_units(target),
        "written": target.written_word,
        "band": band,
        "formula": target.formula,
        "inputs": _inputs(target),
        "source": target.source,
    }
    yield from (Words(text, lead=f"  {name:<9}", hang=11) for name, text in rows.items() if text)
    yield Words("")


def _inputs(target: Target) -> str:
    return "; ".join(f"{name} {value}" for name, value in target.inputs)


def _both(value: float, unit: str) -> str:
    if unit == "mm":
        return f"{figure(value, unit)} / {value / units.INCH:.3f} in"
    dimension = DIMENSION.get(unit)
    return units.both(value, dimension) if dimension else figure(value, unit)


def both_units(target: Target) -> str:
    """Return a target's limits in both unit systems.

    >>> both_units(Target("a", "", "at least", "mm", low=25.4))
    'at least 25.40 mm / 1.000 in'
    """
    low, high = target.low, target.high
    if target.comparison == "none" and target.notices:
        return f"none: {target.notices[0]}"
    if target.comparison in ("one of", "none") or (low is None and high is None):
        return limits_text(target)
    shown = [_both(value, target.unit) for value in (low, high) if value is not None]
    if len(shown) == 2:
        return f"from {shown[0]}  to  {shown[1]}"
    return f"{target.comparison} {shown[0]}"


@contextmanager
def progress(quiet: bool) -> Iterator[Callable[[str], None]]:
    """Give a function that names the step under way, on stderr and only when a person looks on."""
    if quiet or not sys.stderr.isatty():
        yield lambda step: None
        return
    from rich.console import Console

    with Console(stderr=True, highlight=False, markup=False).status("starting") as status:
        yield lambda step: status.update(step)


def finding_lines(findings: Sequence[Check], width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return what was measured on the shops' files, a line each; quiet leaves out what passed."""
    rows = tuple(_finding(one) for one in findings if not (quiet and one.verdict == "pass"))
    table = Table(("what the shops get", "measured", "limit", "verdict"), rows, numbers=(1,))
    return lines_of([Words(""), table] if rows else [], width)


def _finding(finding: Check) -> Row:
    what = {
        "what": finding.what,
        "where": finding.where,
        "limit": finding.source,
        "do": finding.note,
    }
    under = what if finding.verdict != "pass" else {}
    return Row(finding_cells(finding), TONES[finding.verdict], tuple(under.items()))


def handoff_end(result: "HandoffResult", width: int = WIDE) -> list[Line]:
    """Return the last lines of a hand-off: written, released all the same, or refused."""
    if result.refused:
        text = (
            "NOT HANDED OFF: something failed, and nothing was written. Put it right, or give "
            '--release-anyway "reason"; the reason is then printed on every sheet and list.'
        )
        return lines_of([Words(text, "bad", hang=0)], width)
    reason = [(f"{RELEASED}: {result.reason}", "bold red")] if result.reason else []
    return [*reason, (f"handed off to {result.folder} in {result.seconds:.1f} s", "")]


def report_end(result: "ReportResult") -> list[Line]:
    """Return where the page is, what else was written, how long it took."""
    first = "set built first; " if result.built else ""
    others = len(result.files) - 1
    return [
        (f"page: {result.page}", ""),
        (
            f"{others} more file{'' if others == 1 else 's'} in {result.folder}: drawings, "
            "pictures, models to look at",
            "",
        ),
        (f"{first}report made in {result.making:.1f} s", ""),
    ]


def verify_end(result: "VerifyResult", width: int = WIDE) -> list[Line]:
    """Return what no longer belongs to a set, or that all of it does."""
    told = [Words(finding, "bad") for finding in result.findings]
    if result.reason:
        told.append(Words(f"released although a check failed: {result.reason}", "doubt"))
    if result.unseen:
        names = ", ".join(result.unseen[:3]) + (", ..." if len(result.unseen) > 3 else "")
        hashed = f"checked by their hash only, not made again ({len(result.unseen)}): {names}"
        told.append(Words(hashed, "doubt"))
    whole = (f"every file of {result.folder} belongs to it", "green")
    if result.findings:
        return [*lines_of([*told, Words(intact_words(result))], width)]
    return [*lines_of(told, width), whole]


def intact_words(result: "VerifyResult") -> str:
    """Return the sentence that says whether the files of a set are still those that were made."""
    many = len(result.astray)
    if not many:
        return (
            f"The set itself is intact: every file of {result.folder} has the hash that was "
            "written down when it was made."
        )
    files = "1 file is" if many == 1 else f"{many} files are"
    return f"The set itself is not intact: {files} missing, changed or unknown to its manifest."
