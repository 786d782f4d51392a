"""Build, measure and judge: what `build`, `check`, `size` and `schema` do."""

import json
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from geomgen.parameters import Parameters, as_toml, fingerprint, load
from geomgen.parameters import schema as parameter_schema
from geomgen.parameters.reading.key_location import lines_told
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.store import Store
from geomgen.sizing.target import Target
from geomgen.sizing.targets import targets
from geomgen.verdicts.check import Check, passed
from geomgen.workflows.building.air_file import write_air
from geomgen.workflows.building.balance_file import write_balance
from geomgen.workflows.building.gone import gone

if TYPE_CHECKING:
    from geomgen.files.parts import ModelFiles
    from geomgen.kernel.meshing.proven import Meshed
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement
    from geomgen.measurements.survey.whole import Meshes
    from geomgen.regeneration.regenerating import Regenerated

Progress = Callable[[str], None]
CHECKS, USED, PARAMETERS = "checks.json", "parameters.toml", "parameters as used"
CAUTION = "a geometry aid, not an airworthiness approval: local codes and licensed practice first"


@dataclass(frozen=True)
class CheckResult:
    """The outcome of the checks, the targets behind them, and the folder that holds checks.json.

    `notices` say what a builder has to know of how the parts came about; `inches` tells that the
    file counts in inches.
    """

    folder: Path
    checks: tuple[Check, ...]
    targets: tuple[Target, ...]
    seconds: float
    notices: tuple[str, ...] = ()
    inches: bool = field(default=False, kw_only=True)

    @property
    def passed(self) -> bool:
        """Say whether every check that was due was measured and none failed."""
        return passed(self.checks)


@dataclass(frozen=True)
class BuildResult(CheckResult):
    """As for a check; the folder holds the whole set of files.

    `unchanged` says that the set was there already, and stays as it was built and proved.
    """

    unchanged: bool = field(default=False, kw_only=True)


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a parameter file."""
    return parameter_schema()


def size(path: str | Path, overrides: Sequence[str] = ()) -> tuple[Target, ...]:
    """Return the targets of a parameter file; makes no solids."""
    return targets(load(path, overrides))


def assemble(parameters: Parameters, progress: Progress | None = None) -> "Model":
    """Build the solids of a parameter record; GeometryError when one can't be built."""
    from geomgen.shapes.assembly.all_parts import assemble as build_all

    with lines_told(parameters):
        return build_all(parameters, progress)


def check(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    progress: Progress | None = None,
    store: Store | None = None,
) -> CheckResult:
    """Build, measure, judge; write checks.json. What a store holds of the same is taken from it.

    A full set that was built before is never touched: when it is of the same parameters it holds
    the same outcome already, otherwise the outcome goes into `<name>.checks` beside it.
    """
    from geomgen.regeneration.regenerating import regenerate

    started = time.perf_counter()
    p = load(path, overrides)
    say = progress or (lambda _: None)
    folder = _place_for_checks(p, Path(out))
    if folder is not None:
        from geomgen.files.output_set import check_place

        check_place(folder.parent, folder.name)
    state = regenerate(p, store, say)
    # A build may have come and gone meanwhile.
    folder = _place_for_checks(p, Path(out))
    if folder is not None:
        from geomgen.files.output_set import output_set

        with output_set(folder.parent, folder.name, say) as fresh:
            write_texts(fresh, p, state.checks, [], notices=state.notices, measured=state.measured)
    where = folder or Path(out) / p.name
    seconds = time.perf_counter() - started
    inches = counts_in_inches(p)
    return CheckResult(where, state.checks, targets(p), seconds, state.notices, inches=inches)


def _place_for_checks(p: Parameters, out: Path) -> Path | None:
    """Return the folder for the outcome of a check; None when a full set of the same holds it."""
    from geomgen.errors import FileWriteError
    from geomgen.files.manifest import read_manifest

    try:
        known = read_manifest(out / p.name)
    except FileWriteError:
        return out / p.name
    if not any(entry["what"] == "mesh" for entry in known.get("files", [])):
        return out / p.name
    same = known.get("parameters_sha256") == fingerprint(p)
    return None if same else out / f"{p.name}.checks"


def build(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    progress: Progress | None = None,
    store: Store | None = None,
) -> BuildResult:
    """Build, write every file and prove it, measure, judge; the set appears whole or not at all.

    Solids, meshes and figures that a store holds of the same are taken from it; files never are.
    But a set that is there, built with the store by the same program of the same file, and not
    touched since, stays.
    """
    from geomgen.files.output_set import output_set
    from geomgen.workflows.building.unchanged import hash_of, kept_set, remember

    started = time.perf_counter()
    p = load(path, overrides)
    say = progress or (lambda _: None)
    folder, inches = Path(out) / p.name, counts_in_inches(p)
    stays = kept_set(folder, p, store, say)
    if stays is not None:
        seconds = time.perf_counter() - started
        return BuildResult(
            folder, stays.checks, targets(p), seconds, stays.notices, inches=inches, unchanged=True
        )
    with output_set(Path(out), p.name, say) as fresh:
        state = fill(fresh, p, say, store)
        notices = (*state.notices, *gone(folder, fresh, path))
        manifest = hash_of(fresh)
    remember(manifest, p, store)
    seconds = time.perf_counter() - started
    return BuildResult(folder, state.checks, targets(p), seconds, notices, inches=inches)


def fill(folder: Path, p: Parameters, say: Progress, store: Store | None) -> "Regenerated":
    """Build, measure and judge, write and prove all files of a set into an empty folder."""
    from geomgen.regeneration.regenerating import regenerate

    state = regenerate(p, store, say)
    written = written_parts(folder, p, state.model, say, state.meshes)
    entries = entries_of(p, written)
    write_texts(folder, p, state.checks, entries, state.model, measured=state.measured)
    return state


def written_parts(
    folder: Path,
    p: Parameters,
    model: "Model",
    say: Progress,
    meshes: "Mapping[str, Meshed] | None" = None,
) -> "ModelFiles":
    """Write and prove the files of all solids of a model; meshes that there are, are taken."""
    from geomgen.files.parts import write_parts

    return write_parts(
        folder,
        model.parts,
        model.colours,
        p.output.mesh_tolerance,
        p.name,
        progress=lambda name: say(f"files of {name}"),
        meshes=meshes,
    )


def entries_of(p: Parameters, written: "ModelFiles") -> list[dict[str, Any]]:
    """Return the manifest's rows of the files of all solids."""
    from geomgen.files.manifest import step_entry, stl_entry

    entries = [step_entry(p.name, written.assembly)]
    for name, part in written.parts.items():
        entries.append(stl_entry(name, part.stl, part.figures))
        entries.append(step_entry(name, part.step, part.figures))
    return entries


class SurveyedModel(NamedTuple):
    """What was measured of a model, and the checks that come of it."""

    checks: tuple[Check, ...]
    measured: "Sequence[Measurement]" = ()


def surveyed(p: Parameters, model: "Model", meshes: "Meshes", say: Progress) -> SurveyedModel:
    """Measure solids and meshes as they are given and judge them."""
    from geomgen.balance.judged import checks_of
    from geomgen.measurements.survey.whole import survey

    measured = survey(model, meshes, say)
    return SurveyedModel(checks_of(p, measured), measured)


def write_texts(
    folder: Path,
    p: Parameters,
    checks: Sequence[Check],
    entries: list[dict[str, Any]],
    model: "Model | None" = None,
    notices: Sequence[str] = (),
    measured: "Sequence[Measurement]" = (),
) -> None:
    """Write the outcome, the parameters as used, and the manifest of all that is in the folder.

    The notices are the model's where there is one. Of what was `measured` masses and air are
    worked out, where the file describes any.
    """
    from geomgen.files.disk import write_bytes
    from geomgen.files.manifest import file_entry, manifest, write_manifest

    outcome = {
        "name": p.name,
        "revision": p.revision,
        "parameters_sha256": fingerprint(p),
        "caution": CAUTION,
        "checks": [check.as_dict() for check in checks],
        "notices": list(notices if model is None else model.notices),
    }
    text = json.dumps(outcome, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(folder / CHECKS, text.encode("ascii"))
    write_bytes(folder / USED, as_toml(p).encode("utf-8"))
    rest = [(CHECKS, "checks"), (USED, PARAMETERS)]
    if model is not None:
        from geomgen.files.places import NAME, write_places

        write_places(folder, model)
        rest.append((NAME, "places to measure at"))
    rest += _write_aerofoils(folder, p)
    rest += write_balance(folder, p, measured)
    rest += write_air(folder, p, measured)
    entries = [*entries, *(file_entry(folder, name, what) for name, what in rest)]
    write_manifest(folder, manifest(p.name, p.title, p.revision, fingerprint(p), entries))


def _write_aerofoils(folder: Path, p: Parameters) -> list[tuple[str, str]]:
    """Write the point files that the parameters as used name, so that they load again."""
    from geomgen.files.disk import write_bytes

    written = []
    for name, points in p.aerofoils.items():
        file = name.removeprefix("file:").strip()
        rows = "\n".join(f"{x!r} {y!r}" for x, y in points)
        write_bytes(folder / file, f"{Path(file).stem}\n{rows}\n".encode("ascii"))
        written.append((file, "aerofoil points"))
    return written
