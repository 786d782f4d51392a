"""What a terminal shows of a watch: what changed, what is refused. Made from records only."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from geomgen.documents.record import Tone, Words
from geomgen.documents.screen import Line, lines_of
from geomgen.pages.verdict_words import sentence
from geomgen.terminal.console import CAUTIOUS, TONES, WIDE

if TYPE_CHECKING:
    from geomgen.watching.watch import WatchEvent

MOODS: dict[str, Tone] = {"good": "good", "bad": "bad"}
HANG = 4
AFTER = {
    "refused": "the last good state stays; waiting for the next save",
    "unfinished": "the checks above hold; only the page's model or drawings are missing",
}


def lines(event: "WatchEvent", width: int = WIDE, quiet: bool = False) -> list[Line]:
    """Return what to print of an outcome; quiet leaves out figures whose verdict is the same."""
    return lines_of(_said(event, quiet), width)


def _said(event: "WatchEvent", quiet: bool) -> Iterator[Words]:
    if event.kind in ("refused", "unfinished"):
        yield from _refused(event.error or {})
        yield Words(AFTER[event.kind])
    elif event.kind == "lost":
        yield Words(event.words, "doubt", hang=0)
    elif event.kind == "mended":
        yield Words(f"the file is as revision {event.revision} again: nothing new to build")
    elif event.kind == "same":
        if not quiet:
            yield Words("only the text changed: nothing to build")
    elif event.kind == "first":
        if not quiet:
            head = f"revision {event.revision}: first answer after {event.seconds:.1f} s"
            yield Words(f"{head}, {event.words}: {sentence(event.checks)}")
    else:
        yield from _built(event, quiet)


def _built(event: "WatchEvent", quiet: bool) -> Iterator[Words]:
    made = f"{event.made} steps made, {event.kept} taken from before"
    yield Words(f"revision {event.revision}: {event.seconds:.1f} s, {made}", "head")
    for change in event.changes:
        if change.mood or not quiet:
            margin = f", margin {change.margin}" if change.margin else ""
            text = f"{change.id}: {change.former} → {change.new}{margin}, {change.words}"
            tone = MOODS.get(change.mood) or TONES.get(change.kind, "")
            yield Words(text, tone, lead="  ", hang=HANG)
    if event.revision > 1 and not event.changes:
        yield Words("no figure differs", lead="  ")
    bad = any(check.stops for check in event.checks)
    yield Words(sentence(event.checks), "bad" if bad else "good", lead="  ")


def _refused(error: dict[str, Any]) -> Iterator[Words]:
    every = error.get("errors") or [error]
    for one in every[:25]:
        line = f"line {one['line']}" if one.get("line") else ""
        place = ", ".join(part for part in (one.get("file"), line) if part)
        head = (place, one.get("part"), one.get("key"), one.get("problem"))
        yield Words(": ".join(part for part in head if part), "bad", hang=HANG)
        facts = {name: one.get(name) for name in ("written", "allowed", "step")}
        facts["look at"] = ", ".join(one.get("where") or one.get("look_at") or ())
        for name, text in {**facts, "do": one.get("advice")}.items():
            if text:
                yield Words(f"{name}: {text}", "worse", lead="  ", hang=HANG)
    if len(every) > 25:
        yield Words(f"and {len(every) - 25} more", "worse")


def opening(file: str, address: str | None, width: int = WIDE) -> list[Line]:
    """Return the first lines: what is watched, where the page is, how to end."""
    found: list[Line] = [(f"watching {file}", "bold")]
    if address is not None:
        found.append((f"page, for this machine's browser only: {address}", "cyan"))
    return [*found, ("Ctrl-C ends it", ""), *lines_of([CAUTIOUS], width)]
