"""How a command answers: exit codes, a table or JSON on standard output."""

import argparse
import json
import sys
from collections.abc import Sequence
from typing import Any

OK, NOT_PASSED, REFUSED, FAULT, FILES = range(5)


def print_json(answer: dict[str, object], code: int) -> None:
    """Write an answer with its exit code as JSON."""
    whole = {**answer, "exit_code": code}
    sys.stdout.write(json.dumps(whole, indent=2, allow_nan=False) + "\n")
    sys.stdout.flush()


def code_of(checks: Sequence[Any]) -> int:
    """Return the exit code of checks: every one that was due has to be there and not to fail."""
    from geomgen.verdicts.check import passed

    return OK if passed(checks) else NOT_PASSED


def outcome(args: argparse.Namespace, result: Any) -> int:
    """Show the table of checks; return their exit code."""
    from geomgen.terminal import console

    notices = _notices(result, result.checks)
    width = console.width_of(sys.stdout)
    inches = getattr(result, "inches", False)
    table = console.check_table(result.checks, notices, width, args.quiet, inches)
    console.show(table, sys.stdout)
    return code_of(result.checks)


def _notices(result: Any, checks: Sequence[Any] = ()) -> list[str]:
    from geomgen.verdicts.wording import notices_of

    targets, more = (getattr(result, name, ()) for name in ("targets", "notices"))
    return [*notices_of(targets, checks), *more]


def outcome_json(result: Any, code: int, **more: object) -> int:
    """Write the checks as JSON; return the code."""
    from geomgen.terminal import console

    rows = [check.as_dict() for check in result.checks]
    answer = {
        **more,
        "checks": rows,
        "counts": console.counts(result.checks),
        "notices": _notices(result),
        "caution": console.CAUTION,
    }
    print_json(answer, code)
    return code
