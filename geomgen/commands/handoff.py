"""`geomgen handoff`: build, measure the files as read back, and write a folder for each shop."""

import argparse
import sys

from geomgen.commands.guides.handing_off import GUIDE
from geomgen.terminal.answers import NOT_PASSED, OK, outcome, outcome_json
from geomgen.terminal.arguments import file_options, out_option, store_of, store_option

WORDS = "build, measure the files as read back, and write a folder for each shop"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    store_option(parser)
    parser.add_argument(
        "--release-anyway",
        metavar="REASON",
        dest="reason",
        help="write the set although a check fails; the reason (up to 120 characters) is printed "
        "on every sheet and list and stands in the header of every STEP",
    )


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.pages.gate_sheet import finding_row
    from geomgen.terminal import console

    with console.progress(args.quiet or args.json) as step:
        result = workflows.handoff(
            args.file, args.overrides, args.out, step, args.reason, store=store_of(args)
        )
    code = NOT_PASSED if result.refused else OK
    if args.json:
        findings = [finding_row(finding) for finding in result.findings]
        more = {"refused": result.refused, "released_because": result.reason, "findings": findings}
        return outcome_json(result, code, folder=str(result.folder), seconds=result.seconds, **more)
    outcome(args, result)
    width = console.width_of(sys.stdout)
    console.show(console.finding_lines(result.findings, width, args.quiet), sys.stdout)
    console.show(console.handoff_end(result, width), sys.stdout)
    return code
