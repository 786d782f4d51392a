"""`geomgen solve`: find the dimensions that meet a target, measured on solids."""

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TextIO

from geomgen.terminal.answers import NOT_PASSED, OK, print_json
from geomgen.terminal.arguments import file_options, out_option, store_of, store_option

if TYPE_CHECKING:
    from geomgen.solving.search.free import Free
    from geomgen.solving.search.log import MeasuredState
    from geomgen.solving.solve import SolveResult

WORDS = "find the dimensions that meet a target, measured on solids"
GUIDE = """\
examples:
  geomgen solve mine.toml --free scoops.cheek.height=30mm:90mm \\
      --until inlet.area=target
  geomgen solve mine.toml --free booms.buttock_line=700mm:900mm \\
      --until 'prop.radial_clearance>=150 mm'
  geomgen solve mine.toml --free firewall.thickness=0.4mm:1mm \\
      --until all --least-mass --to 0.01mm
  geomgen solve configs/saltmarsh.toml \\
      --free exit.tail_fairing.stations.2.diameter=60mm:150mm \\
      --until 'cooling.air_rise.climb<=62 K'

=target     aims for the middle of a band, or for a one-sided limit with the
            error bound of the measurement inside it
=VALUE      is met within a stated tolerance ('=180 cm^2 +/- 1 cm^2'); without
            one, as near as the steps of the answer allow (--to), at most a
            hundredth of the value off
>=, <=      keep as near to the present dimensions as the limit lets them
all         every check
A computed figure of the air has a wide error bound: ask for a value of it, as
above, where =target would want all of the bound inside the limit.
An id that ends in .* means each figure of its family. `geomgen check --help`
lists the ids. Several --free and --until go together.

On the way first answers, by meshes, are enough where they tell enough; near a
limit or an asked value each step is measured on the solids. The answer is
rounded to what you can build (--to), measured on the solids, and written as a
variant of your file, comments kept; what it changed is shown. Where the step is
too coarse or the figure jumps, it says so. Bounds may count from another part;
then the length from that part is varied:
  --free 'engine.fan_face.station=firewall + 380 mm:firewall + 420 mm'

exit code 1: nothing within the bounds meets it; it says what comes nearest."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    store_option(parser)
    parser.add_argument(
        "--free",
        action="append",
        default=[],
        metavar="KEY=LOW:HIGH",
        help="what may be changed, and its bounds; may be repeated",
    )
    parser.add_argument(
        "--until",
        action="append",
        default=[],
        metavar="ID=target",
        help="what has to be met: ID=target, 'ID=VALUE', 'ID>=VALUE', 'ID<=VALUE', or all; "
        "may be repeated",
    )
    _add_mass(parser)
    parser.add_argument(
        "--to",
        action="append",
        default=[],
        metavar="STEP",
        help="round the answer to multiples of it (default: 0.1 mm, 0.1 deg; 0.005 in for bounds "
        "in inches); may be repeated",
    )
    parser.add_argument(
        "--evaluations",
        type=int,
        default=60,
        metavar="N",
        help="measure N states at most, the present one among them (default: 60)",
    )
    parser.add_argument(
        "--exact",
        action="store_true",
        help="exact figures of every state, not only where they decide",
    )
    parser.add_argument(
        "--write",
        metavar="ANSWER",
        help="file for the answer (default: DIR/<name>-solved.toml, numbered where taken)",
    )
    parser.add_argument(
        "--replace",
        action="store_true",
        help="replace what is there: an older answer, or any other file",
    )


def _add_mass(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--least-mass",
        action="store_true",
        help="of all that meets it, the least mass: volume times density of the firewall and of "
        "the parts named with --density",
    )
    parser.add_argument(
        "--density",
        action="append",
        default=[],
        metavar="FAMILY=DENSITY",
        help="count the parts of a family in the mass, such as 'boom=300 kg/m^3'; may be repeated",
    )


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen.solving.question import SolveQuestion
    from geomgen.solving.solve import solve
    from geomgen.terminal import console

    question = SolveQuestion(
        args.file,
        tuple(args.free),
        tuple(args.until),
        tuple(args.overrides),
        tuple(args.to),
        args.least_mass,
        tuple(args.density),
        args.evaluations,
        args.write,
        args.replace,
        args.exact,
    )
    tell = telling(args.quiet or args.json, sys.stderr)
    result = solve(question, args.out, store_of(args), tell)
    code = OK if result.passed else NOT_PASSED
    if args.json:
        print_json(summary(result), code)
        return code
    from geomgen.terminal.solving import answer_lines

    width = console.width_of(sys.stdout)
    console.show(answer_lines(result, width, args.quiet), sys.stdout)
    return code


def telling(quiet: bool, stream: TextIO) -> "Callable[[MeasuredState, Sequence[Free]], None]":
    """Return a function that writes a line about each measured state; none when it is quiet."""

    def tell(point: "MeasuredState", frees: "Sequence[Free]") -> None:
        from geomgen.solving.search.told import progress_line

        if not quiet:
            stream.write(f"{progress_line(point, frees)}  [{point.seconds:.1f} s]\n")
            stream.flush()

    return tell


def summary(result: "SolveResult") -> dict[str, object]:
    """Return what came of a search as plain values."""
    from geomgen.solving.mass import mass_words
    from geomgen.solving.search.rows import as_dict
    from geomgen.terminal import console

    return {
        **as_dict(result.solved),
        "mass_of": mass_words(result.plan.densities),
        "file": None if result.file is None else str(result.file),
        "changed_meanwhile": result.saved,
        "strayed": list(result.strayed),
        "seconds": round(result.seconds, 3),
        "caution": console.CAUTION,
    }
