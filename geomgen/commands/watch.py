"""`geomgen watch`: build again at each save, and show the state on a live page."""

import argparse
import signal
import sys
import threading
from typing import TYPE_CHECKING, Any

from geomgen.processes.stopping import TOLD
from geomgen.terminal.answers import OK
from geomgen.terminal.arguments import file_options, out_option

if TYPE_CHECKING:
    from geomgen.watching.watch import WatchEvent

WORDS = "build again at each save of the file, and show the state on a live page"
GUIDE = """\
Keeps the geometry kernel loaded and waits for you to save the file. Then it
prints the checks that changed, former and new, and the page shows the same:
verdict, figures, the machine in 3D, and the drawings as soon as they are made.
While a state is being built, the verdict before it is marked as old. The first
answers bring a first shape of the machine, its parts cut as meshes; the exact
one takes its place, seen from where you look. After an edit that does not work
the last good state stays, with the error beside it: key, line, what is allowed.

The page is one bench: the model, beside it the checks that fail or have less
than a tenth of their limit to spare (the others one press away), what the last
change did to each figure, and what all changes did since the file was opened.
Press a part in the model or in a drawing and its numbers open (by keys: Tab to
a drawing, the arrow keys from part to part, Enter); point at a number and the
part and the place that it moves light up; press a check and the model turns
square to the two closest points.

The lines plan draws pod and booms by the very lines that they are lofted on:
side view, plan, body plan, and how the curvature runs. Its points can be
dragged, or moved by the arrow keys (a step; Page Up and Page Down ten); Enter
goes to the field. While you drag, the lines follow; between the stations they
are approximate, and dashed, until geomgen has worked them out. The file changes
when you let go. What can't be is said at the point, and the last good lines
stand. At the point of a round end only the station can be dragged. The wing is
drawn from above: chord, sweep and place of each section.

There is a field for each value of the file, with its range and a slider. A
field takes what the file may say: 5 mm, 2 3/8 in, 4' 5-3/8", firewall + 380 mm.
A number alone gets the unit that stands there; a decimal comma is refused with
the right way shown. What will be written, and what it comes to, is shown first;
then the whole file is checked with it, and only then is it written. Your
comments and the order of the lines stay as they are. One visit to a field is
one step for Undo. Where you have saved the file in your editor since, Undo puts
back its own value only and says so; where you have changed that very value, it
refuses. Redo makes again what Undo took back. A state of the file can be kept
under a name and come back to (Undo takes that back, too): it is a file in the
folder NAME.states beside yours, there until you delete it.

The page is served on this machine only, under an address with a secret in it
that is printed when it starts; other pages in your browser can neither read nor
change anything. Ctrl-C ends it."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    parser.add_argument(
        "--port",
        type=port,
        metavar="N",
        help="port of the page, on this machine only (default: the next free one)",
    )
    parser.add_argument("--no-page", action="store_true", help="print only, serve no page")


def port(text: str) -> int:
    """Return the number of a port.

    >>> port("8470")
    8470
    """
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 65535):
        raise argparse.ArgumentTypeError("a port is a whole number from 1 to 65535")
    return int(text)


def run(args: argparse.Namespace) -> int:
    """Do it until Ctrl-C and return the exit code."""
    from geomgen.watching.watch import watch

    until = threading.Event()
    told = (signal.SIGINT, *TOLD)
    former = {name: signal.getsignal(name) for name in told}

    def end(*_: Any) -> None:
        until.set()

    for name in former:
        if former[name] != signal.SIG_IGN:
            signal.signal(name, end)
    out = _Output(args)
    try:
        watch(
            args.file,
            args.overrides,
            args.out,
            port=args.port,
            page=not args.no_page,
            tell=out.told,
            opened=out.opened,
            until=until,
        )
    finally:
        for name, handler in former.items():
            signal.signal(name, handler)
    return OK


class _Output:
    """Prints what happens: as lines, or with --json as one object a line."""

    def __init__(self, args: argparse.Namespace) -> None:
        self._file, self._json, self._quiet = args.file, args.json, args.quiet
        if args.no_page and not args.json:
            self._show_opening(None)

    def opened(self, address: str) -> None:
        if self._json:
            self._write({"event": "page", "address": address})
        else:
            self._show_opening(address)

    def told(self, event: "WatchEvent") -> None:
        from geomgen.terminal import console
        from geomgen.terminal.watch_lines import lines

        if self._json:
            self._write(
                {
                    "event": event.kind,
                    "revision": event.revision,
                    "seconds": round(event.seconds, 3),
                    "checks": [check.as_dict() for check in event.checks],
                    "changes": [change.as_dict() for change in event.changes],
                    "error": event.error,
                    "words": event.words,
                }
            )
            return
        width = console.width_of(sys.stdout)
        console.show(lines(event, width, self._quiet), sys.stdout)

    def _show_opening(self, address: str | None) -> None:
        from geomgen.terminal import console
        from geomgen.terminal.watch_lines import opening

        width = console.width_of(sys.stdout)
        console.show(opening(self._file, address, width), sys.stdout)

    def _write(self, event: dict[str, object]) -> None:
        import json

        sys.stdout.write(json.dumps(event, allow_nan=False) + "\n")
        sys.stdout.flush()
