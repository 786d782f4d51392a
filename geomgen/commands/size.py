"""`geomgen size`: show what the figures should be, and why; makes no solids."""

import argparse
import sys
from dataclasses import asdict

from geomgen.commands.answers import OK, print_json
from geomgen.commands.arguments import file_options

WORDS = "show what the figures should be, and why; makes no solids"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    file_options(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import console, pipeline

    targets = pipeline.size(args.file, args.overrides)
    if args.json:
        rows = [asdict(target) for target in targets]
        print_json({"targets": rows, "caution": console.CAUTION}, OK)
        return OK
    width = console.width_of(sys.stdout)
    console.show(console.size_sheet(targets, width, args.quiet), sys.stdout)
    return OK
