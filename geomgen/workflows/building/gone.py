"""What a new set takes the place of: taken over, or said to be gone, with how to make it again."""

import os
import shutil
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from geomgen.workflows.building.kinds import REPORT, SHEETS

# So many files are named.
NAMED = 2


def gone(old: Path, fresh: Path, file: str | Path, why: str = "") -> tuple[str, ...]:
    """Return a notice for a report and one for a hand-off that are in `old` and not in `fresh`.

    Both are folders of a set; `file` is the parameter file to name in the command, `why` says why
    a report was not kept. Empty when there is no set in `old`.
    """
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import read_manifest

    try:
        before = read_manifest(old)["files"]
    except FileWriteError:
        return ()
    kept = {str(entry["file"]) for entry in read_manifest(fresh)["files"]}
    lost = [entry for entry in before if str(entry["file"]) not in kept]
    report = [str(entry["file"]) for entry in lost if entry["what"] in REPORT]
    shops = [str(entry["file"]) for entry in lost if _of_shops(entry)]
    rows = (("report", report, why), ("hand-off", shops, ""))
    return tuple(_told(what, names, file, because) for what, names, because in rows if names)


def _of_shops(entry: dict[str, Any]) -> bool:
    name = str(entry["file"])
    return entry["what"] not in REPORT and ("/" in name or Path(name).stem in SHEETS)


def _told(what: str, names: Sequence[str], file: str | Path, why: str = "") -> str:
    """Return what is gone and which command makes it again.

    >>> _told("report", ["report.html"], "my.toml").partition(": ")[2]
    'geomgen report my.toml writes it for this one'
    """
    names = sorted(names, key=lambda name: ("/" in name, name))
    more = len(names) - NAMED
    shown = ", ".join(names[:NAMED]) + (f", {more} more" if more > 0 else "")
    command = what.replace("-", "")
    because = f", as {why}" if why else ""
    return (
        f"the {what} of the set before is gone ({shown}){because}: geomgen {command} {file} "
        "writes it for this one"
    )


def take_over(old: Path, fresh: Path, entries: Iterable[dict[str, Any]]) -> None:
    """Give the fresh folder the files of the old one; the same bytes, not written again."""
    from geomgen.files.disk import disk_errors

    for entry in entries:
        name = str(entry["file"])
        with disk_errors(name):
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            try:
                os.link(old / name, fresh / name)
            except OSError:
                shutil.copyfile(old / name, fresh / name)
