"""`geomgen verify`: hash a set again, measure it, make it once more and compare."""

import argparse
import sys
from pathlib import Path
from typing import Any

from geomgen.terminal.answers import NOT_PASSED, OK, outcome, outcome_json

WORDS = "hash, measure and make a set again: is every file what its parameters give?"
GUIDE = """\
A set is the folder that `build` or `handoff` made. Hashes every file of it,
measures it as read back, makes it once more from its parameters.toml, and says
which file differs and by how much. A file that can't be made again is checked
by its hash only, and named. With --against it also says whether the set is
still the one that the file describes, and names the keys that differ:
  geomgen verify out/mine --against mine.toml
The last line says whether the files are still those that were written.

exit code 1: a file is missing, changed, or not what the parameters give; a
check fails; or it is the outcome of a check alone, without solids to measure."""


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options of this command."""
    parser.epilog = GUIDE
    parser.add_argument("folder", metavar="FOLDER", help="a set that was built or handed off")
    parser.add_argument(
        "--against",
        metavar="FILE",
        help="the parameter file that the set should have been made from",
    )
    parser.add_argument(
        "--afresh",
        action="store_true",
        help="make it again from nothing: take nothing from what earlier runs kept beside it",
    )


def _store(args: argparse.Namespace) -> Any:
    """Return the store beside the set, if there is one."""
    from geomgen.regeneration.store import KEPT, store_in

    beside = Path(args.folder).resolve().parent
    return None if args.afresh or not (beside / KEPT).is_dir() else store_in(beside)


def run(args: argparse.Namespace) -> int:
    """Do it and return the exit code."""
    from geomgen import workflows
    from geomgen.terminal import console

    with console.progress(args.quiet or args.json) as step:
        result = workflows.verify(args.folder, args.against, step, _store(args))
    code = OK if result.passed else NOT_PASSED
    if args.json:
        more = {"findings": list(result.findings), "released_because": result.reason}
        more["held_by_hash_only"] = list(result.unseen)
        whole = {"folder": str(result.folder), "intact": result.intact}
        return outcome_json(result, code, **whole, **more)
    outcome(args, result)
    width = console.width_of(sys.stdout)
    console.show(console.verify_end(result, width), sys.stdout)
    return code
