"""What the page's 3D view shows, from a set as read back: parts, gaps, openings, places."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from geomgen.kernel.meshes.glass_edge import edges_drawn
from geomgen.kernel.meshes.simpler import simpler
from geomgen.measurements.cooling_air.opening_faces import opening_faces
from geomgen.measurements.place import places_in
from geomgen.pages.measured_scene import CheckPlace, spans_of
from geomgen.pages.scene import FilledOpening, PageScene, ScenePart
from geomgen.verdicts.check import Check
from geomgen.verdicts.wording import figure

if TYPE_CHECKING:
    from geomgen.files.set_reading import Meshes
    from geomgen.kernel.model import Model
    from geomgen.kernel.plain import Vec3
    from geomgen.measurements.cooling_air.opening_faces import OpeningFace

# How far the view's triangles may be off the proven meshes [mm]: a hair on a screen.
GIVE = 0.5
# So much round a place is looked at, at least and where nothing says how much [mm].
NEAR, USUAL = 150.0, 400.0
# Families of what stands inside the skins.
INSIDE = ("frame", "stringer", "spar", "rib", "joint_plate", "joint_pin")


def scene_of(model: "Model", meshes: "Meshes", checks: Sequence[Check]) -> PageScene:
    """Return parts, measured distances and measured openings of a set."""
    edges = edges_drawn(model, {name: mesh for name, (mesh, _) in meshes.items()})
    bodies = tuple(
        ScenePart(
            *(name, *simpler(mesh, GIVE, name), model.colours[name], name in model.see_through),
            tuple(edges.get(name, ())),
            model.families.get(name) in INSIDE,
        )
        for name, (mesh, _) in meshes.items()
    )
    # Areas with a place of their own were not measured in a plane that the model knows.
    areas = {
        c.id: c.measured
        for c in checks
        if c.unit == "mm2" and c.measured is not None and not c.points
    }
    by_id = {check.id: check for check in checks}
    filled = tuple(
        _filled(face, by_id[face.id])
        for face in opening_faces(model, areas)
        if not _same_as_mouth(face.id, areas)
    )
    return PageScene(bodies, spans_of(checks), filled)


def _same_as_mouth(id_: str, areas: dict[str, float]) -> bool:
    """Say whether a throat is the mouth itself: one face would lie in the other."""
    head, _, name = id_.rpartition(".")
    mouth = areas.get(f"inlet.area.{name}")
    return head == "duct.throat_area" and mouth is not None and areas[id_] == mouth


def _filled(face: "OpeningFace", check: Check) -> FilledOpening:
    text = figure(face.area, check.unit)
    return FilledOpening(face.id, face.vertices, face.triangles, face.centroid, text)


def places_of(scene: PageScene, checks: Sequence[Check]) -> dict[str, CheckPlace]:
    """Return where each check is looked at; checks of no one place are left out."""
    middles = {opening.id: opening for opening in scene.openings}
    boxes = {body.name: (body.points.min(axis=0), body.points.max(axis=0)) for body in scene.bodies}
    found: dict[str, CheckPlace] = {}
    for check in checks:
        named = places_in(check.where)
        if check.points:
            ends = np.array(check.points)
            reach = float(np.linalg.norm(ends[0] - ends[-1]))
            found[check.id] = _place(ends.mean(axis=0), max(2 * reach, NEAR))
        elif check.id in middles:
            found[check.id] = _opening_place(middles[check.id])
        elif named:
            found[check.id] = _place(np.mean(named, axis=0), _round(named))
        elif check.part in boxes:
            low, high = boxes[check.part]
            found[check.id] = _place((low + high) / 2, float(np.linalg.norm(high - low)) / 2)
    return found


def _opening_place(opening: FilledOpening) -> CheckPlace:
    size = float(np.linalg.norm(opening.points.max(axis=0) - opening.points.min(axis=0)))
    return CheckPlace(opening.middle, max(size, NEAR))


def _round(places: "Sequence[Vec3]") -> float:
    spread = np.array(places)
    return max(USUAL, float(np.linalg.norm(spread.max(axis=0) - spread.min(axis=0))))


def _place(at: np.ndarray, reach: float) -> CheckPlace:
    x, y, z = (round(float(c), 3) for c in at)
    return CheckPlace((x, y, z), reach)
