"""Parts that pass through the pod, which is trimmed to them: where, and what they cut out of it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from OCP.TopoDS import TopoDS_Shape
from shapely.geometry.polygon import orient

from geomgen.drafting.record import CUT, Path
from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.sections.section import clear_of_faces, plane_cut
from geomgen.kernel.solids.properties import kernel_box
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shops.figures import sta
from geomgen.shops.flat_areas import shared, united

# Outlines of cut-outs keep to the section within this [mm].
FINE = 0.02


@dataclass(frozen=True)
class Passing:
    """A family of parts that goes through the pod: its solids by name, the gap left round it [mm].

    `low` and `high` are the stations [mm] between which it lies, its gap included.
    """

    family: str
    gap: float
    solids: dict[str, TopoDS_Shape]
    low: float
    high: float

    def meets(self, front: float, aft: float) -> bool:
        """Say whether it reaches into a range of stations [mm]."""
        return self.low < aft and self.high > front

    def section(self, station: float) -> shapely.Geometry:
        """Return what it takes out of a plane across the body, (y, z) [mm]."""
        if not self.meets(station, station):
            return shapely.Polygon()
        frame, _ = clear_of_faces(at_station(station), self.solids)
        cut = plane_cut(frame, self.solids, FINE)
        return united([cut.shape(name) for name in self.solids]).buffer(self.gap)


def passing_parts(p: Parameters, model: Model) -> list[Passing]:
    """Return the families that the pod is trimmed to, as far as the model has parts of them."""
    found = []
    for joint in p.joints:
        if joint.trim != "pod":
            continue
        solids = {n: s for n, s in model.parts.items() if model.families.get(n, n) == joint.to}
        if solids:
            boxes = [kernel_box(solid) for solid in solids.values()]
            low = min(box.low[0] for box in boxes) - joint.gap
            high = max(box.high[0] for box in boxes) + joint.gap
            found.append(Passing(joint.to, joint.gap, solids, low, high))
    return found


@dataclass(frozen=True)
class CutOut:
    """What passing parts take out of a body in one plane: the area [mm2 by (y, z)], their names."""

    area: shapely.Geometry
    names: tuple[str, ...] = ()

    def paths(self, half: bool) -> tuple[Path, ...]:
        """Return the outlines to cut out, of the right half or of all."""
        area = self.area
        if half and not area.is_empty:
            y1 = max(area.bounds[2], 1.0)
            area = shared([area, shapely.box(0.0, area.bounds[1], y1, area.bounds[3])])
        name = f"cut-out for the {' and the '.join(self.names)}"
        return tuple(
            Path(tuple((float(y), float(z)) for y, z in ring.coords[:-1]), (), True, CUT, name)
            for part in shapely.get_parts(area)
            if part.geom_type == "Polygon" and part.area > 1.0
            for ring in (orient(part).exterior, *orient(part).interiors)
        )


NONE = CutOut(shapely.Polygon())


def cut_out(parts: Sequence[Passing], outline: np.ndarray, station: float) -> CutOut:
    """Return what passes through an outline (n, 2) [mm] at a station."""
    if not len(outline):
        return NONE
    body = shapely.Polygon(outline)
    found = []
    for part in parts:
        taken = part.section(station)
        area = shared([body, taken]) if not taken.is_empty else taken
        if area.area > 1.0:
            found.append((part.family, area.simplify(FINE / 2)))
    if not found:
        return NONE
    return CutOut(united([area for _, area in found]), tuple(name for name, _ in found))


def passing_words(parts: Sequence[Passing], front: float, aft: float) -> str:
    """Return which parts pass between two stations [mm], and where; empty when none does."""
    return "; ".join(
        f"the {part.family} passes through it at STA {sta(max(front, part.low))} to "
        f"{sta(min(aft, part.high))}"
        for part in parts
        if part.meets(front, aft)
    )
