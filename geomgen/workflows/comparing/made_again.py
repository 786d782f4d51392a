"""A set made once more from the parameters that it holds, and what of it is not the same."""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from geomgen.errors import GeomgenError
from geomgen.parameters import Parameters
from geomgen.parameters.reading.key_location import lines_told
from geomgen.regeneration.store import Store
from geomgen.workflows.building.build import USED
from geomgen.workflows.building.kinds import PAGE, REPORT, SHEET
from geomgen.workflows.handing_off.measured_set import MeasuredSet

Progress = Callable[[str], None]
Found = tuple[list[str], list[str]]
# The page and the comments of the parameters tell how the builder wrote a value, which the set
# does not keep: their hashes hold them, and the parameters their values.
AS_WRITTEN = (PAGE, USED)
OTHER_BYTES = f"it holds the same, in other bytes than the set's own {USED} gives"


def made_again(
    folder: Path,
    p: Parameters,
    known: dict[str, Any],
    reason: str,
    say: Progress,
    store: Store | None = None,
    seen: MeasuredSet | None = None,
) -> Found:
    """Return how a set is not the one that its parameters give, and which files nothing tells of.

    `known` is its manifest: it tells whether a hand-off and a report are due. What nothing tells of
    is held by the manifest's hash alone. `seen` is what was measured of the set.
    """
    from geomgen.files.manifest import NAME, present, read_manifest, versions

    with tempfile.TemporaryDirectory(prefix="geomgen-") as spare:
        try:
            due = _made(Path(spare), p, known, reason, say, store, seen)
        except GeomgenError as error:
            return [f"the set can't be made again from its {USED}: {error}"], []
        say("files compared")
        names = sorted(present(due) - {NAME})
        lost = [f"{name}: its parameters ask for it" for name in names if not _is(folder / name)]
        more = [
            f"{name}: its parameters do not ask for it"
            for name in sorted(present(folder) - {NAME, *names})
        ]
        same = known.get("made_with") == versions()
        differ, unseen = _differences(folder, due, names, p.output.mesh_tolerance, same)
        rows = _other_rows(known, read_manifest(due)) if same else []
        return [*lost, *more, *differ, *rows], unseen


def _is(path: Path) -> bool:
    return path.is_file()


def _made(
    spare: Path,
    p: Parameters,
    known: dict[str, Any],
    reason: str,
    say: Progress,
    store: Store | None,
    seen: MeasuredSet | None,
) -> Path:
    """Make the set of the same kind in a spare folder and return where."""
    from geomgen.workflows.building import build
    from geomgen.workflows.handing_off import hand_off
    from geomgen.workflows.reporting import report

    whats = {str(row.get("what")) for row in known["files"]}
    handed = any(str(row.get("file")) == f"{SHEET}.json" for row in known["files"])
    made = spare / "set"
    made.mkdir()
    with lines_told(p):
        if handed:
            hand_off.fill(made, p, reason, say, store, seen)
        else:
            build.fill(made, p, say, store)
        if whats & set(REPORT):
            told = spare / "told"
            told.mkdir()
            report.fill(made, told, p, say)
            made = told
    return made


def _differences(
    folder: Path, due: Path, names: list[str], tolerance: float, same_versions: bool
) -> Found:
    """Return what differs in files that are there, and the names of those that nothing tells of.

    Bytes alone count where nothing else made them. What other versions of the libraries give as
    pages and pictures can't be compared.
    """
    from geomgen.workflows.comparing.file_differences import MEASURED, difference

    found, unseen = [], []
    for name in names:
        path, right = folder / name, due / name
        if not path.is_file() or path.read_bytes() == right.read_bytes():
            continue
        if name == PAGE or (not same_versions and path.suffix not in MEASURED):
            unseen.append(name)
            continue
        words = difference(path, right, tolerance)
        if words or (same_versions and name not in AS_WRITTEN):
            found.append(f"{name}: {words or OTHER_BYTES}")
    return found, unseen


def _other_rows(known: dict[str, Any], due: dict[str, Any]) -> list[str]:
    """Return which rows of a manifest say of their files what is not so, hashes aside."""
    from geomgen.files.manifest import NAME

    now, then = (_rows(content) for content in (known, due))
    names = [name for name in then if name in now and now[name] != then[name]]
    return [f"{NAME}: what it says of {name} is not so" for name in names]


def _rows(content: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {
        str(row["file"]): {key: row[key] for key in row if key not in ("sha256", "bytes")}
        for row in content["files"]
    }
