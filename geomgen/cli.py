"""The command line: arguments, streams and exit codes, nothing else.

Everything heavy is imported when a command needs it, so that `--help` and a refused file answer at
once.
"""

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from typing import Any, NoReturn

from geomgen.errors import GeomgenError

OK, NOT_PASSED, REFUSED, FAULT, FILES = range(5)
# As a shell counts them: 128 and the number of the signal.
STOPPED, READER_LEFT = 130, 141
DESCRIPTION = """\
From a parameter file to solids of a light twin-boom pusher, measured and judged.

A geometry aid, not an airworthiness approval: local codes and licensed practice
come first."""
EPILOG = """\
exit codes:
  0    every check that was due was measured, none failed
  1    a check failed, or one that was due could not be measured
  2    the parameter file or the command line is refused
  3    a solid can't be built, or a fault of geomgen itself
  4    a file can't be read or written, or did not prove right when read back
  130  stopped with Ctrl-C

examples:
  geomgen size configs/saltmarsh.toml
  geomgen check configs/saltmarsh.toml --set 'flight.climb_speed=50 kt'
  geomgen build configs/saltmarsh.toml --out out
  geomgen handoff configs/saltmarsh.toml
  geomgen report configs/saltmarsh.toml
  geomgen compare configs/saltmarsh.toml --set 'booms.buttock_line=790 mm'
  geomgen verify out/saltmarsh --against configs/saltmarsh.toml
"""


class Parser(argparse.ArgumentParser):
    """A parser whose complaints are one text, or JSON where that was asked for."""

    as_json = False

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_abbrev=False, **options)

    def error(self, message: str) -> NoReturn:
        """Refuse the command line with exit code 2."""
        if Parser.as_json:
            _print_json({"error": {"error": "command line", "problem": message}}, REFUSED)
        else:
            sys.stderr.write(f"{self.prog}: {message}\n  do: {self.prog} --help\n")
        raise SystemExit(REFUSED)


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    shared = Parser(add_help=False)
    shared.add_argument("--json", action="store_true", help="answer in JSON on standard output")
    shared.add_argument("--quiet", action="store_true", help="no progress; show only what matters")
    shared.add_argument("--trace", action="store_true", help="show where a fault arose")
    source = Parser(add_help=False)
    source.add_argument("file", metavar="FILE", help="parameter file (TOML)")
    source.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help="replace one value of the file, such as 'pod.wall=4 mm'; may be repeated",
    )
    target = Parser(add_help=False)
    target.add_argument(
        "--out", default="out", metavar="DIR", help="folder for what is made (default: out)"
    )
    form = argparse.RawDescriptionHelpFormatter
    main_parser = Parser(
        prog="geomgen", description=DESCRIPTION, epilog=EPILOG, formatter_class=form
    )
    main_parser.add_argument("--version", action=_Version, help="show the version and leave")
    commands = main_parser.add_subparsers(
        dest="command", metavar="COMMAND", required=True, parser_class=Parser
    )
    release = Parser(add_help=False)
    release.add_argument(
        "--release-anyway",
        default="",
        metavar="REASON",
        dest="reason",
        help="write the set although a check fails; the reason is printed on every sheet",
    )
    made = Parser(add_help=False)
    made.add_argument("folder", metavar="FOLDER", help="a set that was built or handed off")
    made.add_argument(
        "--against", metavar="FILE", help="the parameter file that the set should be of"
    )
    two = Parser(add_help=False, parents=[target])
    two.add_argument("former", metavar="FORMER", help="parameter file, or folder of a set")
    two.add_argument(
        "new",
        metavar="NEW",
        nargs="?",
        help="parameter file or folder; when left out, FORMER is a parameter file and is compared "
        "with its last build",
    )
    two.add_argument("--all", action="store_true", help="show also what is the same")
    two.add_argument(
        "--set",
        action="append",
        default=[],
        metavar="KEY=VALUE",
        dest="overrides",
        help="replace one value of the new state's parameter file; may be repeated",
    )
    rows: tuple[tuple[str, str, list[Parser]], ...] = (
        ("build", "make the solids, write and prove the files, judge them", [source, target]),
        ("check", "make the solids and judge them, write only the outcome", [source, target]),
        (
            "handoff",
            "build, measure the files as read back, and write a folder for each shop",
            [source, target, release],
        ),
        (
            "report",
            "write a page, drawings, pictures and models to look at beside the set",
            [source, target],
        ),
        ("compare", "show what differs between two states, and what must be cut again", [two]),
        ("verify", "hash and measure a set again: does every file still belong?", [made]),
        ("size", "show what the figures should be, and why; makes no solids", [source]),
        ("schema", "print the JSON Schema of a parameter file", []),
    )
    for name, words, parents in rows:
        commands.add_parser(
            name, help=words, description=words, parents=[*parents, shared], formatter_class=form
        )
    return main_parser


class _Version(argparse.Action):
    """Print the version of the installed package."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(option_strings, argparse.SUPPRESS, nargs=0, help=more.get("help"))

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        from importlib.metadata import PackageNotFoundError, version

        try:
            text = version("geomgen")
        except PackageNotFoundError:
            text = "unknown (not installed as a package)"
        sys.stdout.write(f"geomgen {text}\n")
        raise SystemExit(OK)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    Parser.as_json = "--json" in given
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        return _guarded(given)
    except BrokenPipeError:
        return _reader_left()


def _guarded(given: list[str]) -> int:
    trace = "--trace" in given
    try:
        args = parser().parse_args(given)
        code = _COMMANDS[args.command](args)
        sys.stdout.flush()
        return code
    except SystemExit as leave:
        sys.stdout.flush()
        return int(leave.code or 0)
    except KeyboardInterrupt:
        if sys.stderr.isatty():
            sys.stderr.write("\n")
        return _report(STOPPED, {"error": "stopped", "problem": "stopped by the user"})
    except BrokenPipeError:
        raise
    except GeomgenError as error:
        return _report(error.exit_code, _fields(error), str(error), error if trace else None)
    except OSError as error:
        text = f"{error.filename or 'a file'}: {error.strerror or error}"
        return _report(FILES, {"error": "file", "problem": text}, text, error if trace else None)
    except Exception as error:  # noqa: BLE001 - the last resort: a fault is told, not dumped
        return _fault(error, trace)


def _fields(error: GeomgenError) -> dict[str, object]:
    as_dict = getattr(error, "as_dict", None)
    fields: dict[str, object] = (
        as_dict() if as_dict is not None else {"error": "geomgen", "problem": str(error)}
    )
    return fields


def _fault(error: Exception, trace: bool) -> int:
    problem = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    text = f"a fault of geomgen, not of your file: {problem}"
    if not trace:
        text += "\n  do: run it again with --trace and report what it shows"
    return _report(FAULT, {"error": "fault", "problem": problem}, text, error if trace else None)


def _report(
    code: int, fields: dict[str, object], text: str = "", trace: BaseException | None = None
) -> int:
    """Tell what went wrong, as JSON on stdout or as text on stderr; return the exit code."""
    if Parser.as_json:
        _print_json({"error": fields}, code)
    else:
        sys.stderr.write(f"geomgen: {text or fields['problem']}\n")
    if trace is not None:
        import traceback

        traceback.print_exception(trace)
    return code


def _reader_left() -> int:
    """Point stdout elsewhere, so that the interpreter's last flush does not complain as well."""
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, sys.stdout.fileno())
    return READER_LEFT


def _print_json(answer: dict[str, object], code: int) -> None:
    whole = {**answer, "exit_code": code}
    sys.stdout.write(json.dumps(whole, indent=2, allow_nan=False) + "\n")
    sys.stdout.flush()


def _build(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.build(args.file, args.overrides, args.out, step)
    if args.json:
        return _outcome_json(result, OK, folder=str(result.folder), seconds=result.seconds)
    _outcome(args, result)
    sys.stdout.write(f"written to {result.folder} in {result.seconds:.1f} s\n")
    return OK


def _check(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.check(args.file, args.overrides, args.out, step)
    if args.json:
        return _outcome_json(result, _code(result.checks), folder=str(result.folder))
    return _outcome(args, result)


def _handoff(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.handoff(args.file, args.overrides, args.out, step, args.reason)
    code = NOT_PASSED if result.refused else OK
    if args.json:
        findings = [console.finding_dict(finding) for finding in result.findings]
        more = {"refused": result.refused, "released_because": result.reason, "findings": findings}
        return _outcome_json(
            result, code, folder=str(result.folder), seconds=result.seconds, **more
        )
    _outcome(args, result)
    width = console.width_of(sys.stdout)
    console.show(console.finding_lines(result.findings, width, args.quiet), sys.stdout)
    console.show(console.handoff_end(result, width), sys.stdout)
    return code


def _report_page(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.report(args.file, args.overrides, args.out, step)
    if args.json:
        more: dict[str, object] = {"page": str(result.page), "files": list(result.files)}
        more |= {"built": result.built, "seconds": result.seconds, "making": result.making}
        return _outcome_json(result, OK, folder=str(result.folder), **more)
    _outcome(args, result)
    console.show(console.report_end(result), sys.stdout)
    return OK


def _compare(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline
    from geomgen.console_changes import comparison

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.compare(args.former, args.new, args.out, step, args.overrides)
        folder = pipeline.write_comparison(result, args.out)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        _print_json({**result.as_dict(), "folder": str(folder)}, code)
        return code
    width = console.width_of(sys.stdout)
    lines = comparison(result, folder, width, args.quiet, args.all)
    console.show(lines, sys.stdout)
    return code


def _verify(args: argparse.Namespace) -> int:
    from geomgen import console, pipeline

    with console.progress(args.quiet or args.json) as step:
        result = pipeline.verify(args.folder, args.against, step)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        more = {"findings": list(result.findings), "released_because": result.reason}
        return _outcome_json(result, code, folder=str(result.folder), **more)
    _outcome(args, result)
    width = console.width_of(sys.stdout)
    console.show(console.verify_end(result, width), sys.stdout)
    return code


def _code(checks: Sequence[Any]) -> int:
    """Every check that was due has to be there and not to have failed."""
    return NOT_PASSED if not checks or any(check.stops for check in checks) else OK


def _outcome(args: argparse.Namespace, result: Any) -> int:
    from geomgen import console

    notices = console.notices_of(getattr(result, "targets", ()), result.checks)
    width = console.width_of(sys.stdout)
    console.show(console.check_table(result.checks, notices, width, args.quiet), sys.stdout)
    return _code(result.checks)


def _outcome_json(result: Any, code: int, **more: object) -> int:
    from geomgen import console

    rows = [check.as_dict() for check in result.checks]
    answer = {
        **more,
        "checks": rows,
        "counts": console.counts(result.checks),
        "notices": console.notices_of(getattr(result, "targets", ())),
        "caution": console.CAUTION,
    }
    _print_json(answer, code)
    return code


def _size(args: argparse.Namespace) -> int:
    from dataclasses import asdict

    from geomgen import console, pipeline

    targets = pipeline.size(args.file, args.overrides)
    if args.json:
        rows = [asdict(target) for target in targets]
        _print_json({"targets": rows, "caution": console.CAUTION}, OK)
        return OK
    width = console.width_of(sys.stdout)
    console.show(console.size_sheet(targets, width, args.quiet), sys.stdout)
    return OK


def _schema(args: argparse.Namespace) -> int:
    from geomgen import pipeline

    sys.stdout.write(json.dumps(pipeline.schema(), indent=2) + "\n")
    return OK


_COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "build": _build,
    "check": _check,
    "handoff": _handoff,
    "report": _report_page,
    "compare": _compare,
    "verify": _verify,
    "size": _size,
    "schema": _schema,
}

if __name__ == "__main__":
    sys.exit(main())
