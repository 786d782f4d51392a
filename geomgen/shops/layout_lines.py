"""Lines to build to: where other parts of the machine cross the plane of a template, or lie in it.

They come from the solids themselves, so that a line on foam and the part that goes there are one.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape
from shapely.geometry.polygon import orient

from geomgen.arrays import Floats
from geomgen.drafting.record import REF, Label, Path
from geomgen.drafting.text_room import Room
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_station
from geomgen.kernel.sections.section import clear_of_faces, plane_cut
from geomgen.kernel.solids.properties import kernel_box
from geomgen.shops.figures import plain
from geomgen.shops.flat_areas import shared, united

RIB = "rib"
# Families of parts that others are built to; what only moves or is bolted on later is left out.
BUILT_TO = (
    *("firewall", "frame", "stringer", "spar", RIB, "web", "canopy"),
    *("wing", "pylon", "boom", "tailplane", "fin", "leg"),
)
# Lines keep to the section within this [mm].
FINE = 0.05
# A part that is no longer than this along a body is one that stands across it [mm].
SHEET = 80.0
# Less of a part than this in a plane is no line worth drawing [mm2].
LEAST = 1.0
HEIGHT = 3.0


@dataclass(frozen=True)
class InsidePart:
    """A part that lines are drawn for: its name, solid, the box it lies in [mm], its family.

    `at_joint` says of a rib that it stands beside a joint where the outer wing comes off.
    """

    name: str
    solid: TopoDS_Shape
    box: Box
    family: str
    at_joint: bool = False

    @property
    def low(self) -> float:
        """Return the station [mm] where it begins."""
        return self.box.low[0]

    @property
    def high(self) -> float:
        """Return the station [mm] where it ends."""
        return self.box.high[0]


def inside_parts(
    model: Model, leave_out: Sequence[str] = (), families: Sequence[str] = BUILT_TO
) -> list[InsidePart]:
    """Return the parts that lines are drawn for, but for some families."""
    found = []
    for name, solid in model.parts.items():
        family = model.families.get(name, name)
        if family in families and family not in leave_out:
            box = kernel_box(solid)
            beside = family == RIB and _beside_joint(model, box)
            found.append(InsidePart(name, solid, box, family, beside))
    return found


def _beside_joint(model: Model, box: Box) -> bool:
    """Say whether a rib's face stands where a joint of the wing has one of the two beside it."""
    return any(
        min(abs(side * y - joint.gap / 2) for side in (-1, 1)) <= FINE
        for joint in model.pin_joints
        if joint.host == "wing"
        for y in (box.low[1] - joint.parting.origin[1], box.high[1] - joint.parting.origin[1])
    )


@dataclass(frozen=True)
class Laid:
    """What of a template's plane other parts take up, by name [mm]; `undrawn` could not be cut.

    `filling` are sheets that lie in the plane: they have no lines.
    """

    areas: dict[str, shapely.Geometry]
    undrawn: tuple[str, ...] = ()
    filling: tuple[str, ...] = ()

    @property
    def lines(self) -> tuple[Path, ...]:
        """Return the outlines of what parts take up, each with its part's name."""
        return self.on(REF)

    def on(self, layer: str) -> tuple[Path, ...]:
        """Return the outlines on a layer."""
        return tuple(
            Path(_corners(ring), (), True, layer, name)
            for name, area in self.areas.items()
            for piece in shapely.get_parts(area)
            if piece.geom_type == "Polygon" and piece.area > LEAST
            for ring in (orient(piece).exterior, *orient(piece).interiors)
        )

    @property
    def words(self) -> tuple[str, ...]:
        """Return which parts have lines, and of which none can be drawn."""
        drawn = [f"LINES: {', '.join(self.areas)}"] if self.areas else []
        drawn += [f"STANDS IN THIS PLANE: {', '.join(self.filling)}"] if self.filling else []
        return (*drawn, *(f"NO LINE FOUND: {name}" for name in self.undrawn))


NOTHING = Laid({})


def laid(parts: Sequence[InsidePart], station: float, body: shapely.Geometry) -> Laid:
    """Return what parts take up at a station, as far as it lies in a body's section [mm]."""
    return _cut(parts, at_station(station), body)


def laid_along(parts: Sequence[InsidePart], buttock_line: float, body: shapely.Geometry) -> Laid:
    """Return what parts take up of a body at a buttock line, by station and waterline [mm].

    A rib stands along that plane: where it lies in it, it would fill the template with lines.
    """
    found = _cut(
        [part for part in parts if part.family != RIB], at_buttock_line(buttock_line), body
    )
    ribs = [part for part in parts if part.family == RIB]
    filling = [rib.name for rib in ribs if rib.box.low[1] <= buttock_line <= rib.box.high[1]]
    return replace(found, filling=tuple(filling))


def _cut(parts: Sequence[InsidePart], frame: Frame, body: shapely.Geometry) -> Laid:
    areas, undrawn = {}, []
    for part in (each for each in parts if _may_meet(each.box, frame, body)):
        try:
            clear, _ = clear_of_faces(frame, {part.name: part.solid})
            cut = plane_cut(clear, {part.name: part.solid}, FINE).shape(part.name)
        except GeometryError:
            undrawn.append(part.name)
            continue
        area = shared([body, united([cut])])
        if area.area > LEAST:
            areas[part.name] = area
    return Laid(areas, tuple(undrawn))


def _may_meet(box: Box, frame: Frame, body: shapely.Geometry) -> bool:
    """Say whether a box reaches over a plane along the axes, and there into a body's section."""
    corners = np.array([box.low, box.high])
    low, high = np.sort(frame.height(corners))
    (x0, y0), (x1, y1) = np.sort(frame.flat(corners), axis=0)
    return bool(low <= 0.0 <= high and body.intersects(shapely.box(x0, y0, x1, y1)))


def _corners(ring: shapely.LinearRing) -> tuple[tuple[float, float], ...]:
    kept = ring.simplify(FINE / 2)
    return tuple((float(x), float(y)) for x, y in kept.coords[:-1])


def names_of(lines: Sequence[Path], room: Room, height: float = HEIGHT) -> list[Label]:
    """Return each part's name, of a height [mm], near its lines; what finds no room has none."""
    before = len(room.labels)
    for name in dict.fromkeys(path.name for path in lines):
        drawn = next(path for path in lines if path.name == name)
        if not room.free.is_empty:
            room.write((name,), height, drawn.points[0])
    return room.labels[before:]


def lying_between(parts: Sequence[InsidePart], front: float, aft: float) -> tuple[str, ...]:
    """Return in words which sheets stand upright between two stations, and how far in [mm]."""
    return tuple(
        f"{part.name} stands {plain(round(part.low - front, 1))} to "
        f"{plain(round(part.high - front, 1))} mm behind the front face"
        for part in parts
        if part.high - part.low < SHEET and front <= part.low and part.high <= aft
    )


def region(outline: Floats, half: bool) -> shapely.Geometry:
    """Return the area of an outline (n, 2) [mm] as a template shows it: all, or its right half."""
    area = shapely.Polygon(outline) if len(outline) else shapely.Polygon()
    if not half or area.is_empty:
        return area
    _, low, right, high = area.bounds
    return shared([area, shapely.box(0.0, low, max(right, 1.0), high)])
