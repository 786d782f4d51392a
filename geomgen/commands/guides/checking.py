"""What each check measures on the solids, and what it is compared with: the end of `check --help`.

Each check's words stand where its limit is declared, in `sizing/`.
"""

from collections.abc import Iterator
from textwrap import fill

from geomgen.sizing.targets import DECLARED

HEAD = """\
Measures the solids and compares them with the targets of `geomgen size FILE`,
which shows each one with formula, inputs, band and source. What came of it
stands in checks.json and, with `geomgen report FILE`, on a page: value, limit,
margin, verdict, method, error bound, place, source.

verdicts:
  PASS          inside the limit by more than the error bound
  FAIL          outside the limit
  warn          inside, but nearer to the limit than the error bound; or outside
                a limit that only warns; or no limit is given: the note says why
  not measured  the note says why; fails too, unless the file leaves out what
                there was to measure

exit code 1: a check failed, or one that was due could not be measured.

--quick: first answers, in a fraction of the time, and no file. Skins are cut by
  meshes and measured on them, each figure with what it may be off by. A verdict
  that no exact figure can turn is final; the others read "waits for the exact
  figure". Exit code 0: all that decides is final and passes; 1: something
  fails, or something that decides still waits.

Writes DIR/NAME/checks.json (NAME: name in the file). A set that was built is
never touched: if it was built with other parameters, the outcome goes into
DIR/NAME.checks beside it."""

TAIL = """\
No check sees parts that the file does not have: exhaust, cables, a gear leg
that is left out.
Strength and flutter are not looked at; masses are computed, no weighing."""


def _listed() -> Iterator[str]:
    """Give each group of checks as a paragraph."""
    for group in dict.fromkeys(one.group for one in DECLARED):
        told = [row for one in DECLARED if one.group == group for row in one.words.items()]
        rows = (f"  {ids}\n{_filled(words, 6)}" for ids, words in told)
        lead = [f"{_filled(group.words, 2)}\n"] if group.words else []
        yield "\n".join((group.title, *lead, *rows))


def _filled(words: str, indent: int) -> str:
    blank = " " * indent
    return fill(words, 79, initial_indent=blank, subsequent_indent=blank, break_on_hyphens=False)


GUIDE = "\n\n".join((HEAD, *_listed(), TAIL))
