"""`geomgen sweep`: build and measure many variants, and show the trade-offs."""

import argparse
import sys
from typing import TYPE_CHECKING, Any

from geomgen.terminal.answers import FAULT, NOT_PASSED, OK, print_json
from geomgen.terminal.arguments import file_options, out_option, store_of, store_option

if TYPE_CHECKING:
    from geomgen.sweeping.sweep import SweepResult

WORDS = "build and measure many variants, and show the trade-offs"
GUIDE = """\
examples:
  geomgen sweep mine.toml --vary 'firewall.station=2.22 m:2.24 m:3' \\
      --vary 'scoops.cheek.height=50 mm:58 mm:5'
  geomgen sweep mine.toml --vary 'pod.wall=3 mm,4 mm,5 mm'
  geomgen sweep mine.toml --samples 40 --vary 'firewall.station=2.22 m:2.24 m' \\
      --vary 'scoops.cheek.height=50 mm:60 mm'
  geomgen sweep configs/saltmarsh.toml \\
      --vary 'scoops.cheek.mouth_ahead=0 mm,60 mm' \\
      --vary 'firewall.station=1790 mm:1810 mm:2' \\
      --best 'inlet.pressure.scoop_cheek_right=high,mass.empty=low'

Each variant is measured in a process of its own: one that crashes, hangs
(--limit) or can't be built is a row that says so. Meshes give first answers,
each with how far it may be off. Exact figures follow where they decide: near a
limit, for the best compromises, and where a figure that you name (--best,
--axes) waits for them. A verdict that they could turn reads "waits"; a variant
that fails nothing but has such verdicts is undecided. A place that counts from
another part is varied like any other value:
  --vary 'engine.fan_face.station=firewall + 380 mm:firewall + 420 mm:5'

writes to DIR/NAME.sweep/:
  variants.csv, variants.parquet  every value that was set
                                  (set firewall.station [mm]), every figure with
                                  its bound and verdict, whether a row is exact
  a parameter file for each variant
  study.html                      the trade-offs, which variants pass, the best
                                  compromises (those that no other variant
                                  equals in all figures and betters in one),
                                  and each variant's checks
Stopped half way, the same command goes on where it was.

--executor dask --scheduler tcp://... spreads it over other machines. Install
the extra packages there and here, the same versions on both, in the clone:
  .venv/bin/pip install -c constraints.txt -e ".[dask]"

exit code 1: no variant passes all its checks; 3: none could be built."""
# So many of the best compromises are named on the screen.
NAMED = 8


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    file_options(parser)
    out_option(parser)
    store_option(parser)
    parser.add_argument(
        "--vary",
        action="append",
        default=[],
        metavar="KEY=VALUES",
        help="what to vary: key=a:b:n for n evenly spaced values, ends included, or key=x,y,z for "
        "a list, such as 'firewall.station=2.22 m:2.24 m:5'; several give every combination",
    )
    parser.add_argument(
        "--samples",
        type=int,
        metavar="N",
        help="N variants that fill the ranges evenly, instead of every combination; a range may "
        "then be a:b",
    )
    parser.add_argument(
        "--seed",
        type=int,
        default=0,
        metavar="S",
        help="number that the sample is drawn from: the same seed gives the same variants",
    )
    parser.add_argument(
        "--axes",
        default="",
        metavar="ID,ID[,ID]",
        help="figures or varied keys of the first plot: across, up, and in the cells of the map",
    )
    parser.add_argument(
        "--best",
        default="",
        metavar="ID=low|high,...",
        help="figures to trade against each other, low or high better, such as "
        "firewall.mass=low,exit.area=high",
    )
    parser.add_argument(
        "--exact",
        action="store_true",
        help="exact figures of every variant, not only where they decide",
    )
    _add_workers(parser)


def _add_workers(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--jobs", type=int, metavar="N", help="worker processes (default: cores)")
    parser.add_argument(
        "--limit",
        type=float,
        default=300.0,
        metavar="SECONDS",
        help="longest time for one variant (default: 300)",
    )
    parser.add_argument(
        "--executor",
        default="processes",
        metavar="KIND",
        help="processes on this machine (default), or dask",
    )
    parser.add_argument(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="address of the dask scheduler, such as tcp://10.0.0.2:8786",
    )


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen.sweeping.plan import SweepQuestion
    from geomgen.sweeping.sweep import How, sweep
    from geomgen.terminal import console
    from geomgen.terminal.sweep_progress import telling

    question = SweepQuestion(
        args.file,
        tuple(args.vary),
        tuple(args.overrides),
        args.samples,
        args.seed,
        args.axes,
        args.best,
        args.exact,
    )
    store = store_of(args)
    kept = None if store is None else str(store.folder)
    how = How(args.jobs, args.limit, args.executor, args.scheduler, kept)
    with telling(args.quiet or args.json) as tell:
        result = sweep(question, args.out, how, tell)
    code = FAULT if result.nothing_built else OK if result.passed else NOT_PASSED
    if args.json:
        print_json(summary(result), code)
        return code
    width = console.width_of(sys.stdout)
    console.show([*end_lines(result, args.quiet), *console.caution(width)], sys.stdout)
    return code


def summary(result: "SweepResult") -> dict[str, object]:
    """Return what came of a study as plain values, without the figures of each variant."""
    from geomgen.terminal import console

    return {
        "folder": str(result.folder),
        "variants": len(result.outcomes),
        "counts": result.counts,
        "exact": result.exact,
        "taken_from_before": result.kept,
        "best": [_variant(result, number) for number in result.best],
        "no_such_figure": list(result.absent),
        "not_borne_out": list(result.strayed),
        "not_built": [
            {"variant": v.number, "status": o.status, "part": o.part, "reason": o.message}
            for v, o in zip(result.plan.variants, result.outcomes, strict=True)
            if o.status != "built"
        ],
        "seconds": result.seconds,
        "caution": console.CAUTION,
    }


def _variant(result: "SweepResult", number: int) -> dict[str, Any]:
    variant = next(v for v in result.plan.variants if v.number == number)
    pairs = zip(result.plan.varies, variant.values, strict=True)
    return {"variant": number, "values": {vary.key.name: value.shown for vary, value in pairs}}


def end_lines(result: "SweepResult", quiet: bool = False) -> list[tuple[str, str]]:
    """Return what came of a study, for a terminal: lines with their styles."""
    from geomgen.studies.row import STATUS_WORDS
    from geomgen.verdicts.first import UNDECIDED

    counts = dict(result.counts)
    passed, failing, undecided = (counts.pop(w) for w in ("passed", "failing", "undecided"))
    many = len(result.outcomes)
    variants = f"{many} variant{'' if many == 1 else 's'}"
    lines = [
        (
            f"{passed} of {variants} passed all checks",
            "green" if passed else "bold red",
        ),
    ]
    if failing:
        lines.append((f"{failing} failed a check", "yellow"))
    if undecided:
        lines.append((f"{undecided} undecided: {UNDECIDED}; --exact settles it", "yellow"))
    words: dict[str, str] = {str(status): text for status, text in STATUS_WORDS.items()}
    lines += [(f"{n}: {words[status]}", "bold red") for status, n in counts.items() if n]
    if not quiet:
        lines += [(line, "") for line in _best_lines(result)]
    lines += [(f"no variant has a figure {name}", "yellow") for name in result.absent]
    lines += [(words, "bold red") for words in result.strayed]
    if result.kept:
        were = "was" if result.kept == 1 else "were"
        lines.append((f"{result.kept} {were} taken from before", ""))
    lines.append((f"page: {result.folder / 'study.html'}, {result.seconds:.1f} s", ""))
    return lines


def _best_lines(result: "SweepResult") -> list[str]:
    if not result.best:
        return []
    lines = ["best compromises:"]
    for number in result.best[:NAMED]:
        values = _variant(result, number)["values"].items()
        lines.append(f"  {number:4d}  " + ", ".join(f"{key} {value}" for key, value in values))
    more = len(result.best) - NAMED
    return [*lines, f"  and {more} more"] if more > 0 else lines
