"""The command line: arguments, streams and exit codes, nothing else.

Everything heavy is imported when a command needs it, so that `--help` and a refused file answer at
once.
"""

import argparse
import signal
import sys
from collections.abc import Sequence
from typing import Any

import geomgen
from geomgen.commands import (
    build,
    check,
    compare,
    handoff,
    new,
    report,
    schema,
    solve,
    sweep,
    verify,
    watch,
    weigh,
)
from geomgen.commands.sheets import air, balance, size
from geomgen.errors import FaultError, FileWriteError, GeomgenError, fields_of
from geomgen.processes.stopping import Stopped, stoppable
from geomgen.processes.temporary import temporary_folder
from geomgen.terminal.answers import FAULT, FILES, OK, print_json
from geomgen.terminal.arguments import Parser, shared_options
from geomgen.terminal.streams import standard_streams

COMMANDS = (
    *(new, size, check, balance, air, build, report, handoff, weigh),
    *(compare, watch, sweep, solve, verify, schema),
)

# As a shell counts them: 128 and the number of the signal.
SIGNAL, READER_LEFT = 128, 141
DESCRIPTION = """\
From a parameter file to solids of a light twin-boom pusher, measured and
checked.

A geometry aid, not an airworthiness approval: local codes and licensed practice
come first."""
EPILOG = """\
To begin: geomgen new mine.toml, then size, check and build it; report shows the
set, handoff writes the files for the shops. Where to read on:
  how the parameter file is written: geomgen new --help
  what each check measures, its limit and source: geomgen check --help
  what a build writes; pod, joints, names of parts: geomgen build --help
  what each shop gets: geomgen handoff --help

exit codes:
  0    done; of check, compare, handoff, solve, sweep, verify: done and passed
  1    not passed: a check failed, or one that was due could not be measured;
       the help of each command says what else
  2    the command line or the parameter file is refused, or it is not there
  3    a solid can't be built, or a fault of geomgen itself
  4    a file can't be written, a set can't be read, or what was written failed
       verification when read back
  129, 130, 143  stopped: SIGHUP, Ctrl-C, SIGTERM
  141  the reader of the answer left (as with `| head -1`)

examples:
  geomgen new mine.toml
  geomgen new mine.toml --gear tailwheel --wing mid --units imperial
  geomgen size mine.toml
  geomgen check mine.toml --set 'flight.climb_speed=50 kt'
  geomgen build mine.toml --out out
  geomgen air mine.toml
  geomgen handoff mine.toml
  geomgen weigh mine.toml pod='9.2 kg' --source 'own scales, 29 November'
  geomgen report mine.toml
  geomgen compare mine.toml --set 'booms.buttock_line=800 mm'
  geomgen watch mine.toml
  geomgen sweep mine.toml --vary 'firewall.station=2.22 m:2.24 m:5'
  geomgen solve mine.toml --free 'scoops.cheek.height=40 mm:70 mm' \\
      --until inlet.area=target
  geomgen verify out/mine --against mine.toml
"""


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    form = argparse.RawDescriptionHelpFormatter
    main_parser = Parser(
        prog="geomgen", description=DESCRIPTION, epilog=EPILOG, formatter_class=form
    )
    main_parser.add_argument("--version", action=_Version, help="show the version and exit")
    commands = main_parser.add_subparsers(
        dest="command", metavar="COMMAND", required=True, parser_class=Parser, title="commands"
    )
    for command in COMMANDS:
        name = command.__name__.rpartition(".")[2]
        own = commands.add_parser(
            name, help=command.WORDS, description=command.WORDS, formatter_class=form
        )
        command.add(own)
        shared_options(own)
        own.set_defaults(run=command.run)
    return main_parser


class _Version(argparse.Action):
    """Print the version of the installed package."""

    def __init__(self, option_strings: Sequence[str], dest: str, **more: Any) -> None:
        super().__init__(option_strings, argparse.SUPPRESS, nargs=0, help=more.get("help"))

    def __call__(self, parser: argparse.ArgumentParser, *_: object) -> None:
        text = getattr(geomgen, "__version__", "unknown (not installed as a package)")
        sys.stdout.write(f"geomgen {text}\n")
        raise SystemExit(OK)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    Parser.as_json = "--json" in given
    with standard_streams(), stoppable():
        try:
            return _guarded(given)
        except BrokenPipeError:
            return READER_LEFT
        except FileWriteError as error:
            # The answer was what went wrong, and could not be written either.
            sys.stderr.write(f"geomgen: {error}\n")
            return FILES
        finally:
            # Who calls it again from Python may want words the next time.
            Parser.as_json = False


def _guarded(given: list[str]) -> int:
    trace = "--debug" in given or "--trace" in given
    try:
        args = parser().parse_args(given)
        with temporary_folder():
            code = int(args.run(args))
        sys.stdout.flush()
        return code
    except SystemExit as leave:
        sys.stdout.flush()
        return int(leave.code or 0)
    except KeyboardInterrupt as stop:
        return _stopped(stop)
    except BrokenPipeError:
        raise
    except GeomgenError as error:
        return _report(error.exit_code, fields_of(error), str(error), error if trace else None)
    except OSError as error:
        text = f"{error.filename or 'a file'}: {error.strerror or error}"
        return _report(FILES, {"error": "file", "problem": text}, text, error if trace else None)
    except Exception as error:  # noqa: BLE001 - the last resort: a fault is told, not dumped
        fault = FaultError.of(error)
        return _report(FAULT, fields_of(fault), str(fault), error if trace else None)


def _stopped(stop: KeyboardInterrupt) -> int:
    by, number = "the user", signal.SIGINT
    if isinstance(stop, Stopped):
        number = signal.Signals(stop.number)
        by = number.name
    elif sys.stderr.isatty():
        sys.stderr.write("\n")
    return _report(SIGNAL + number, {"error": "stopped", "problem": f"stopped by {by}"})


def _report(
    code: int, fields: dict[str, object], text: str = "", trace: BaseException | None = None
) -> int:
    """Tell what went wrong, as JSON on stdout or as text on stderr; return the exit code."""
    if Parser.as_json:
        print_json({"error": fields}, code)
    else:
        sys.stderr.write(f"geomgen: {text or fields['problem']}\n")
    if trace is not None:
        import traceback

        if isinstance(trace, FaultError) and trace.frames:
            sys.stderr.write(trace.frames)
        else:
            traceback.print_exception(trace)
    return code


if __name__ == "__main__":
    sys.exit(main())
