"""The machine seen from its sides, hidden lines removed, and how its views stand to each other.

ISO 5456-2: the view from the nose is the principal one. First angle: the view from above stands
under it, the view from the machine's left (the right of who looks at the nose) to the left of it.
Third angle: the view from above stands over it, the view from the left to the right of it. In both
the view from above has its nose down, the view from the left its nose to the left.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
import shapely

from geomgen.aircraft_drawings.choices import Projection
from geomgen.aircraft_drawings.measures import Measures
from geomgen.arrays import Floats
from geomgen.drafting.arcs import fitted
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.record import CENTRE, HIDDEN, VISIBLE, Drawing, Path, line
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.meshes.glass_edge import edges_drawn
from geomgen.kernel.model import Model
from geomgen.kernel.visibility.hidden_lines import Scene, lines_seen
from geomgen.kernel.visibility.look import FROM_LEFT, FROM_NOSE, NOSE_DOWN, Look
from geomgen.processes.worker_pool import answers

LOOKS: dict[str, Look] = {"front": FROM_NOSE, "side": FROM_LEFT, "plan": NOSE_DOWN}
NAMES = {
    "side": "VIEW FROM THE LEFT",
    "plan": "VIEW FROM ABOVE",
    "front": "VIEW FROM THE NOSE",
}
# What stands inside others: lines of spars and ribs are drawn hidden, wherever they are.
INLAID = ("spar", "rib", "joint_plate", "joint_pin")
INSIDE = ("frame", *INLAID)
# Seen from its edge what is thinner than this [mm] is one line on paper: own choice.
ONE_LINE = 15.0
CAUTION = (
    "frames, spars and ribs (dashed) are geometry, not strength: have the structure designed and "
    "checked by someone qualified"
)
# Mesh tolerance of lines, and what lines and arcs through them may add [mm].
TOLERANCE, FIT = 0.1, 0.1
# Triangles of less area [mm2] are seen from their edge; corners are set on a grid [mm].
FLAT, GRID = 1e-6, 1e-3


@dataclass(frozen=True)
class Views:
    """A model with the lines of its views [mm], found when they are first asked for."""

    measures: Measures
    with_hidden: bool = False
    _found: dict[Look, tuple[Path, ...]] = field(default_factory=dict)

    def lines(self, looks: Mapping[str, Look]) -> dict[str, tuple[Path, ...]]:
        """Return the lines of each view as lines and arcs; GeometryError for a part without any."""
        scene, swept = self.measures.scene, self.measures.model.swept
        new = {name: look for name, look in looks.items() if look not in self._found}
        if new:
            # Before the processes part, or each would make its own.
            for part in self.measures.model.parts:
                scene.mesh(part)
                scene.seams(part)
            families = self.measures.model.families
            outer = {n: s for n, s in scene.parts.items() if families.get(n) not in INLAID}
            ask = partial(_paths, replace(scene, parts=outer), swept, self.with_hidden, new)
            for name, paths in answers(ask, list(new)):
                self._found[new[name]] = paths
        return {name: self._found[look] for name, look in looks.items()}


def views_of(
    model: Model,
    meshes: Mapping[str, Mesh] | None = None,
    boxes: Mapping[str, Box] | None = None,
    with_hidden: bool = False,
) -> Views:
    """Return the views of a model [mm].

    `meshes` of the solids and their exact `boxes`, where there are some already, save making them.
    """
    scene = Scene(model.parts, (model.swept,), meshes or {}, boxes or {})
    if model.glass is not None:
        pods = [name for name in model.parts if model.families.get(name) == "pod"]
        edges = edges_drawn(model, {name: scene.mesh(name) for name in pods})
        scene = replace(scene, drawn_on=edges)
    return Views(Measures(model, scene), with_hidden)


def _paths(
    scene: Scene, swept: str, with_hidden: bool, looks: Mapping[str, Look], name: str
) -> tuple[Path, ...]:
    found = []
    for run in lines_seen(scene, looks[name], TOLERANCE, with_hidden):
        layer = CENTRE if run.part == swept else VISIBLE if run.seen else HIDDEN
        closed = len(run.points) > 3 and bool(np.allclose(run.points[0], run.points[-1]))
        found.append(fitted(run.points, FIT, closed, (), layer, run.part))
    return tuple(found)


def inner_lines(model: Model, scene: Scene, look: Look) -> tuple[Path, ...]:
    """Return hidden lines [mm of the view] of frames, spars and ribs, from their proven meshes.

    Of a spar its outline as a whole, of a sheet that is seen from its edge its middle line; a rib
    that is seen from its face is left out, as all of them would lie over each other.
    """
    groups: dict[str, list[str]] = {}
    for name in model.parts:
        if model.families.get(name) in INSIDE:
            inlay = model.inlay(name)
            spar = inlay is not None and model.families[name] == "spar"
            side = name.rpartition("_")[2] if name.endswith(("_left", "_right")) else ""
            groups.setdefault(f"{inlay.name} {side}" if spar and inlay else name, []).append(name)
    found: list[Path] = []
    for names in groups.values():
        flat = _flat_triangles(scene, names, look)
        hull = shapely.MultiPoint(flat.reshape(-1, 2)).convex_hull.buffer(GRID)
        family, one = model.families[names[0]], _middle_line(hull)
        if one is not None:
            found.append(line(*one, HIDDEN, names[0]))
        elif family == "frame":
            found.append(_outline(hull, names[0]))
        elif family == "spar":
            found += [_outline(shape, names[0]) for shape in _covered(flat)]
    return tuple(found)


def _flat_triangles(scene: Scene, names: Sequence[str], look: Look) -> Floats:
    """Return the triangles (m, 3, 2) [mm of the view] of parts that look at the viewer."""
    corners = np.concatenate([scene.mesh(name).corners for name in names])
    flat = look.seen(corners.reshape(-1, 3))[:, :2].reshape(-1, 3, 2)
    ahead, beside = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    turned = ahead[:, 0] * beside[:, 1] - ahead[:, 1] * beside[:, 0]
    return np.asarray(flat[turned > FLAT])


def _middle_line(hull: shapely.Geometry) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return the middle line [mm] of what is as thin as one line on paper; None of what is not."""
    box = shapely.minimum_rotated_rectangle(hull)
    if box.geom_type != "Polygon":
        return None
    corners = np.array(box.exterior.coords)[:4]
    sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    if min(sides[:2]) > ONE_LINE:
        return None
    a, b, c, d = np.roll(corners, -int(np.argmax(sides[:2])), axis=0)
    return _at((a + d) / 2), _at((b + c) / 2)


def _outline(shape: shapely.Polygon, name: str) -> Path:
    ring = np.array(shape.exterior.simplify(FIT).coords)
    return fitted(ring[:-1], FIT, True, (), HIDDEN, name)


def _covered(flat: Floats) -> list[shapely.Polygon]:
    """Return what triangles (m, 3, 2) [mm] cover together, piece by piece, without its holes."""
    shape = shapely.union_all(shapely.polygons(flat), grid_size=GRID)
    pieces = shapely.get_parts(shape.buffer(GRID, join_style=2))
    return [shapely.Polygon(one.exterior) for one in pieces]


def _at(point: Floats) -> tuple[float, float]:
    return (float(point[0]), float(point[1]))


def have_room(bare: Mapping[str, tuple[Path, ...]], wide: float, high: float) -> bool:
    """Say whether the bare lines of the views may fit so wide and high a room [mm]."""
    boxes = {name: Drawing("", paths).box() for name, paths in bare.items()}
    spans = {name: (b[0] - a[0], b[1] - a[1]) for name, (a, b) in boxes.items()}
    across, up = spans["side"][0] + spans["front"][0], spans["front"][1] + spans["plan"][1]
    return across <= wide and up <= high


def arranged(views: Mapping[str, Drawing], gap: float, projection: Projection) -> list[Drawing]:
    """Return "front", "plan" and "side" where they stand to each other, `gap` [mm] apart."""
    boxes = {name: extent(drawn_out(view)) for name, view in views.items()}
    (left, low), (right, high) = boxes["front"]
    plan, side = boxes["plan"], boxes["side"]
    if projection == "first angle":
        up, across = low - gap - plan[1][1], left - gap - side[1][0]
    else:
        up, across = high + gap - plan[0][1], right + gap - side[0][0]
    return [views["front"], views["plan"].moved(0.0, up), views["side"].moved(across, 0.0)]
