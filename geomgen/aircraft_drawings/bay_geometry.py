"""What the drawing of the engine bay is made from: two cuts, the openings, where it breaks off."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape

from geomgen.aircraft_drawings.section_lines import Window
from geomgen.drafting.record import Point
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.openings.border import OpeningCut, opening_cut
from geomgen.kernel.plain import Opening, Passage, Vec3
from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_waterline
from geomgen.kernel.sections.section import PlaneCut, clear_of_faces, plane_cut

# Families that are not of the bay, though they may stand beside it.
ELSEWHERE = ("boom", "tailplane", "fin", "wheel", "leg")
# The hull that shows how far the second section reaches across.
HULL = ("pod", "exit", "scoop", "engine", "firewall")
# How far the drawing reaches ahead of firewall and mouths, behind the propeller, across [mm].
AHEAD, BEHIND, ASIDE = 150.0, 40.0, 25.0
# Points so near are the same [mm].
COINCIDENT = 1e-6
STEP = "engine bay"


@dataclass(frozen=True)
class BaySection:
    """One section: its plane, its cut, where it breaks off, the openings that it passes."""

    frame: Frame
    moved: float
    cut: PlaneCut
    limits: Window
    openings: tuple[OpeningCut, ...]
    passages: tuple[Passage, ...]

    def shape(self, names: Iterable[str]) -> shapely.Geometry:
        """Return the cut of some parts, as far as it is drawn."""
        whole = shapely.union_all([self.cut.shape(name) for name in names])
        return shapely.intersection(whole, self.limits.box())

    def flat(self, point: Vec3) -> Point:
        """Return a point in the section's coordinates [mm]."""
        x, y = self.frame.flat(point)[0]
        return (float(x), float(y))


@dataclass(frozen=True)
class Bay:
    """The bay of a model: an upright section along it, and a level one where mouths want it."""

    model: Model
    upright: BaySection
    level: BaySection | None
    openings: dict[str, OpeningCut]

    def names(self, *families: str) -> list[str]:
        """Return the names of the parts of some families."""
        return [name for name, family in self.model.families.items() if family in families]


def bay_of(model: Model) -> Bay:
    """Return the sections of a model's engine bay; GeometryError when it has none."""
    solids = {n: s for n, s in model.parts.items() if model.families.get(n) not in ELSEWHERE}
    low, high = _reach(model)
    near = {
        n: s for n, s in solids.items() if loose_box(s).low[0] < high and loose_box(s).high[0] > low
    }
    standing = {n: s for n, s in near.items() if n != model.swept}
    openings = {o.name: opening_cut(o, standing) for o in _looked_at(model)}
    frame, moved = clear_of_faces(at_buttock_line(_buttock_line(model)), near)
    inside = [p for p in model.passages if _passes(frame, openings[p.mouth.name])]
    upright = _section(frame, moved, near, (low, high), openings, inside, model)
    others = [p for p in model.passages if p not in inside]
    if not others:
        return Bay(model, upright, None, openings)
    height = sum(_middle(openings[p.mouth.name])[2] for p in others) / len(others)
    frame, moved = clear_of_faces(at_waterline(height), near)
    return Bay(
        model, upright, _section(frame, moved, near, (low, high), openings, others, model), openings
    )


def throat_line(section: BaySection, passage: Passage) -> tuple[Point, Point] | None:
    """Return how far the throat next to the bay is open in a section; None where it is not."""
    if not passage.throats:
        return None
    throat = passage.throats[-1]
    seed = section.flat(throat.seed)
    way = np.cross(throat.plane.normal, section.frame.normal)
    run = section.frame.flat(np.array(section.frame.origin) + way)[0]
    run = throat.reach * run / np.linalg.norm(run)
    a, b = ((seed[0] + k * float(run[0]), seed[1] + k * float(run[1])) for k in (-1.0, 1.0))
    solid = shapely.union_all([section.cut.shape(name) for name in section.cut.parts])
    air = shapely.difference(shapely.LineString([a, b]), solid)
    for piece in getattr(air, "geoms", [air]):
        if piece.is_empty or shapely.distance(piece, shapely.Point(seed)) > COINCIDENT:
            continue
        ends = [(float(x), float(y)) for x, y in piece.coords]
        if all(math.dist(end, other) > COINCIDENT for end in ends for other in (a, b)):
            return ends[0], ends[-1]
    return None


def _looked_at(model: Model) -> list[Opening]:
    return [passage.mouth for passage in model.passages] + model.exits[:1]


def _buttock_line(model: Model) -> float:
    if model.thrust_line is not None:
        return model.thrust_line.origin[1]
    return loose_box(model.parts["engine"]).centre[1] if "engine" in model.parts else 0.0


def _reach(model: Model) -> tuple[float, float]:
    """Return the first and last station of the drawing [mm]."""
    fore = [loose_box(model.parts[n]) for n in _of(model, "firewall", "engine")]
    aft = [loose_box(model.parts[n]) for n in _of(model, "engine", "exit", "prop_disc", "spinner")]
    if not fore or not aft:
        raise GeometryError("the model has neither firewall nor engine", step=STEP)
    mouths = [passage.mouth.seed[0] for passage in model.passages]
    first = min([box.low[0] for box in fore] + mouths)
    return first - AHEAD, max(box.high[0] for box in aft) + BEHIND


def _of(model: Model, *families: str) -> list[str]:
    return [name for name, family in model.families.items() if family in families]


def _section(
    frame: Frame,
    moved: float,
    solids: dict[str, TopoDS_Shape],
    reach: tuple[float, float],
    openings: dict[str, OpeningCut],
    passages: list[Passage],
    model: Model,
) -> BaySection:
    cut = plane_cut(frame, solids)
    shown = [n for n in cut.parts if frame.up[2] or model.families.get(n) in HULL]
    low, high = _heights(cut, shown, reach)
    own = [passage.mouth for passage in passages] + model.exits[:1]
    limits = Window((reach[0], low - ASIDE), (reach[1], high + ASIDE))
    return BaySection(
        frame, moved, cut, limits, tuple(openings[o.name] for o in own), tuple(passages)
    )


def _heights(cut: PlaneCut, names: list[str], reach: tuple[float, float]) -> tuple[float, float]:
    """Return the lowest and highest ordinate of some parts between two stations [mm]."""
    band = shapely.box(reach[0], -1e5, reach[1], 1e5)
    every = shapely.union_all([shapely.intersection(cut.shape(name), band) for name in names])
    if every.is_empty:
        raise GeometryError("its plane passes none of the parts", step=STEP)
    _, low, _, high = every.bounds
    return float(low), float(high)


def _middle(found: OpeningCut) -> tuple[float, float, float]:
    if not found.rings:
        return found.where.seed
    x, y, z = 0.5 * (found.rings[0].min(axis=0) + found.rings[0].max(axis=0))
    return (float(x), float(y), float(z))


def _passes(frame: Frame, found: OpeningCut) -> bool:
    """Tell whether a plane passes an opening; of a shut one, whether its seed lies near."""
    if found.rings:
        return bool(found.lines(frame))
    return abs(float(frame.height(found.where.seed)[0])) < found.where.reach / 4
