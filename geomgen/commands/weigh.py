"""`geomgen weigh`: what the scales said, taken back into the parameter file."""

import argparse
import sys

from geomgen.errors import ParameterError
from geomgen.terminal.answers import code_of, print_json
from geomgen.terminal.arguments import Parser, out_option, store_of, store_option

WORDS = "write what the scales said into the file; what it does to mass and centre"
GUIDE = """\
PART is a family or part of [[mass]], or the name of an item of [[items]]; MASS
has its unit: kg, g, lb, oz. Weigh one piece: of a part that joints have cut,
all of it together. Of a pair, say what was on the scales: "each" behind the
mass for one piece, "both" for the two together; or weigh boom_left and
boom_right by themselves. The cut sheet of a hand-off lists what is to be
weighed.

Into the file goes: of a part weighed and source of its [[mass]] entry (a new
entry where it has none), of an item mass, source, and its band where that was
wider than that of scales, 0.005 of the mass (own choice). A pair's mass is that
of one piece. Comments and layout stay; so does the source of a part's material,
behind the new one. A list that only a base file has (extends) is copied into
FILE, for lists are not joined. The file is written whole, or not at all.

The answer says what was computed before and by how much the scales differ: 12 %
over the band means 12 % of the computed mass beyond what the band allowed. Then
mass and centre of the empty machine and of every loading, before and after, and
the checks: geomgen balance --help. Solids are built and measured for it.

A list has a line for each part; what is left blank is skipped, # begins a
comment:

    pod  = 9.2 kg
    boom = 6.8 kg both    # with paint
    wing = ______

  geomgen weigh mine.toml pod='9.2 kg' boom='3.4 kg each' --source 'own scales'
  geomgen weigh mine.toml battery=2.1kg --source 'own scales, 29 November'
  geomgen weigh mine.toml --list weighed.txt --source 'club scales, 3 December'

exit code 1: written, and a check of mass, centre or wheels fails."""
ASKED = "which scales, and when"


def add(parser: Parser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    parser.add_argument("file", metavar="FILE", help="parameter file (TOML)")
    parser.add_argument(
        "masses", metavar="PART=MASS", nargs="*", help="what the scales said, with its unit"
    )
    parser.add_argument("--list", metavar="FILE", help="take them from a list, a line each")
    parser.add_argument(
        "--source", metavar="WORDS", help="which scales, and when; asked for when left out"
    )
    out_option(parser)
    store_option(parser)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen.terminal import console
    from geomgen.terminal.weighing import weighing_lines
    from geomgen.weighing.weigh import weigh

    source = args.source if args.source is not None else _asked(args)
    with console.progress(args.quiet or args.json) as step:
        result = weigh(args.file, args.masses, source, args.list, step, store_of(args))
    code = code_of(result.checks)
    if args.json:
        print_json({**result.as_dict(), "caution": console.CAUTION}, code)
        return code
    console.show(weighing_lines(result, args.quiet), sys.stdout)
    return code


def _asked(args: argparse.Namespace) -> str:
    """Return the source, asked for at a terminal; ParameterError where nobody can be asked."""
    if sys.stdin is None or not sys.stdin.isatty() or args.json or args.quiet:
        raise ParameterError(
            "nothing says which scales, and when", key="--source",
            allowed="a few words, which go into the file",
            advice="add --source 'own scales, 29 November'",
        )  # fmt: skip
    from datetime import date

    sys.stderr.write(f"{ASKED} [own scales, {date.today().isoformat()}]: ")
    sys.stderr.flush()
    line = sys.stdin.readline()
    if not line.endswith("\n"):
        raise ParameterError("the input ended; nothing was written", key="--source")
    return line.strip() or f"own scales, {date.today().isoformat()}"
