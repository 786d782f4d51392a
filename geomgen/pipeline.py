"""The only place that joins the stages: file, records, solids, meshes, measurements, verdicts."""

import json
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters, as_toml, fingerprint, load
from geomgen.parameters import schema as parameter_schema
from geomgen.sizing.target import Target
from geomgen.sizing.targets import conversions, targets
from geomgen.verdicts.check import Check
from geomgen.verdicts.conversions import converted
from geomgen.verdicts.judge import judge

if TYPE_CHECKING:
    from geomgen.kernel.meshing import Meshed
    from geomgen.kernel.plain import Model

Progress = Callable[[str], None]
CHECKS, USED = "checks.json", "parameters.toml"
CAUTION = "a geometry aid, not an airworthiness approval: local codes and licensed practice first"


@dataclass(frozen=True)
class CheckResult:
    """The outcome of the checks, the targets behind them, and the folder that holds checks.json."""

    folder: Path
    checks: tuple[Check, ...]
    targets: tuple[Target, ...]
    seconds: float

    @property
    def passed(self) -> bool:
        """Say whether every check that was due was measured and none failed."""
        return bool(self.checks) and not any(check.stops for check in self.checks)


class BuildResult(CheckResult):
    """As for a check; the folder holds the whole set of files."""


def schema() -> dict[str, Any]:
    """Return the JSON Schema of a parameter file."""
    return parameter_schema()


def size(path: str | Path, overrides: Sequence[str] = ()) -> tuple[Target, ...]:
    """Return the targets of a parameter file; makes no solids."""
    return targets(load(path, overrides))


def assemble(parameters: Parameters, progress: Progress | None = None) -> "Model":
    """Build the solids of a parameter record; GeometryError when one can't be built."""
    from geomgen.shapes.assembly import assemble as build_all

    return build_all(parameters, progress)


def check(
    path: str | Path,
    overrides: Sequence[str] = (),
    out: str | Path = "out",
    progress: Progress | None = None,
) -> CheckResult:
    """Build, measure, judge; write checks.json.

    A full set that was built before is never touched: when it is of the same parameters it holds
    the same outcome already, otherwise the outcome goes into `<name>.checks` beside it.
    """
    started = time.perf_counter()
    say = progress or (lambda _: None)
    p = load(path, overrides)
    _, _, checks = _judged(p, say)
    folder = _place_for_checks(p, Path(out))
    if folder is not None:
        from geomgen.files.manifest import file_entry, manifest, write_manifest
        from geomgen.files.output_set import output_set

        with output_set(folder.parent, folder.name) as fresh:
            names = _write_texts(fresh, p, checks)
            entries = [file_entry(fresh, name, what) for name, what in names]
            write_manifest(fresh, manifest(p.name, p.title, p.revision, fingerprint(p), entries))
    where = folder or Path(out) / p.name
    return CheckResult(where, checks, targets(p), time.perf_counter() - started)


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
) -> BuildResult:
    """Build, measure, judge, write every file and prove it; the set appears whole or not at all."""
    from geomgen.files.manifest import file_entry, manifest, write_manifest
    from geomgen.files.output_set import output_set

    started = time.perf_counter()
    say = progress or (lambda _: None)
    p = load(path, overrides)
    with output_set(Path(out), p.name) as fresh:
        model, meshes, checks = _judged(p, say)
        entries = _write_solids(fresh, p, model, meshes, say)
        names = _write_texts(fresh, p, checks)
        entries += [file_entry(fresh, name, what) for name, what in names]
        write_manifest(fresh, manifest(p.name, p.title, p.revision, fingerprint(p), entries))
    seconds = time.perf_counter() - started
    return BuildResult(Path(out) / p.name, checks, targets(p), seconds)


def _judged(p: Parameters, say: Progress) -> "tuple[Model, dict[str, Meshed], tuple[Check, ...]]":
    from geomgen.kernel.meshing import meshed
    from geomgen.measurements.survey import survey

    model = assemble(p, say)
    meshes = {}
    for name, solid in model.parts.items():
        say(f"mesh of {name}")
        meshes[name] = meshed(solid, p.output.chord_tolerance, part=name)
    found = survey(model, {n: (m.mesh, m.deviation) for n, m in meshes.items()}, say)
    return model, meshes, tuple(judge(converted(found, conversions(p)), targets(p)))


def _stem(p: Parameters, part: str) -> str:
    return f"{p.name}_{part}_{p.revision}"


def _write_solids(
    folder: Path, p: Parameters, model: "Model", meshes: "dict[str, Meshed]", say: Progress
) -> list[dict[str, Any]]:
    """Write STEP and STL of each part and the assembly, and prove each as read back."""
    from geomgen.files.manifest import step_entry, stl_entry
    from geomgen.files.proof import prove_step, prove_stl
    from geomgen.files.step import write_step
    from geomgen.files.stl import write_stl
    from geomgen.kernel.properties import figures

    entries: list[dict[str, Any]] = []
    known = {}
    for name, solid in model.parts.items():
        say(f"files of {name}")
        known[name] = figures(solid)
        stl = write_stl(folder, meshes[name].mesh, _stem(p, name))
        proof = prove_stl(stl, meshes[name], solid, p.output.chord_tolerance, known[name])
        entries.append(stl_entry(name, proof, known[name]))
        one, colour = {name: solid}, {name: model.colours[name]}
        step = write_step(folder, one, colour, _stem(p, name))
        entries.append(step_entry(name, prove_step(step, one, colour, known), known[name]))
    say("assembly")
    whole = write_step(folder, model.parts, model.colours, _stem(p, "assembly"))
    proof_of_all = prove_step(whole, model.parts, model.colours, known)
    entries.append(step_entry("assembly", proof_of_all))
    return entries


def _write_texts(folder: Path, p: Parameters, checks: Sequence[Check]) -> list[tuple[str, str]]:
    from geomgen.files.disk import write_bytes

    outcome = {
        "name": p.name,
        "revision": p.revision,
        "parameters_sha256": fingerprint(p),
        "caution": CAUTION,
        "checks": [check.as_dict() for check in checks],
    }
    text = json.dumps(outcome, indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(folder / CHECKS, text.encode("ascii"))
    write_bytes(folder / USED, as_toml(p).encode("utf-8"))
    return [(CHECKS, "checks"), (USED, "parameters as used")]
