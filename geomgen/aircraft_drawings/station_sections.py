"""Sections of the machine at stations near the pod, seen from behind, several on a sheet."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from geomgen.aircraft_drawings.callouts import Callout, Column, in_column, longest, tall
from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.section_lines import Window, section_paths, words
from geomgen.drafting.lettering import width_of
from geomgen.drafting.paper.sheet import LETTERS, SCALES, Sheet, room
from geomgen.drafting.record import CENTRE, Dimension, Drawing, Label, Path, Point, joined, line
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import PlaneCut, clear_of_faces, plane_cut

NAME, STEP = "sections", "sections"
# What is not near the pod, or reaches far beyond it.
LEFT_OUT = ("wing", "boom", "tailplane", "fin", "wheel", "leg", "prop_disc")
HULL = ("pod", "exit", "canopy")
# What stands in wing and tail is shown as far as what is near the pod is broad.
INLAID = ("spar", "rib", "joint_plate", "joint_pin")
CAUTION = (
    "Frames, stringers, spars and ribs are geometry, not strength: have the structure designed and "
    "checked by someone qualified. Spars and ribs are drawn as far as the pod is broad."
)
# On paper [mm]: between sections and texts, under a section for its breadth and its title, letters
# of titles, how far axes stand over, largest width of a column of names.
GAP, FOOT, HEAD, TITLE, OVER = 4.0, 8.0, 9.0, 3.5, 3.0
# A sheet shows at least so many sections, if there are so many.
EACH = 3
# Cuts so near to each other's mirror image are one another's [mm].
ALIKE = 0.05
# A part on both sides is named to the right of this share of its reach.
RIGHT = 0.5
# A part is thin where its walls are less than this share of its breadth and height.
SLIM = 0.1
# Sections nearer to each other [mm] show the same.
NEAR = 20.0


@dataclass(frozen=True)
class _Cut:
    """One section: its station as asked for and as cut [mm], its outlines, box and texts."""

    station: float
    moved: float
    cut: PlaneCut
    low: Point
    high: Point
    said: tuple[Callout, ...]


def station_sections(model: Model, choices: Choices) -> tuple[Sheet, ...]:
    """Return sheets with sections at `choices.stations`, seen from behind: right stands right.

    Without stations some are taken from the model: the middle of the pod, firewall, mouths, the
    middle of the bay, exit. GeometryError where a station passes none of the parts near the pod,
    or where the sections fit no scale.
    """
    near = _near(model)
    stations = choices.stations or default_stations(model)
    cuts = [_cut(model, near, station) for station in stations]
    if not cuts:
        raise GeometryError("there is neither a pod nor a station to cut at", step=STEP)
    over, columns, rows = _grid(cuts, choices.sheet)
    each = columns * rows
    heaps = [cuts[i : i + each] for i in range(0, len(cuts), each)]
    return tuple(
        Sheet(_page(model, heap, over, columns, i, len(heaps)), choices.sheet, over)
        for i, heap in enumerate(heaps)
    )


def default_stations(model: Model) -> tuple[float, ...]:
    """Return the stations [mm] at which a model is cut when none are chosen, from nose to tail.

    >>> from geomgen.kernel.brep.primitives import box
    >>> pod = box((0, 0, 0), (3000, 600, 600))
    >>> default_stations(Model({"pod": pod}, {"pod": "pod"}))
    (1500.0,)
    """
    found: list[float] = []
    for name, family in model.families.items():
        if family == "pod" and name in model.parts:
            found.append(round(loose_box(model.parts[name]).centre[0], 1))
    exits = [where.seed[0] for where in model.exits[:1]]
    if model.firewall_plane is not None:
        firewall = model.firewall_plane.origin[0]
        found += [firewall] + [0.5 * (firewall + aft) for aft in exits]
    found += [passage.mouth.seed[0] for passage in model.passages] + exits
    kept: list[float] = []
    for station in sorted(found):
        if not kept or station - kept[-1] > NEAR:
            kept.append(station)
    return tuple(kept)


def _near(model: Model) -> dict[str, Any]:
    """Return the parts near the pod; of spars and ribs those that are no further out than it."""
    every = {n: s for n, s in model.parts.items() if model.families.get(n) not in LEFT_OUT}
    own = [s for n, s in every.items() if model.families.get(n) not in INLAID]
    if not own:
        return every
    boxes = [loose_box(solid) for solid in own]
    low, high = min(box.low[1] for box in boxes), max(box.high[1] for box in boxes)

    def beside(solid: Any) -> bool:
        box = loose_box(solid)
        return box.high[1] < low or box.low[1] > high

    return {n: s for n, s in every.items() if model.families.get(n) not in INLAID or not beside(s)}


def _cut(model: Model, solids: dict[str, Any], station: float) -> _Cut:
    moved, cut = _clear_cut(station, solids)
    own = [name for name in cut.parts if model.families.get(name) not in INLAID]
    if not own:
        raise GeometryError(
            f"no part near the pod stands at station {station:.1f} mm",
            step=STEP,
            look_at=["drawings.stations"],
        )
    x0, y0, x1, y1 = shapely.union_all([cut.shape(name) for name in own]).bounds
    shown = shapely.box(x0, y0, x1, y1)
    seen = {n: r for n, r in cut.parts.items() if n in own or cut.shape(n).intersects(shown)}
    cut = PlaneCut(cut.frame, seen)
    said = [found for name in cut.parts if (found := _name(cut, name, shown)) is not None]
    wall = _wall(model, cut)
    if wall is not None:
        said.append(wall)
    return _Cut(station, moved, cut, (x0, y0), (x1, y1), tuple(said))


def _clear_cut(station: float, solids: dict[str, Any]) -> tuple[float, PlaneCut]:
    """Return how far aft of a station [mm] the cut is clear of faces, and the cut.

    Aft of the end of a part there may be a gap: of both sides that one with more parts, or aft.
    """
    frame, moved = clear_of_faces(at_station(station), solids)
    aft = plane_cut(frame, solids)
    if not moved:
        return moved, aft
    frame, back = clear_of_faces(at_station(station), solids, -1)
    forward = plane_cut(frame, solids)
    return (back, forward) if len(forward.parts) > len(aft.parts) else (moved, aft)


def _name(cut: PlaneCut, name: str, shown: shapely.Polygon) -> Callout | None:
    """Return a part's name at a place of its cut that is shown, to the right where it can be.

    None for the left one of two parts that are each other's mirror image: the right one says it.
    """
    if "_left" in name and _mirrored(cut, name.replace("_left", "_right"), name):
        return None
    lines: tuple[str, ...] = (words(name),)
    if "_right" in name and _mirrored(cut, name, name.replace("_right", "_left")):
        lines = (words(name), "(left: mirror image)")
    return Callout(lines, _place(cut, name, shown))


def _place(cut: PlaneCut, name: str, shown: shapely.Polygon) -> Point:
    """Return where a leader points to a part: into it, at the upper right edge of a thin one."""
    region = max(cut.parts[name], key=lambda region: region.area)
    shape = region.polygon()
    if not shown.buffer(ALIKE).covers(shape):
        spot = shapely.point_on_surface(cut.shape(name).intersection(shown))
        return (float(spot.x), float(spot.y))
    x0, low, x1, high = shape.bounds
    if 2 * shape.area / shape.length < SLIM * min(x1 - x0, high - low):
        middle, half = (0.5 * (x0 + x1), 0.5 * (low + high)), (x1 - x0, high - low)
        reach = ((region.outer.points - middle) / half).sum(axis=1)
        x, y = region.outer.points[int(np.argmax(reach))]
        return (float(x), float(y))
    half_of_it = shapely.intersection(shape, shapely.box(RIGHT * x1, low, x1, high))
    spot = shapely.point_on_surface(shape if x0 >= 0 or half_of_it.is_empty else half_of_it)
    return (float(spot.x), float(spot.y))


def _mirrored(cut: PlaneCut, right: str, left: str) -> bool:
    """Tell whether the cuts of two parts are each other's mirror image at BL 0."""
    if right not in cut.parts or left not in cut.parts:
        return False
    turned = shapely.transform(cut.shape(left), lambda at: at * np.array([-1.0, 1.0]))
    apart = shapely.hausdorff_distance(cut.shape(right).boundary, turned.boundary)
    return bool(apart < ALIKE)


def wall_at(cut: PlaneCut, name: str) -> tuple[Point, float] | None:
    """Return the outermost place of a part's right side and its wall there [mm].

    The wall is the way from there to the nearest inner outline; None where there is none.
    """
    regions = [region for region in cut.parts.get(name, ()) if region.holes]
    if not regions:
        return None
    region = max(regions, key=lambda r: abs(r.outer.area))
    at = region.outer.points[int(np.argmax(region.outer.points[:, 0]))]
    inner = [shapely.LinearRing(hole.points) for hole in region.holes]
    away = float(min(shapely.distance(ring, shapely.Point(at)) for ring in inner))
    return (float(at[0]), float(at[1])), away


def _wall(model: Model, cut: PlaneCut) -> Callout | None:
    for name in cut.parts:
        found = wall_at(cut, name) if model.families.get(name) in HULL else None
        if found is not None:
            return Callout((f"wall {found[1]:.2f} mm",), found[0])
    return None


def _grid(cuts: Sequence[_Cut], size: str) -> tuple[int, int, int]:
    """Return the scale and how many sections stand beside and over each other."""
    wide, high = room(size)
    wanted = min(EACH, len(cuts))
    best = None
    for over in SCALES:
        cell = _cell(cuts, over)
        columns = math.floor(wide * over / cell[0])
        rows = math.floor(high * over / cell[1])
        if columns * rows >= 1:
            best = best or (over, columns, rows)
        if columns * rows >= wanted:
            return over, columns, rows
    if best is None:
        raise GeometryError(f"the sections fit no scale on a sheet of {size}", step=STEP)
    return best


def _cell(cuts: Sequence[_Cut], over: int) -> Point:
    """Return width and height [mm] that the largest section takes with its texts."""
    letters = LETTERS * over
    wide = max(
        max(
            cut.high[0] - cut.low[0] + longest(cut.said, letters),
            _beside_height(0.0, over) + _title_width(cut, over),
        )
        for cut in cuts
    )
    texts = max(tall(cut.said, longest(cut.said, letters), letters) for cut in cuts)
    high = max(max(cut.high[1] - cut.low[1] for cut in cuts), texts)
    return wide + (FOOT + 3 * GAP) * over, high + (FOOT + HEAD + GAP) * over


def _page(
    model: Model, cuts: Sequence[_Cut], over: int, columns: int, number: int, many: int
) -> Drawing:
    wide, high = _cell(cuts, over)
    placed = []
    for i, cut in enumerate(cuts):
        drawing = _drawn(model, cut, over)
        row, column = divmod(i, columns)
        middle = 0.5 * (cut.low[0] + cut.high[0]), 0.5 * (cut.low[1] + cut.high[1])
        shift = 0.5 * (FOOT * over - longest(cut.said, LETTERS * over))
        placed.append(drawing.moved(column * wide - middle[0] + shift, -row * high - middle[1]))
    name = NAME if many == 1 else f"{NAME} {number + 1}"
    return joined(name, placed, _notes(model, cuts))


def _drawn(model: Model, cut: _Cut, over: int) -> Drawing:
    letters = LETTERS * over
    (x0, y0), (x1, y1) = cut.low, cut.high
    width = longest(cut.said, letters) + letters
    sizes = _sizes(model, cut, over)
    column = in_column(cut.said, Column(x1 + GAP * over, width, y0, y1, False), letters, sizes)
    # A long title stands beside the words of the height, which may reach up to it.
    middle = max(0.5 * (x0 + x1), _beside_height(x0, over) + 0.5 * _title_width(cut, over))
    title = Label((middle, y1 + (HEAD - TITLE) * over), _title(cut), TITLE * over, anchor="middle")
    lines = Drawing(
        NAME,
        (
            *section_paths(cut.cut, over, Window(cut.low, cut.high).grown(ALIKE)),
            *_axes(model, cut, over),
        ),
        (title,),
        (),
        sizes,
    )
    return joined(NAME, [lines, column])


def _title(cut: _Cut) -> str:
    return f"SECTION AT STA {cut.station:.1f}"


def _title_width(cut: _Cut, over: int) -> float:
    return width_of(_title(cut), TITLE * over)


def _beside_height(edge: float, over: int) -> float:
    """Return where what stands beside the words of a section's height begins [mm]."""
    return edge - FOOT * over + LETTERS * over


def _axes(model: Model, cut: _Cut, over: int) -> list[Path]:
    (x0, y0), (x1, y1) = cut.low, cut.high
    off = OVER * over
    found = [line((0.0, y0 - off), (0.0, y1 + off), CENTRE, "BL 0")]
    if model.thrust_line is not None and y0 < model.thrust_line.origin[2] < y1:
        height = model.thrust_line.origin[2]
        found.append(line((x0 - off, height), (x1 + off, height), CENTRE, f"WL {height:.1f}"))
    return found


def _sizes(model: Model, cut: _Cut, over: int) -> tuple[Dimension, ...]:
    """Return breadth and height of the hull's section."""
    hull = [n for n in cut.cut.parts if model.families.get(n) in HULL]
    shape = shapely.union_all([cut.cut.shape(name) for name in hull])
    if shape.is_empty:
        return ()
    points = shapely.get_coordinates(shape)
    ends = [points[int(pick(points[:, k]))] for k in (0, 1) for pick in (np.argmin, np.argmax)]
    left, right, low, high = ((float(x), float(y)) for x, y in ends)
    letters = LETTERS * over
    under, beside = cut.low[1] - FOOT * over, cut.low[0] - FOOT * over
    return (
        Dimension(left, right, (0.5 * (left[0] + right[0]), under), 0.0, letters, name="breadth"),
        Dimension(low, high, (beside, 0.5 * (low[1] + high[1])), 90.0, letters, name="height"),
    )


def _notes(model: Model, cuts: Sequence[_Cut]) -> tuple[str, ...]:
    away = sorted({f for f in model.families.values() if f in LEFT_OUT})
    notes = ["Seen from behind: the right-hand side stands at the right."]
    if model.thrust_line is not None:
        notes[0] += f" Axes: BL 0, WL {model.thrust_line.origin[2]:.1f} (thrust line)."
    if away:
        notes.append(f"Left out: {', '.join(words(family) for family in away)}.")
    if any(model.families.get(name) in (*INLAID, "frame", "stringer") for name in model.parts):
        notes.append(CAUTION)
    for cut in cuts:
        if cut.moved:
            way = "aft" if cut.moved > 0 else "forward"
            notes.append(
                f"STA {cut.station:.1f}: cut {abs(cut.moved):.1f} mm {way}, clear of a face there."
            )
    return tuple(notes)
