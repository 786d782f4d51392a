"""`geomgen compare`: show what differs between two states, and what must be cut again."""

import argparse
import sys
from pathlib import Path

from geomgen.terminal.answers import NOT_PASSED, OK, print_json
from geomgen.terminal.arguments import out_option, override_option, store_of, store_option

WORDS = "show what differs between two states, and what must be cut again"
GUIDE = """\
examples:
  geomgen compare mine.toml                # the file and its last build
  geomgen compare former.toml mine.toml    # two files
  geomgen compare out/former out/mine      # two folders
  geomgen compare out/former mine.toml     # one of each

A set is the folder that `build` or `handoff` made. Shows which parameters
differ, which figures moved and by how much (OF MARGIN: as a share of the former
margin to the limit), which verdicts changed, which parts changed shape (the
largest distance between the old and the new surface, and where), and which
hand-off files, and so parts already cut from them, are no longer right:

  CHECK                  FORMER     NEW       MOVED BY    OF MARGIN VERDICT
  prop.radial_clearance  198.87 mm  17.30 mm  -181.57 mm  -104 %    PASS -> FAIL

  PART       SHAPE                            SURFACES APART
  boom_left  moved by +0.00, +220.00, +0.00   220.00 mm (+/- 0.16)

DIR/NAME.comparison/ holds all of it as JSON, with an overlay drawing of old and
new outlines.

exit code 1: the new state does not pass its checks."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    out_option(parser)
    store_option(parser)
    parser.add_argument("former", metavar="FORMER", help="parameter file, or folder of a set")
    parser.add_argument(
        "new",
        metavar="NEW",
        nargs="?",
        help="parameter file or folder; when left out, FORMER is a parameter file and is compared "
        "with its last build",
    )
    parser.add_argument("--all", action="store_true", help="show also what is the same")
    override_option(parser, "replace one value of the new state's parameter file")


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.files.disk import check_writable
    from geomgen.terminal import console
    from geomgen.terminal.changes import comparison

    check_writable(Path(args.out))

    with console.progress(args.quiet or args.json) as step:
        result = workflows.compare(
            args.former, args.new, args.out, step, args.overrides, store=store_of(args)
        )
        folder = workflows.write_comparison(result, args.out, step)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        print_json({**result.as_dict(), "folder": str(folder)}, code)
        return code
    width = console.width_of(sys.stdout)
    lines = comparison(result, folder, width, args.quiet, args.all)
    console.show(lines, sys.stdout)
    return code
