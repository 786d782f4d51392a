"""`geomgen report`: write a page, drawings, pictures and models to look at beside the set."""

import argparse
import sys

from geomgen.commands.answers import OK, outcome, outcome_json
from geomgen.commands.arguments import file_options, out_option, store_of, store_option

WORDS = "write a page, drawings, pictures and models to look at beside the set"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    file_options(parser)
    out_option(parser)
    store_option(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.report(args.file, args.overrides, args.out, step, store=store_of(args))
    if args.json:
        more: dict[str, object] = {"page": str(result.page), "files": list(result.files)}
        more |= {"built": result.built, "seconds": result.seconds, "making": result.making}
        return outcome_json(result, OK, folder=str(result.folder), **more)
    outcome(args, result)
    console.show(console.report_end(result), sys.stdout)
    return OK
