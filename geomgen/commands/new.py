"""`geomgen new`: write a whole, commented parameter file to start from, or a copy of an example."""

import argparse
import sys
from typing import TYPE_CHECKING, Any

from geomgen.commands.guides.parameter_file import BEGINNING, FILE_GUIDE
from geomgen.errors import ParameterError
from geomgen.starting.choices import OPTIONS, Option
from geomgen.terminal.answers import OK, print_json

if TYPE_CHECKING:
    from pathlib import Path

    from geomgen.workflows.building.new import Begun

WORDS = "write a whole, commented parameter file to start from, or a copy of an example"


def _choices() -> str:
    """Return each choice with what it means."""
    lines = ["choices:"]
    for option in OPTIONS:
        lines.append(f"  --{option.name}")
        lines += [f"      {value:<10}  {meaning}" for value, meaning in option.values.items()]
    return "\n".join(lines)


GUIDE = f"{BEGINNING}\n\n{_choices()}\n\n{FILE_GUIDE}"


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    parser.add_argument("file", metavar="FILE", nargs="?", help="the parameter file to write")
    for option in OPTIONS:
        parser.add_argument(f"--{option.name}", metavar="WHICH", help=_help(option))
    parser.add_argument("--name", help="short name, part of file names (default: FILE's)")
    parser.add_argument("--title", help="title for drawings and reports")
    parser.add_argument(
        "--from", dest="example", metavar="EXAMPLE", help="copy an example, with all that it reads"
    )
    parser.add_argument("--examples", action="store_true", help="list the examples and exit")
    parser.add_argument("--replace", action="store_true", help="write over a file that is there")


def _help(option: Option) -> str:
    return f"{option.question.lower()}: {option.allowed} (default: {option.default})"


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    if args.examples:
        return _list(args)
    if args.file is None:
        raise ParameterError(
            "no file is named",
            allowed="the name of the file to write",
            advice="geomgen new mine.toml",
        )
    from geomgen.workflows.building import new

    place = new.place_for(args.file, args.replace)
    given = {option.name: getattr(args, option.name) for option in OPTIONS}
    given = {name: text for name, text in given.items() if text is not None}
    if args.example is not None:
        _alone(given)
        name, _ = new.names_for(place, args.name, args.title)
        return _told(args, new.begin_from(place, args.example, name, args.title, args.replace))
    name, title = args.name, args.title
    if not given and name is None and title is None and _may_ask(args):
        given, name, title = _answers(place)
    name, title = new.names_for(place, name, title)
    return _told(args, new.begin(place, given, name, title, args.replace))


def _alone(given: dict[str, Any]) -> None:
    if given:
        raise ParameterError(
            "an example is copied as it is",
            key="--from",
            written=", ".join(f"--{name}" for name in given),
            allowed="--name, --title, --replace",
        )


def _may_ask(args: argparse.Namespace) -> bool:
    terminal = sys.stdin is not None and sys.stdin.isatty()
    return terminal and not (args.json or args.quiet)


def _answers(place: "Path") -> tuple[dict[str, str], str, str]:
    """Ask for everything, on the stream that is not for results."""
    from geomgen.terminal.new_questions import Questions, asked
    from geomgen.workflows.building.new import names_for

    questions = Questions(sys.stdin, sys.stderr)
    name, _ = names_for(place, None, None)
    name = questions.text("name", name, lambda text: names_for(place, text, None))
    _, title = names_for(place, name, None)
    title = questions.text("title", title, lambda text: names_for(place, name, text))
    return asked(OPTIONS, questions), name, title


def _list(args: argparse.Namespace) -> int:
    from dataclasses import asdict

    from geomgen.starting.examples import examples

    found = examples()
    if args.json:
        print_json({"examples": [asdict(example) for example in found]}, OK)
        return OK
    wide = max(len(example.name) for example in found)
    for example in found:
        sys.stdout.write(f"{example.name:<{wide}}  {example.words}\n")
    if not args.quiet:
        sys.stdout.write("copy one: geomgen new mine.toml --from NAME\n")
    return OK


def _told(args: argparse.Namespace, begun: "Begun") -> int:
    if args.json:
        beside = [str(path) for path in begun.beside]
        print_json({"file": str(begun.file), "beside": beside, "chosen": begun.chosen}, OK)
        return OK
    also = f", with {', '.join(path.name for path in begun.beside)}" if begun.beside else ""
    sys.stdout.write(f"written to {begun.file}{also}\n")
    if not args.quiet:
        chosen = "; ".join(f"{name} {value}" for name, value in begun.chosen.items())
        sys.stdout.write(f"chosen: {chosen}\n")
        file = f'"{begun.file}"' if " " in str(begun.file) else begun.file
        sys.stdout.write(f"next: geomgen size {file}, geomgen check {file}\n")
    return OK
