"""`geomgen verify`: hash and measure a set again: does every file still belong?."""

import argparse
import sys

from geomgen.commands.answers import NOT_PASSED, OK, outcome, outcome_json

WORDS = "hash and measure a set again: does every file still belong?"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.add_argument("folder", metavar="FOLDER", help="a set that was built or handed off")
    parser.add_argument(
        "--against", metavar="FILE", help="the parameter file that the set should be of"
    )


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.verify(args.folder, args.against, step)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        more = {"findings": list(result.findings), "released_because": result.reason}
        return outcome_json(result, code, folder=str(result.folder), **more)
    outcome(args, result)
    width = console.width_of(sys.stdout)
    console.show(console.verify_end(result, width), sys.stdout)
    return code
