"""What the builder of the live page does with a state: answers first, then model, drawings."""

import json
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.errors import FileWriteError, GeometryError
from geomgen.pages.mass_diagram import DrawnEnvelope, drawn
from geomgen.pages.measured_scene import spans_of, viewed
from geomgen.pages.scene import PageScene, ScenePart
from geomgen.parameters import Parameters
from geomgen.processes.temporary import PREFIX
from geomgen.regeneration.store import store_in
from geomgen.sizing.targets import targets
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import notices_of
from geomgen.watching.live_page.state_results import (
    CaptionedDrawing,
    DrawnState,
    FirstJudged,
    Judged,
    Modelled,
    StateResult,
)

if TYPE_CHECKING:
    from geomgen.kernel.mesh import Mesh
    from geomgen.kernel.model import Model
    from geomgen.measurements.record import Measurement
    from geomgen.regeneration.first import FirstAnswers, StateBefore
    from geomgen.regeneration.regenerating import Regenerated
    from geomgen.watching.builder import Progress

OPENINGS = "openings"
DRAWINGS = ("three-view", "engine bay", "sections")
# The bodies of the last first shape and of the last exact one, by what they are made of: most parts
# stay what they were, and whole ones are the same in both.
_last: dict[bool, dict[str, ScenePart]] = {}
# The last state that was made exactly, by the folder that is built into.
_before: dict[Path, "StateBefore"] = {}


def stages(p: Parameters, out: Path, say: "Progress") -> Iterator[StateResult]:
    """Yield first answers, checks, view, drawings of a state; GeometryError if it can't be built.

    The first answers come as they are known, all so far each time.

    The view comes three times: with the first answers, with the exact ones, and again when the
    faces of the openings were found. What `say` raises ends the work on drawings and openings at
    once.
    """
    from geomgen.regeneration.first import StateBefore, first_steps, logged
    from geomgen.regeneration.regenerating import regenerate

    told = notices_of(targets(p))
    for first in first_steps(p, store_in(out), say, before=_before.get(out)):
        if not first.why:
            notices = (*told, *first.notices)
            counts = first.seconds, first.made, first.kept
            yield FirstJudged(first.checks, *counts, notices, first.whole)
    yield from _first_model(first, say)
    state = regenerate(p, store_in(out), say)
    told_by = {**(_before[out].told_by if out in _before else {}), **first.told_by}
    _before[out] = StateBefore(state.by_step, state.checks, told_by)
    notices = (*told, *state.notices, *logged(out, p, first.checks, state.checks))
    loadings = envelope_of(p, state.measured)
    yield Judged(state.checks, state.seconds, state.made, state.kept, notices, loadings)
    say("3D view")
    hashes = {name: mesh for name, (_, mesh) in state.fingerprints.items()}
    bodies = bodies_of(state.model, hashes, lambda name: state.meshes[name].mesh)
    scene = _pressed(p, state, PageScene(bodies, spans_of(state.checks)))
    yield Modelled(model_text(scene, state.checks))
    found: dict[str, tuple[CaptionedDrawing, ...]] = {}
    for name, answer in _answers(p, state, say):
        if name == OPENINGS:
            whole = replace(scene, openings=answer.openings)
            yield Modelled(model_text(whole, state.checks))
        else:
            found[name] = answer
    yield DrawnState(tuple(drawing for name in DRAWINGS for drawing in found[name]))


def _pressed(p: Parameters, state: "Regenerated", scene: PageScene) -> PageScene:
    """Return the view with the pressures on it, where the file has [air]."""
    from geomgen.air.pressure_map import pressure_map
    from geomgen.workflows.reporting.pressure_view import with_pressures

    found = pressure_map(state.measured) if p.air is not None else None
    return with_pressures(scene, found, state.model.families)


def envelope_of(p: Parameters, measured: "Sequence[Measurement]") -> DrawnEnvelope | None:
    """Return all loadings with their limits; None where the file does not say what things weigh."""
    from geomgen.balance.plain import plain
    from geomgen.balance.state import balance_state
    from geomgen.workflows.reporting.balance_page import envelope

    state = balance_state(p, measured)
    return None if state is None else drawn(envelope(p, plain(state)))


def _first_model(first: "FirstAnswers", say: "Progress") -> Iterator[Modelled]:
    """Yield the view by the meshes that the first answers come from, where there are any."""
    shape = first.shape
    if shape is None:
        return
    say("3D view of the first shape")
    told = [one.check for one in first.checks if one.final]
    # A mesh that went away meanwhile, or is not closed, is no reason to hold up the exact shape.
    with suppress(FileWriteError, GeometryError):
        bodies = bodies_of(shape.model, shape.hashes, shape.mesh, first=True)
        yield Modelled(model_text(PageScene(bodies, spans_of(told)), told), first=True)


def bodies_of(
    model: "Model", hashes: Mapping[str, str], mesh_of: Callable[[str], "Mesh"], first: bool = False
) -> tuple[ScenePart, ...]:
    """Return the parts for the view; a part whose mesh is the same as last time is taken over."""
    known = {key: part for kept in _last.values() for key, part in kept.items()}
    made = {}
    for name, digest in hashes.items():
        glass = (model.glass, model.glazed_skin) if model.families[name] == "pod" else None
        key = f"{name} {digest} {glass}"
        made[key] = known.get(key) or _body(model, name, mesh_of(name))
    _last[first] = made
    return tuple(made.values())


def _body(model: "Model", name: str, mesh: "Mesh") -> ScenePart:
    from geomgen.kernel.meshes.glass_edge import edges_drawn
    from geomgen.kernel.meshes.simpler import simpler
    from geomgen.workflows.reporting.scene import GIVE

    edges = edges_drawn(model, {name: mesh}).get(name, ())
    faded = name in model.see_through
    return ScenePart(name, *simpler(mesh, GIVE, name), model.colours[name], faded, tuple(edges))


def model_text(scene: PageScene, checks: Sequence[Check]) -> str:
    """Return the 3D view as JSON: traces, room, places of the checks, the parts."""
    from geomgen.workflows.reporting.scene import places_of

    parts = [{"name": body.name, "faded": body.faded} for body in scene.bodies]
    whole = {**viewed(scene, checks, places_of(scene, checks)), "parts": parts}
    return json.dumps(whole, allow_nan=False, separators=(",", ":"))


def _answers(p: Parameters, state: "Regenerated", say: "Progress") -> Iterator[tuple[str, Any]]:
    """Yield name and answer of what takes longer.

    Jobs that nobody wants any more are killed, so their files lie in a folder that is cleared here.
    """
    from geomgen.processes.wanted_jobs import answered

    with tempfile.TemporaryDirectory(prefix=PREFIX, ignore_cleanup_errors=True) as spare:
        yield from answered(_beside(p, state, Path(spare)), say)


def _beside(p: Parameters, state: "Regenerated", spare: Path) -> dict[str, Callable[[], Any]]:
    """Return what takes longer, the first wanted first; solids are read once."""
    from geomgen.workflows.reporting.scene import scene_of

    model: Model = state.model
    meshes = {name: (made.mesh, made.deviation) for name, made in state.meshes.items()}
    return {
        OPENINGS: partial(scene_of, model, {}, state.checks),
        **{
            name: partial(_drawings, name, spare / name, p, model, meshes, state.checks)
            for name in DRAWINGS
        },
    }


def _drawings(
    name: str, folder: Path, p: Parameters, model: "Model", meshes: Any, checks: tuple[Check, ...]
) -> tuple[CaptionedDrawing, ...]:
    """Return drawings; they are written, read back and proved in a folder of their own."""
    from geomgen.workflows.reporting.files import ReportFiles

    (folder / "drawings").mkdir(parents=True)
    work = ReportFiles(folder, p, model, meshes, checks, {})
    made = {
        "three-view": work.three_view,
        "engine bay": work.engine_bay,
        "sections": work.sections,
    }
    return tuple(
        CaptionedDrawing(
            f"{entry['title']}, scale {entry['scale']} on {entry['sheet']}",
            (folder / str(entry["file"])).read_text("utf-8"),
        )
        for entry in made[name]()
        if str(entry["file"]).endswith(".svg")
    )
