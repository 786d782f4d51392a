"""What a terminal shows: the table of checks, the size sheet, progress. Made from records only."""

import os
import sys
import textwrap
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from shutil import get_terminal_size
from typing import TYPE_CHECKING, TextIO

from geomgen import units
from geomgen.drafting.paper.title import RELEASED
from geomgen.measurements.record import Point
from geomgen.sizing.target import Target
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import between, figure, figure_words, limit_words, limits_text

if TYPE_CHECKING:
    from geomgen.workflows import HandoffResult, ReportResult, VerifyResult

NARROW, WIDE = 80, 100
STYLES = {
    "pass": "green",
    "fail": "bold red",
    "warn": "yellow",
    "not_measured": "bold magenta",
    "info": "",
}
DIMENSION = {"mm2": "area", "kg": "mass", "m/s": "speed", "deg": "angle"}
CAUTION = (
    "A geometry aid, not an airworthiness approval: local codes and licensed practice come first."
)

IN_INCHES = "in the file's own inches; places are in mm, as in checks.json"

# A line of text and the name of its style, empty for plain.
Line = tuple[str, str]


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
    rows = [check for check in checks if not (quiet and check.verdict == "pass")]
    columns = _columns(rows, width, inches)
    lines: list[Line] = []
    if rows:
        heads = ("CHECK", "MEASURED", "TARGET", "MARGIN", "VERDICT")
        lines.append((_row(heads, columns), "bold"))
    for check in rows:
        lines += _check_lines(check, columns, width, inches)
    if inches and rows:
        lines.append((IN_INCHES, "dim"))
    between = notice_lines(notices, width) or ([("", "")] if rows else [])
    return [*lines, *between, *closing(checks, width)]


def _cells(check: Check, inches: bool) -> tuple[str, str, str, str, str]:
    value, unit = check.measured, check.unit
    measured = "-" if value is None else figure(value, unit, inches=inches)
    margin = "-" if check.margin is None else figure(check.margin, unit, True, inches)
    target = check.target.text
    if inches and (check.target.low is not None or check.target.high is not None):
        target = between(check.comparison, check.target.low, check.target.high, unit, inches)
    if check.comparison == "one of":
        measured, target = check.written or "-", "on the list"
    kind = kind_of(check)
    return check.id, measured, target, margin, "info" if kind == "info" else OUTCOMES[kind]


def _columns(rows: Sequence[Check], width: int, inches: bool) -> tuple[int, ...]:
    """Return the widths of the five columns; the first gives way when all do not fit."""
    table = [_cells(check, inches) for check in rows]
    most = [max((len(cells[i]) for cells in table), default=0) for i in range(5)]
    measured = min(max(most[1], 8), 18)
    target, margin = max(most[2], 6), max(most[3], 6)
    rest = width - measured - target - margin - len(OUTCOMES["not_measured"]) - 8
    return max(12, min(max(most[0], 5), rest)), measured, target, margin, 0


def _row(cells: Sequence[str], columns: Sequence[int]) -> str:
    check, measured, target, margin, verdict = cells
    first, second, third, fourth, _ = columns
    # A long name may use the room that a short figure leaves.
    room = first + 2 + second - len(check)
    return f"{check}{measured:>{room}}  {target:<{third}}  {margin:>{fourth}}  {verdict}"


def _check_lines(
    check: Check, columns: tuple[int, ...], width: int, inches: bool
) -> Iterator[Line]:
    style = STYLES[kind_of(check)]
    name, measured, *rest = _cells(check, inches)
    long_word = len(measured) > columns[1]
    shown = "see below" if long_word else measured
    if len(name) + len(shown) > columns[0] + columns[1]:
        yield name, style
        name = ""
    yield _row((name, shown, *rest), columns), style
    if long_word:
        yield from _under("as written", measured, width)
    if check.verdict != "pass":
        yield from _under("what", check.what, width)
        if inches and _cells(check, inches) != (metric := _cells(check, False)):
            yield from _under("metric", f"{metric[1]}, {metric[2]}, margin {metric[3]}", width)
    if check.part not in check.id:
        yield from _under("part", check.part, width)
    yield from _under("where", check.where, width)
    yield from _under("points", _points(check.points), width)
    if check.verdict != "pass":
        yield from _under("limit", check.source, width)
        if check.comparison == "one of":
            yield from _under("list", check.target.text.removeprefix("one of: "), width)
    yield from _under("note", check.note, width)


def _under(name: str, text: str, width: int) -> Iterator[Line]:
    if text:
        lead = f"    {name}: "
        wrapped = textwrap.wrap(
            text, width, initial_indent=lead, subsequent_indent=" " * 6, break_on_hyphens=False
        )
        yield from ((line, "") for line in wrapped)


def _points(points: Sequence[Point]) -> str:
    if not points:
        return ""
    texts = ["(" + ", ".join(f"{x:.1f}" for x in point) + ")" for point in points]
    return " to ".join(texts) + " mm"


def counts(checks: Sequence[Check]) -> dict[str, int]:
    """Return how many checks ended in each verdict, and how many figures are only to be read.

    >>> counts([])
    {'pass': 0, 'fail': 0, 'warn': 0, 'not_measured': 0, 'info': 0}
    """
    tally = Counter(kind_of(check) for check in checks)
    return {kind: tally[kind] for kind in OUTCOMES}


def closing(checks: Sequence[Check], width: int = WIDE) -> list[Line]:
    """Return the counts and the caution."""
    tally = counts(checks)
    text = ", ".join(f"{number} {OUTCOMES[kind]}" for kind, number in tally.items() if number)
    worst = next((kind for kind in ("fail", "not_measured", "warn") if tally[kind]), "pass")
    total = f"{len(checks)} figure{'' if len(checks) == 1 else 's'}"
    return [(f"{total}: {text or 'none'}", STYLES[worst]), *caution(width)]


def caution(width: int = WIDE) -> list[Line]:
    """Return the caution that ends every answer."""
    return [(line, "dim") for line in textwrap.wrap(CAUTION, width)]


def size_sheet(targets: Sequence[Target], width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return each target with formula, inputs, result, band and source, then the notices.

    Quiet leaves the notices and, a line each, the results.
    """
    lines: list[Line] = []
    for target in targets:
        lines += _brief(target, width) if quiet else _full(target, width)
    return [*lines, *notice_lines(notices_of(targets), width), *caution(width)]


def notices_of(targets: Sequence[Target], checks: Sequence[Check] = ()) -> list[str]:
    """Return each notice of the targets once, without those that a check says in its note."""
    said = "; ".join(check.note for check in checks)
    every = dict.fromkeys(notice for target in targets for notice in target.notices)
    return [notice for notice in every if notice not in said]


def notice_lines(notices: Sequence[str], width: int = WIDE) -> list[Line]:
    """Return the notices, loud, with an empty line round each."""
    lines: list[Line] = []
    for notice in notices:
        wrapped = textwrap.wrap(notice, width, initial_indent="NOTICE  ", subsequent_indent=" " * 8)
        lines += [("", ""), *((line, "bold yellow") for line in wrapped)]
    return [*lines, ("", "")] if lines else []


def _brief(target: Target, width: int) -> list[Line]:
    lead = f"{target.id.removesuffix('.*')}: "
    return [(line, "") for line in textwrap.wrap(lead + both_units(target), width)]


def _full(target: Target, width: int) -> Iterator[Line]:
    yield target.id.removesuffix(".*"), "bold"
    rows = [("what", target.what), ("target", both_units(target))]
    if target.written_word:
        rows.append(("written", target.written_word))
    if target.band is not None:
        low, high = (_both(value, target.unit) for value in target.band)
        rows.append(("band", f"{low}  to  {high}"))
    rows.append(("formula", target.formula))
    rows += [(name, value) for name, value in (("inputs", _inputs(target)),) if value]
    rows.append(("source", target.source))
    for name, text in rows:
        if text:
            yield from (
                (line, "")
                for line in textwrap.wrap(
                    text,
                    width,
                    initial_indent=f"  {name:<9}",
                    subsequent_indent=" " * 11,
                    break_on_hyphens=False,
                )
            )
    yield "", ""


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


def finding_dict(finding: Check) -> dict[str, object]:
    """Return a finding of a shop's part as plain values for JSON."""
    from geomgen.pages.gate_sheet import finding_row

    return finding_row(finding)


def finding_lines(findings: Sequence[Check], width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return what was measured on the shops' files, a line each; quiet leaves out what passed."""
    shown = [finding for finding in findings if not (quiet and finding.verdict == "pass")]
    lines: list[Line] = []
    if shown:
        heads = ("WHAT THE SHOPS GET", "MEASURED", "LIMIT", "", "VERDICT")
        lines = [("", ""), (_row(heads, (46, 14, 24, 0, 0)), "bold")]
    for finding in shown:
        measured = figure_words(finding.measured, finding.unit)
        limits = limit_words(finding.target.low, finding.target.high, finding.unit)
        cells = (finding.id, measured, limits, "", OUTCOMES[kind_of(finding)])
        lines.append((_row(cells, (46, 14, 24, 0, 0)), STYLES[finding.verdict]))
        if finding.verdict != "pass":
            rows = (
                ("what", finding.what), ("where", finding.where), ("limit", finding.source),
                ("do", finding.note),
            )  # fmt: skip
            for name, text in rows:
                lines += list(_under(name, text, width))
    return lines


def handoff_end(result: "HandoffResult", width: int = WIDE) -> list[Line]:
    """Return the last lines of a hand-off: written, released all the same, or refused."""
    if result.refused:
        text = (
            "NOT HANDED OFF: something failed, and nothing was written. Put it right, or give "
            '--release-anyway "reason"; the reason is then printed on every sheet and list.'
        )
        return [(line, "bold red") for line in textwrap.wrap(text, width)]
    lines: list[Line] = []
    if result.reason:
        lines.append((f"{RELEASED}: {result.reason}", "bold red"))
    return [*lines, (f"handed off to {result.folder} in {result.seconds:.1f} s", "")]


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
    lines: list[Line] = []
    for finding in result.findings:
        wrapped = textwrap.wrap(finding, width, subsequent_indent="  ", break_on_hyphens=False)
        lines += [(line, "bold red") for line in wrapped]
    if result.reason:
        lines.append((f"released although a check failed: {result.reason}", "yellow"))
    if result.unseen:
        names = ", ".join(result.unseen[:3]) + (", ..." if len(result.unseen) > 3 else "")
        told = f"checked by their hash only, not made again ({len(result.unseen)}): {names}"
        lines += [(line, "yellow") for line in textwrap.wrap(told, width, subsequent_indent="  ")]
    if not result.findings:
        lines.append((f"every file of {result.folder} belongs to it", "green"))
    return lines
