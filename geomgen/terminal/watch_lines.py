"""What a terminal shows of a watch: what changed, what is refused. Made from records only."""

import textwrap
from typing import TYPE_CHECKING, Any

from geomgen.pages.verdict_words import sentence
from geomgen.terminal.console import STYLES, WIDE, Line, caution

if TYPE_CHECKING:
    from geomgen.watching.live_page.changes import Change
    from geomgen.watching.watch import WatchEvent

MOODS = {"good": "green", "bad": "bold red"}
HANG = "    "
AFTER = {
    "refused": "the last good state stays; waiting for the next save",
    "unfinished": "the checks above hold; only the page's model or drawings are missing",
}


def lines(told: "WatchEvent", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return what to print of an outcome; quiet leaves out figures whose verdict is the same."""
    if told.kind in ("refused", "unfinished"):
        return [*_refused(told.error or {}, width), (AFTER[told.kind], "")]
    if told.kind == "lost":
        return [(row, "yellow") for row in textwrap.wrap(told.words, width)]
    if told.kind == "mended":
        return [(f"the file is as revision {told.revision} again: nothing new to build", "")]
    if told.kind == "same":
        return [] if quiet else [("only the text changed: nothing to build", "")]
    return _built(told, width, quiet)


def _built(told: "WatchEvent", width: int, quiet: bool) -> list[Line]:
    head = f"revision {told.revision}: {told.seconds:.1f} s, {told.made} steps made, "
    head += f"{told.kept} taken from before"
    found: list[Line] = [(head, "bold")]
    for change in told.changes:
        if change.mood or not quiet:
            found += _change(change, width)
    if told.revision > 1 and not told.changes:
        found.append(("  no figure differs", ""))
    style = "bold red" if any(check.stops for check in told.checks) else "green"
    said = sentence(told.checks)
    wrapped = textwrap.wrap(said, width, initial_indent="  ", subsequent_indent="  ")
    return [*found, *((row, style) for row in wrapped)]


def _change(change: "Change", width: int) -> list[Line]:
    margin = f", margin {change.margin}" if change.margin else ""
    text = f"  {change.id}: {change.former} → {change.new}{margin}, {change.words}"
    style = MOODS.get(change.mood, STYLES.get(change.kind, ""))
    wrapped = textwrap.wrap(text, width, subsequent_indent=HANG, break_on_hyphens=False)
    return [(row, style) for row in wrapped]


def _refused(error: dict[str, Any], width: int) -> list[Line]:
    every = error.get("errors") or [error]
    found: list[Line] = []
    for one in every[:25]:
        place = ", ".join(
            part
            for part in (one.get("file"), f"line {one['line']}" if one.get("line") else "")
            if part
        )
        head = ": ".join(
            part for part in (place, one.get("part"), one.get("key"), one.get("problem")) if part
        )
        found += [(row, "bold red") for row in textwrap.wrap(head, width, subsequent_indent=HANG)]
        facts = [("written", one.get("written")), ("allowed", one.get("allowed"))]
        facts += [
            ("step", one.get("step")),
            ("look at", ", ".join(one.get("where") or one.get("look_at") or ())),
        ]
        for name, text in [*facts, ("do", one.get("advice"))]:
            if text:
                row = f"  {name}: {text}"
                found += [(r, "red") for r in textwrap.wrap(row, width, subsequent_indent=HANG)]
    if len(every) > 25:
        found.append((f"and {len(every) - 25} more", "red"))
    return found


def opening(file: str, address: str | None, width: int = WIDE) -> list[Line]:
    """Return the first lines: what is watched, where the page is, how to end."""
    found: list[Line] = [(f"watching {file}", "bold")]
    if address is not None:
        found.append((f"page, for this machine's browser only: {address}", "cyan"))
    return [*found, ("Ctrl-C ends it", ""), *caution(width)]
