"""How the pins of a joint stand in the holes of its plates and webs, by sections of the solids."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
import shapely

from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import FlatSheet, Vec3
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import regions

# Sections keep so near the solids' edges [mm].
CHORD = 0.002


@dataclass(frozen=True)
class PinInHole:
    """A pin in the hole of a sheet: how far their middles are apart, the room round it [mm].

    Less than no room where the pin runs into the sheet.
    """

    pin: str
    sheet: str
    off: float
    room: float
    diameter: float
    at: Vec3


def pins_in_holes(
    sheets: Mapping[str, FlatSheet], bodies: Mapping[str, Body], pins: list[str]
) -> list[PinInHole]:
    """Return each pin in each sheet whose middle plane it passes within the sheet's outline."""
    found: list[PinInHole] = []
    for name, sheet in sheets.items():
        part = sheet.part or name
        middle = front_of_sheet(sheet).moved(sheet.thickness / 2)
        areas = [region.polygon() for region in regions(middle, bodies[part].solid, part, CHORD)]
        for pin in pins:
            for own in regions(middle, bodies[pin].solid, pin, CHORD):
                each = _in_sheet(pin, own.polygon(), part, areas, middle)
                found += [one for one in each if _in_run(one.at, sheet)]
    return found


def _in_run(at: Vec3, sheet: FlatSheet) -> bool:
    """Say whether a point [mm] lies in the run that a sheet is of a part that bends."""
    each = ((np.array(at) - np.array(end.origin)) @ np.array(end.normal) for end in sheet.within)
    return all(off >= 0.0 for off in each)


def _in_sheet(
    pin: str, own: shapely.Polygon, part: str, areas: list[shapely.Polygon], middle: Frame
) -> Iterator[PinInHole]:
    centre, wide = own.centroid, 2 * sqrt(own.area / pi)
    for area in areas:
        if not shapely.Polygon(area.exterior).buffer(wide / 2).contains(centre):
            continue
        at = middle.lifted((centre.x, centre.y))
        holes = [shapely.Polygon(ring) for ring in area.interiors]
        hole = min(holes, key=lambda one: one.centroid.distance(centre), default=None)
        if hole is None or not hole.contains(centre):
            yield PinInHole(pin, part, wide, -wide, wide, at)
            continue
        off = float(hole.centroid.distance(centre))
        yield PinInHole(pin, part, off, sqrt(hole.area / pi) - wide / 2 - off, wide, at)
