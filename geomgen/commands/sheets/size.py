"""`geomgen size`: show what the figures should be, and why; makes no solids."""

import argparse
import sys
from dataclasses import asdict

from geomgen.terminal.answers import OK, print_json
from geomgen.terminal.arguments import file_options

WORDS = "show what the figures should be, and why; makes no solids"
GUIDE = """\
For each check: the target, its formula, the inputs in the formula's own units,
the band that follows from uncertain inputs, and the source. A NOTICE warns when
a speed in another unit than the formula's would have given a wrong area.

exit.area_by_heat is a second estimate of the exit, from the heat rejected and
the pressure available ([cooling]): see where rule of thumb and physics
disagree.

examples:
  geomgen size mine.toml
  geomgen size mine.toml --set 'flight.climb_speed=50 kt'

What each check measures on the solids: geomgen check --help"""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    targets = workflows.size(args.file, args.overrides)
    if args.json:
        rows = [asdict(target) for target in targets]
        print_json({"targets": rows, "caution": console.CAUTION}, OK)
        return OK
    width = console.width_of(sys.stdout)
    console.show(console.size_sheet(targets, width, args.quiet), sys.stdout)
    return OK
