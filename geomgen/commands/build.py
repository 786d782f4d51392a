"""`geomgen build`: make the solids, check them, write and verify the files."""

import argparse
import sys

from geomgen.commands.guides.building import GUIDE
from geomgen.terminal.answers import OK, outcome, outcome_json
from geomgen.terminal.arguments import file_options, out_option, store_of, store_option

WORDS = "make the solids, check them, write and verify the files"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    store_option(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    with console.progress(args.quiet or args.json) as step:
        result = workflows.build(args.file, args.overrides, args.out, step, store=store_of(args))
    if args.json:
        told = {"folder": str(result.folder), "seconds": result.seconds}
        return outcome_json(result, OK, **told, unchanged=result.unchanged)
    outcome(args, result)
    done = "written to" if not result.unchanged else "unchanged, kept as it was proved:"
    sys.stdout.write(f"{done} {result.folder} in {result.seconds:.1f} s\n")
    return OK
