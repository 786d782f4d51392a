"""The report: pages, drawings, pictures and models to look at, beside a set that is built."""

import os
import shutil
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters, fingerprint, load
from geomgen.pipeline.building import CheckResult, build
from geomgen.sizing.targets import targets

if TYPE_CHECKING:
    from geomgen.files.set_reading import Meshes
    from geomgen.kernel.boxes import Box
    from geomgen.kernel.plain import Model
    from geomgen.report.scene import Scene
    from geomgen.verdicts.check import Check

Progress = Callable[[str], None]
PAGE, DRAWINGS, PICTURES = "report.html", "drawings", "pictures"
SCENE = "3D view"
# A manifest rounds the corners of boxes to a ten thousandth of a millimetre.
BOX_ROUNDING = 1e-3
# What the report adds to a set, by the word in the manifest; it is made anew each time.
WHATS = ("report", "report drawing", "picture", "model to look at")


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
    if built:
        build(path, overrides, out, progress)
    making = time.perf_counter()
    with output_set(Path(out), p.name) as fresh:
        checks, entries = _made(Path(out) / p.name, fresh, p, say)
    now = time.perf_counter()
    folder = Path(out) / p.name
    return ReportResult(
        folder,
        checks,
        targets(p),
        now - started,
        folder / PAGE,
        tuple(str(entry["file"]) for entry in entries),
        built,
        now - making,
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


def _made(
    old: Path, fresh: Path, p: Parameters, say: Progress
) -> tuple[tuple["Check", ...], list[dict[str, Any]]]:
    """Take the set over, add the report, write the manifest of both."""
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import manifest, read_manifest, write_manifest
    from geomgen.files.set_reading import read_set
    from geomgen.pipeline.outcome import read_checks
    from geomgen.pipeline.report_page import write_page

    known = read_manifest(old)
    if known.get("parameters_sha256") != fingerprint(p):
        raise FileWriteError(
            "another run has put a set of other parameters there", path=old, advice="try again"
        )
    kept = [entry for entry in known["files"] if entry["what"] not in WHATS]
    _take_over(old, fresh, kept)
    say("files read back")
    model, meshes = read_set(fresh, kept)
    checks = read_checks(fresh)
    boxes = proven_boxes(kept, meshes)
    entries, scene = _written(fresh, p, model, meshes, boxes, checks, say)
    say("page")
    entries += write_page(fresh, p, scene, checks, [*kept, *entries])
    whole = manifest(p.name, p.title, p.revision, fingerprint(p), [*kept, *entries])
    # What made the solids stands in the set's own manifest, and stays.
    write_manifest(fresh, {**whole, "made_with": {**whole["made_with"], **known["made_with"]}})
    return checks, entries


def _take_over(old: Path, fresh: Path, entries: Iterable[dict[str, Any]]) -> None:
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


def _written(
    fresh: Path,
    p: Parameters,
    model: "Model",
    meshes: "Meshes",
    boxes: "dict[str, Box]",
    checks: Sequence["Check"],
    say: Progress,
) -> tuple[list[dict[str, Any]], "Scene"]:
    """Write drawings, pictures and models, two at a time; return their entries and the scene."""
    from geomgen.kernel.forked import answers
    from geomgen.pipeline.report_scene import scene_of

    # The longest first, so that no process is left with one at the end.
    jobs: dict[str, Callable[[], Any]] = {
        "three-view": lambda: _three_view(fresh, p, model, meshes, boxes),
        "engine bay": lambda: _engine_bay(fresh, p, model, checks),
        "pictures": lambda: _pictures(fresh, model, meshes),
        "sections": lambda: _sections(fresh, p, model),
        SCENE: lambda: scene_of(model, meshes, checks),
        "3MF": lambda: _threemf(fresh, p, model, meshes),
        "GLB": lambda: _glb(fresh, p, model, meshes),
    }
    for folder in (DRAWINGS, PICTURES):
        (fresh / folder).mkdir(exist_ok=True)
    found: dict[str, Any] = {}
    for name, answer in answers(lambda name: jobs[name](), list(jobs)):
        say(f"made: {name}")
        found[name] = answer
    entries = [entry for name in jobs if name != SCENE for entry in found[name]]
    return entries, found[SCENE]


def proven_boxes(entries: Sequence[dict[str, Any]], meshes: "Meshes") -> "dict[str, Box]":
    """Return the exact boxes [mm] that the set's manifest states, where the meshes bear them out.

    A part whose mesh says otherwise is left out; its solid is then measured anew.
    """
    from geomgen.kernel.boxes import Box

    found = {}
    for entry in entries:
        if entry["what"] != "solid" or entry["part"] not in meshes:
            continue
        low, high = (tuple(entry["bounding_box"][side]) for side in ("low_mm", "high_mm"))
        mesh, deviation = meshes[entry["part"]]
        ends = (mesh.vertices.min(axis=0) - low, high - mesh.vertices.max(axis=0))
        give = deviation.largest + BOX_ROUNDING
        if all(abs(miss) <= give for end in ends for miss in end):
            found[entry["part"]] = Box(low, high)
    return found


def choices_of(p: Parameters) -> Any:
    """Return what the builder chose for the drawings."""
    from geomgen.views.choices import Choices

    d = p.drawings
    return Choices(
        "third angle" if d.projection == "third angle" else "first angle", d.sheet, d.stations
    )


def _drawn(fresh: Path, p: Parameters, sheet: Any, part: str) -> list[dict[str, Any]]:
    from geomgen.files.drawing_files import write_drawing
    from geomgen.pipeline.shop_files import title_of

    rows = write_drawing(fresh / DRAWINGS, sheet, title_of(p, part, "", "", ""))
    more = {"what": "report drawing", "drawing": sheet.drawing.name, "title": part}
    return [{**row, **more, "file": f"{DRAWINGS}/{row['file']}"} for row in rows]


def _three_view(
    fresh: Path, p: Parameters, model: "Model", meshes: "Meshes", boxes: "dict[str, Box]"
) -> list[dict[str, Any]]:
    from geomgen.views.three_view import three_view

    plain = {name: mesh for name, (mesh, _) in meshes.items()}
    sheet = three_view(model, choices_of(p), plain, boxes=boxes)
    return _drawn(fresh, p, sheet, "Three-view")


def _engine_bay(
    fresh: Path, p: Parameters, model: "Model", checks: Sequence["Check"]
) -> list[dict[str, Any]]:
    from geomgen.views.engine_bay import engine_bay

    return _drawn(fresh, p, engine_bay(model, choices_of(p), checks), "Engine bay")


def _sections(fresh: Path, p: Parameters, model: "Model") -> list[dict[str, Any]]:
    from geomgen.views.station_sections import station_sections

    sheets = station_sections(model, choices_of(p))
    many = len(sheets)
    return [
        entry
        for i, sheet in enumerate(sheets, 1)
        for entry in _drawn(fresh, p, sheet, f"Sections {i} of {many}" if many > 1 else "Sections")
    ]


def _pictures(fresh: Path, model: "Model", meshes: "Meshes") -> list[dict[str, Any]]:
    from geomgen.files.disk import write_bytes
    from geomgen.files.manifest import file_entry
    from geomgen.pictures.picture import SIZE, pictures_of
    from geomgen.pictures.proof import prove_picture

    plain = {name: mesh for name, (mesh, _) in meshes.items()}
    entries = []
    for name, data in pictures_of(model, plain):
        write_bytes(fresh / PICTURES / name, data)
        prove_picture(fresh / PICTURES / name, SIZE)
        entries.append(file_entry(fresh, f"{PICTURES}/{name}", "picture"))
    return entries


def _glb(fresh: Path, p: Parameters, model: "Model", meshes: "Meshes") -> list[dict[str, Any]]:
    from geomgen.files.glb import write_glb
    from geomgen.files.manifest import file_entry

    plain = {name: mesh for name, (mesh, _) in meshes.items()}
    made = write_glb(fresh / f"{p.name}_m.glb", plain, model.colours, (model.swept,), p.name)
    return [{**file_entry(fresh, made.name, "model to look at"), "unit": "m"}]


def _threemf(fresh: Path, p: Parameters, model: "Model", meshes: "Meshes") -> list[dict[str, Any]]:
    from geomgen.files.manifest import file_entry
    from geomgen.files.threemf import write_threemf

    plain = {name: mesh for name, (mesh, _) in meshes.items()}
    made = write_threemf(
        fresh / f"{p.name}_mm.3mf", plain, model.colours, p.name, p.title, (model.swept,)
    )
    return [{**file_entry(fresh, made.name, "model to look at"), "unit": "mm"}]
