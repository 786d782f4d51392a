"""What the command lines have in common: the parser, and the options that several share."""

import argparse
import sys
from collections.abc import Callable
from typing import Any, NoReturn

from geomgen.terminal.answers import REFUSED, print_json


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are one text, or JSON where that was asked for.

    `guide` makes the end of its help, where that is only loaded when it is read.
    """

    as_json = False
    guide: Callable[[], str] | None = None

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_abbrev=False, **options)

    def format_help(self) -> str:
        """Return the help with its end."""
        if self.guide is not None:
            self.epilog = self.guide()
        return super().format_help()

    def error(self, message: str) -> NoReturn:
        """Refuse the command line with exit code 2."""
        if Parser.as_json:
            print_json({"error": {"error": "command line", "problem": message}}, REFUSED)
        else:
            sys.stderr.write(f"{self.prog}: {message}\n  do: {self.prog} --help\n")
        raise SystemExit(REFUSED)


def shared_options(parser: argparse.ArgumentParser) -> None:
    """Add what every command knows."""
    parser.add_argument("--json", action="store_true", help="answer in JSON on standard output")
    parser.add_argument(
        "--quiet", action="store_true", help="no progress; failures and the result only"
    )
    parser.add_argument(
        "--debug", "--trace", action="store_true", help="show where in the program a fault arose"
    )


def file_options(parser: argparse.ArgumentParser) -> None:
    """Add the parameter file and the values laid over it."""
    parser.add_argument("file", metavar="FILE", help="parameter file (TOML)")
    override_option(parser, "replace one value of the file, such as 'pod.wall=4 mm'")


def override_option(parser: argparse.ArgumentParser, words: str) -> None:
    """Add `--set`."""
    parser.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help=f"{words}; may be repeated",
    )


def store_option(parser: argparse.ArgumentParser) -> None:
    """Add the choice to make everything anew."""
    parser.add_argument(
        "--afresh",
        action="store_true",
        help="make everything anew: take nothing from what earlier runs kept in DIR/.kept",
    )


def store_of(args: argparse.Namespace) -> Any:
    """Return the store to take from and to keep in; None when all is to be made anew."""
    from geomgen.regeneration.store import store_in

    return None if args.afresh else store_in(args.out)


def out_option(parser: argparse.ArgumentParser) -> None:
    """Add the folder for what is made."""
    parser.add_argument(
        "--out", default="out", metavar="DIR", help="folder for what is made (default: out)"
    )
