"""`geomgen compare`: show what differs between two states, and what must be cut again."""

import argparse
import sys
from pathlib import Path

from geomgen.commands.answers import NOT_PASSED, OK, print_json
from geomgen.commands.arguments import out_option, override_option, store_of, store_option

WORDS = "show what differs between two states, and what must be cut again"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
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
    from geomgen import console, pipeline
    from geomgen.console_changes import comparison
    from geomgen.files.disk import check_writable

    check_writable(Path(args.out))

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.compare(
            args.former, args.new, args.out, step, args.overrides, store=store_of(args)
        )
        folder = pipeline.write_comparison(result, args.out, step)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        print_json({**result.as_dict(), "folder": str(folder)}, code)
        return code
    width = console.width_of(sys.stdout)
    lines = comparison(result, folder, width, args.quiet, args.all)
    console.show(lines, sys.stdout)
    return code
