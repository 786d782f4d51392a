"""The report of the set before: kept where it is still that of the set handed off, or why not."""

import json
from pathlib import Path
from typing import Any

from geomgen.workflows.building.build import CHECKS, PARAMETERS, USED
from geomgen.workflows.building.gone import take_over
from geomgen.workflows.building.kinds import REPORT
from geomgen.workflows.building.outcome import reason_of

SOLIDS = ("solid", "mesh", "assembly")
RELEASED = "it does not say why the set is released although a check failed"
UNRELEASED = "it says that the set is released although a check failed"
# So many files or checks are named.
NAMED = 2


def keep_report(old: Path, fresh: Path, reason: str) -> str:
    """Give a fresh set the report of the old one, if it is of the same solids and verdicts.

    Return in words why it was not kept; nothing where it was, or where there is none. `reason` is
    that of a release, which a report has to carry. FileWriteError when it can't be written.
    """
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import read_manifest, write_manifest

    try:
        before = read_manifest(old)
    except FileWriteError:
        return ""
    rows = [entry for entry in before["files"] if entry["what"] in REPORT]
    if not rows:
        return ""
    now = read_manifest(fresh)
    why = _why(old, fresh, before, now, reason)
    if not why:
        take_over(old, fresh, rows)
        write_manifest(fresh, {**now, "files": [*now["files"], *rows]})
    return why


def _why(old: Path, fresh: Path, before: dict[str, Any], now: dict[str, Any], reason: str) -> str:
    from geomgen.files.manifest import verify

    if before.get("parameters_sha256") != now.get("parameters_sha256"):
        return "it is of other parameters"
    if before.get("made_with") != now.get("made_with"):
        return "other versions of the program and its libraries wrote it"
    # A release stands in the heads of the solids' files, too.
    if reason_of(old) != reason:
        return RELEASED if reason else UNRELEASED
    former, new = (_hashes(content) for content in (before, now))
    # The page has this file whole, with what places hang on, which no fingerprint tells.
    if former.pop(USED, "") != new.pop(USED, ""):
        return "places in the file are written in another way"
    differ = sorted(name for name in {*former, *new} if former.get(name) != new.get(name))
    if differ:
        return f"its solids are others: {_few(differ)}"
    former, new = (_verdicts(folder) for folder in (old, fresh))
    differ = sorted(name for name in {*former, *new} if former.get(name) != new.get(name))
    if differ:
        return f"verdicts are others: {_few(differ)}"
    if astray := verify(old):
        return f"files of that set were changed: {_few(astray)}"
    return ""


def _hashes(content: dict[str, Any]) -> dict[str, str]:
    """Return the hashes of a set's parameters, solids and meshes, those of shops aside."""
    return {
        str(entry["file"]): str(entry["sha256"])
        for entry in content["files"]
        if entry["what"] in (*SOLIDS, PARAMETERS) and "/" not in str(entry["file"])
    }


def _verdicts(folder: Path) -> dict[str, str]:
    try:
        rows = json.loads((folder / CHECKS).read_bytes())["checks"]
        return {str(row["id"]): str(row["verdict"]) for row in rows}
    except (OSError, ValueError, KeyError):
        return {}


def _few(names: list[str]) -> str:
    more = len(names) - NAMED
    return ", ".join(names[:NAMED]) + (f" and {more} more" if more > 0 else "")
