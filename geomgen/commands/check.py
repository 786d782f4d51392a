"""`geomgen check`: make the solids and check them; write the results only."""

import argparse

from geomgen.terminal.answers import code_of, outcome, outcome_json
from geomgen.terminal.arguments import Parser, file_options, out_option, store_of, store_option

WORDS = "make the solids and check them; write the results only"


def add(parser: Parser) -> None:
    """Add the options of this command."""
    parser.guide = _guide
    file_options(parser)
    out_option(parser)
    store_option(parser)
    parser.add_argument(
        "--quick", action="store_true",
        help="first answers, by meshes; what these do not settle waits for the exact figure",
    )  # fmt: skip


def _guide() -> str:
    from geomgen.commands.guides.checking import GUIDE

    return GUIDE


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    if args.quick:
        return _quick(args)
    with console.progress(args.quiet or args.json) as step:
        result = workflows.check(args.file, args.overrides, args.out, step, store=store_of(args))
    if args.json:
        return outcome_json(result, code_of(result.checks), folder=str(result.folder))
    return outcome(args, result)


def _quick(args: argparse.Namespace) -> int:
    from geomgen.terminal import console
    from geomgen.terminal.first import code_of_first, first_json, first_outcome
    from geomgen.workflows.building.quick import quick

    with console.progress(args.quiet or args.json) as step:
        result = quick(args.file, args.overrides, step, store=store_of(args))
    code = code_of_first(result)
    if args.json:
        first_json(result, code)
    else:
        first_outcome(result, args.quiet)
    return code
