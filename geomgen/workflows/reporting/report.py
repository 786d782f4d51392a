"""The report: pages, drawings, pictures and models to look at, beside a set that is built."""

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters, fingerprint, load
from geomgen.parameters.reading.key_location import lines_told
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.store import Store
from geomgen.sizing.targets import targets
from geomgen.workflows.building.build import CheckResult, build
from geomgen.workflows.building.gone import take_over
from geomgen.workflows.building.kinds import PAGE, REPORT
from geomgen.workflows.building.outcome import read_checks, reason_of

if TYPE_CHECKING:
    from geomgen.verdicts.check import Check

Progress = Callable[[str], None]


@dataclass(frozen=True)
class ReportResult(CheckResult):
    """The outcome of a report; `built` tells that the set had to be built first, `page` the file.

    `making` is how long [s] the report itself took, without building the set.
    """

    page: Path = Path()
    files: tuple[str, ...] = ()
    built: bool = False
    making: float = 0.0


def report(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    progress: Progress | None = None,
    store: Store | None = None,
) -> ReportResult:
    """Write report.html, drawings, pictures, GLB and 3MF into the set of a parameter file.

    The set is built first when there is none of just these parameters, or when a file of it was
    changed; otherwise it stays byte for byte what it is.
    """
    from geomgen.files.output_set import output_set

    started = time.perf_counter()
    p = load(path, overrides)
    say = progress or (lambda _: None)
    built = not _stands(Path(out) / p.name, p)
    said: tuple[str, ...] = ()
    if built:
        said = build(path, overrides, out, progress, store).notices
    making = time.perf_counter()
    with lines_told(p), output_set(Path(out), p.name, say) as fresh:
        checks, entries, notices = fill(Path(out) / p.name, fresh, p, say)
    now = time.perf_counter()
    folder = Path(out) / p.name
    return ReportResult(
        folder,
        checks,
        targets(p),
        now - started,
        tuple(dict.fromkeys((*notices, *said))),
        folder / PAGE,
        tuple(str(entry["file"]) for entry in entries),
        built,
        now - making,
        inches=counts_in_inches(p),
    )


def _stands(folder: Path, p: Parameters) -> bool:
    """Say whether a whole set of just these parameters stands there, unchanged."""
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import read_manifest, verify
    from geomgen.files.places import NAME

    try:
        known = read_manifest(folder)
        same = known.get("parameters_sha256") == fingerprint(p)
        return same and (folder / NAME).is_file() and not verify(folder)
    except FileWriteError:
        return False


def fill(
    old: Path, fresh: Path, p: Parameters, say: Progress
) -> tuple[tuple["Check", ...], list[dict[str, Any]], tuple[str, ...]]:
    """Take the set over, add the report, write the manifest of both; the notices come last."""
    from geomgen.aircraft_drawings.on_wheels.stance import unstanding
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import manifest, read_manifest, versions, write_manifest
    from geomgen.files.set_reading import read_set
    from geomgen.workflows.reporting.files import ReportFiles, proven_boxes
    from geomgen.workflows.reporting.page import write_page

    known = read_manifest(old)
    if known.get("parameters_sha256") != fingerprint(p):
        raise FileWriteError(
            "another run has put a set of other parameters there", path=old, advice="try again"
        )
    kept = [entry for entry in known["files"] if entry["what"] not in REPORT]
    take_over(old, fresh, kept)
    say("files read back")
    model, meshes = read_set(fresh, kept)
    checks, reason = read_checks(fresh), reason_of(fresh)
    boxes = proven_boxes(kept, meshes)
    entries, scene = ReportFiles(fresh, p, model, meshes, checks, boxes, reason).write(say)
    say("page")
    # What made the solids stands in the set's own manifest, and stays.
    made_with = {**versions(), **known["made_with"]}
    every = [*kept, *entries]
    notices = tuple(notice for notice in (*model.notices, unstanding(model)) if notice)
    entries += write_page(fresh, p, scene, checks, every, made_with, reason, notices)
    whole = manifest(p.name, p.title, p.revision, fingerprint(p), [*kept, *entries])
    write_manifest(fresh, {**whole, "made_with": made_with})
    return checks, entries, notices
