"""The outcome of the checks as it stands in a set, and why it was released all the same."""

import json
from pathlib import Path

from geomgen.errors import FileWriteError
from geomgen.verdicts.check import Check, from_dict
from geomgen.workflows.building.kinds import SHEET

CHECKS = "checks.json"


def read_checks(folder: Path) -> tuple[Check, ...]:
    """Return the checks in a set's checks.json; FileWriteError when it can't be read."""
    path = folder / CHECKS
    try:
        return tuple(from_dict(row) for row in json.loads(path.read_bytes())["checks"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise FileWriteError(
            "the outcome of the checks can't be read", path=path.name, advice="build the set again"
        ) from error


def reason_of(place: Path) -> str:
    """Return why a set was released although a check failed; empty when it was not."""
    try:
        return str(json.loads((place / f"{SHEET}.json").read_bytes())["released_because"])
    except (OSError, ValueError, KeyError):
        return ""
