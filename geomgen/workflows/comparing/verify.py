"""Does a set on the disk still belong together? Hashes again, parameters again, measured again."""

import json
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.comparison.cut_parts import UNSURE, WRONG, CutPart
from geomgen.comparison.parameter_changes import ParameterChange
from geomgen.errors import GeomgenError
from geomgen.parameters import Parameters, fingerprint, load
from geomgen.regeneration.store import Store
from geomgen.verdicts.check import Check, passed
from geomgen.workflows.building.build import CHECKS, USED, surveyed
from geomgen.workflows.building.outcome import reason_of
from geomgen.workflows.comparing.made_again import made_again
from geomgen.workflows.handing_off.measured_set import MeasuredSet, hashes_of

Progress = Callable[[str], None]
# A figure measured again on the same bytes may differ by this share, or by both error bounds.
REPEATABLE = 1e-6
CHECK_ONLY = (
    "it is the outcome of geomgen check: it holds no solids, so nothing can be measured again, and "
    "its files are held to their hashes alone. geomgen build, of the same parameter file, makes a "
    "set that can be verified"
)
# So many of the keys that differ are named.
NAMED = 8


@dataclass(frozen=True)
class VerifyResult:
    """What no longer belongs (nothing when all is well), and the checks measured again.

    `unseen` are files that only their hash holds: what they should be could not be told. `astray`
    are those of the findings that are about the files themselves: lost, strange, of another hash.
    """

    folder: Path
    findings: tuple[str, ...]
    checks: tuple[Check, ...]
    seconds: float
    reason: str = ""
    unseen: tuple[str, ...] = ()
    astray: tuple[str, ...] = ()

    @property
    def intact(self) -> bool:
        """Say whether every file is still the one that was written, whatever it should be."""
        return not self.astray

    @property
    def passed(self) -> bool:
        """Say whether every file belongs and every check passes again."""
        return not self.findings and passed(self.checks)


def verify(
    folder: str | Path,
    against: str | Path | None = None,
    progress: Progress | None = None,
    store: Store | None = None,
) -> VerifyResult:
    """Hash every file of a set again, measure its solids again, make it all again and compare.

    `against` is a parameter file that the set should be of. FileWriteError when the folder holds
    no set of geomgen's.
    """
    from geomgen.files.manifest import read_manifest
    from geomgen.files.manifest import verify as hashes

    started = time.perf_counter()
    say = progress or (lambda _: None)
    place = Path(folder)
    known = read_manifest(place)
    say("hashes")
    astray = hashes(place)
    p, findings = _parameters(place, known)
    other = [] if against is None else _against(place, known, Path(against), say, store)
    seen: MeasuredSet | None = None
    solids = any(row["what"] == "mesh" for row in known["files"])
    if not solids:
        findings.append(CHECK_ONLY)
    if p is not None and solids:
        seen, told = _measured(place, p, say)
        findings += told
    checks = () if seen is None else seen.checks
    unseen: list[str] = []
    if p is not None and solids:
        told, unseen = made_again(place, p, known, reason_of(place), say, store, seen)
        named = {text.split(":")[0] for text in (*astray, *findings)}
        findings += [text for text in told if text.split(":")[0] not in named]
    every, seconds = (*astray, *other, *findings), time.perf_counter() - started
    return VerifyResult(
        place, every, checks, seconds, reason_of(place), tuple(unseen), tuple(astray)
    )


def _parameters(place: Path, known: dict[str, Any]) -> tuple[Parameters | None, list[str]]:
    try:
        p = load(place / USED)
    except GeomgenError as error:
        return None, [f"{USED}: it can't be read any more: {error}"]
    if fingerprint(p) != known.get("parameters_sha256"):
        return p, [f"{USED}: its parameters are not those that the set was made from"]
    return p, []


def _against(
    place: Path, known: dict[str, Any], file: Path, say: Progress, store: Store | None
) -> list[str]:
    """Return the keys in which a file differs from the set's own, and what it makes wrong.

    Each product is judged by its own geometry.
    """
    from geomgen.workflows.comparing.compare import compare

    if fingerprint(load(file)) == known.get("parameters_sha256"):
        return []
    found = compare(place, file, place.parent, say, draw=False, store=store)
    rows = found.cut
    wrong = [row for row in rows if row.fate in (*WRONG, *UNSURE)]
    told = [f"{row.name}: {row.fate}: {row.why}{_by(row)}" for row in wrong]
    head = (
        f"{file.name}: as the file stands, it is not what the set was made from: "
        f"{_keys(found.parameters)}; {len(wrong)} of {len(rows)} shapes and drawings are not right "
        "by it: hand off again, or write into the file what the set was made with"
    )
    return [head, *told]


def _keys(changes: Sequence[ParameterChange]) -> str:
    """Return which keys differ between the set and a file, with both values."""
    told = [
        f"{change.key} is {change.former or 'not there'} in the set, "
        f"{change.new or 'not there'} in the file"
        for change in changes[:NAMED]
    ]
    more = len(changes) - len(told)
    return "; ".join([*told, *([f"and {more} more keys differ"] if more else [])])


def _by(row: CutPart) -> str:
    return f", by up to {row.moved:.2f} mm" if row.moved else ""


def _measured(place: Path, p: Parameters, say: Progress) -> tuple[MeasuredSet | None, list[str]]:
    from geomgen.files.places import read_places
    from geomgen.files.set_reading import read_set, strange_meshes

    say("files read back")
    try:
        hashes = hashes_of(place, read_places(place)[1])
        model, meshes = read_set(place)
        strange = strange_meshes(meshes)
        seen = MeasuredSet(hashes, model, meshes, *surveyed(p, model, meshes, say))
    except (GeomgenError, OSError, KeyError) as error:
        return None, [f"the set can't be measured again: {error}"]
    try:
        written = json.loads((place / CHECKS).read_bytes())["checks"]
    except (OSError, ValueError, KeyError):
        return seen, [*strange, f"{CHECKS}: it can't be read"]
    return seen, [*strange, *_moved(seen.checks, written)]


def _moved(checks: tuple[Check, ...], written: list[dict[str, Any]]) -> list[str]:
    """Return the figures that are not what was written down for them."""
    before = {row["id"]: row for row in written}
    findings = [
        f"{name}: it is no longer measured" for name in before if name not in {c.id for c in checks}
    ]
    for check in checks:
        row = before.get(check.id)
        if row is None:
            findings.append(f"{check.id}: it was not measured when the set was made")
        elif row["verdict"] != check.verdict:
            findings.append(
                f"{check.id}: {row['verdict']} when the set was made, now {check.verdict}"
            )
        elif not _same(check, row["measured"], row["error_bound"]):
            findings.append(
                f"{check.id}: {row['measured']} {check.unit} when the set was made, "
                f"now {check.measured}"
            )
    return findings


def _same(check: Check, before: float | None, bound: float | None) -> bool:
    """Say whether a figure is the former one, give or take what each of the two may be off."""
    if check.measured is None or before is None:
        return check.measured is before
    # One may be taken on the solids and the other, with its wider bound, on their meshes.
    give = max(REPEATABLE * abs(before), (check.error_bound or 0.0) + (bound or 0.0), REPEATABLE)
    return abs(check.measured - before) <= give
