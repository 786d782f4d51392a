"""What commands that answer with a sheet have in common: options, the answer, its exit code."""

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from geomgen.terminal.answers import code_of, print_json
from geomgen.terminal.arguments import Parser, file_options, out_option, store_of, store_option

if TYPE_CHECKING:
    from geomgen.documents.screen import Line


def add_options(parser: Parser, guide: str) -> None:
    """Add the options and the end of the help."""
    parser.epilog = guide
    file_options(parser)
    out_option(parser)
    store_option(parser)


def answered(
    args: argparse.Namespace, work: Callable[..., Any], lines: "Callable[[Any], list[Line]]"
) -> int:
    """Do the work, show its result as lines or as JSON; return the exit code of its checks."""
    from geomgen.terminal import console

    with console.progress(args.quiet or args.json) as step:
        result = work(args.file, args.overrides, step, store=store_of(args))
    code = code_of(result.checks)
    if args.json:
        print_json({**result.as_dict(), "caution": console.CAUTION}, code)
    else:
        console.show(lines(result), sys.stdout)
    return code
