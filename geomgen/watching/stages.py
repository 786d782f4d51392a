"""What the builder of the live page does with a state: answers first, then model, drawings."""

import json
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

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
    from geomgen.kernel.plain import Model
    from geomgen.measurements.record import Measurement
    from geomgen.regeneration.regenerating import Regenerated
    from geomgen.watching.builder import Progress

OPENINGS = "openings"
DRAWINGS = ("three-view", "engine bay", "sections")
# The bodies of the last state with the hashes of their meshes: most parts stay what they were.
_last: dict[str, tuple[str, ScenePart]] = {}


def stages(p: Parameters, out: Path, say: "Progress") -> Iterator[StateResult]:
    """Yield first answers, checks, view, drawings of a state; GeometryError if it can't be built.

    The view comes twice: at once, and again when the faces of the openings were found. What `say`
    raises ends the work on drawings and openings at once.
    """
    from geomgen.regeneration.first import first_answers, logged
    from geomgen.regeneration.regenerating import regenerate

    first = first_answers(p, store_in(out), say)
    told = notices_of(targets(p))
    if not first.why:
        notices = (*told, *first.notices)
        yield FirstJudged(first.checks, first.seconds, first.made, first.kept, notices)
    state = regenerate(p, store_in(out), say)
    notices = (*told, *state.notices, *logged(out, p, first.checks, state.checks))
    loadings = envelope_of(p, state.measured)
    yield Judged(state.checks, state.seconds, state.made, state.kept, notices, loadings)
    say("3D view")
    bodies = bodies_of(state)
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


def bodies_of(state: "Regenerated") -> tuple[ScenePart, ...]:
    """Return the parts for the view; a part whose mesh is the same as last time is taken over."""
    from geomgen.kernel.meshes.glass_edge import edges_drawn
    from geomgen.kernel.meshes.simpler import simpler
    from geomgen.workflows.reporting.scene import GIVE

    hashes = {name: mesh for name, (_, mesh) in state.fingerprints.items()}
    for name in [name for name in _last if name not in hashes]:
        del _last[name]
    for name, mesh in hashes.items():
        model = state.model
        glass = (model.glass, model.glazed_skin) if model.families[name] == "pod" else None
        made_of = f"{mesh} {glass}"
        if name not in _last or _last[name][0] != made_of:
            points, triangles = simpler(state.meshes[name].mesh, GIVE, name)
            colour, faded = model.colours[name], name in model.see_through
            edges = edges_drawn(model, {name: state.meshes[name].mesh}).get(name, ())
            part = ScenePart(name, points, triangles, colour, faded, tuple(edges))
            _last[name] = (made_of, part)
    return tuple(_last[name][1] for name in hashes)


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
