"""Dimensions of the engine bay, each between points of its sections."""

import math
from typing import Any

import numpy as np
import shapely

from geomgen.aircraft_drawings.bay_geometry import STEP, Bay, BaySection
from geomgen.aircraft_drawings.section_lines import spans
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.record import Dimension, Drawing, Point
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box

# Between rows of dimensions, and from the section to the first of them [mm of paper].
ROW, FIRST = 8.0, 7.0
# From the wing to the row over it [mm of paper].
ABOVE = 4.0
# Inside of an end, where its shape is no longer rounded or blunt [mm].
INSIDE = 0.5
# Parts as broad as high but for this share are round.
ROUND = 1e-3
FAR = 1e5
# A firewall whose front differs in station by more than this leans [mm].
LEANS = 0.05


def along(bay: Bay, over: int, height: float) -> tuple[Dimension, ...]:
    """Return the dimensions along the machine under the upright section, and of its edges.

    `height` is that of their letters [mm of the drawing], here and below.
    """
    section = bay.upright
    fore = firewall_point(bay)
    disc = section.shape([bay.model.swept])
    rim = _rim(bay)
    face = _end(disc, 0, False)
    fan = fan_point(bay, section)
    foot = _foot(bay)
    near, far = foot - FIRST * over, foot - (FIRST + ROW) * over
    found: list[tuple[str, Point, Point, float, float | None]] = []
    if fore and fan:
        found.append(("firewall to fan face", fore, fan, near, None))
    if rim and face:
        aside = rim[0] - 1.0
        found.append(("exit rim to disc", rim, _level(face, rim), near, aside))
    if fore and face:
        found.append(("firewall to disc", fore, _level(face, fore), far, None))
    edge = trailing_edge(bay)
    if edge and face:
        level = _edge_level(bay, edge, face, over)
        found.append(("trailing edge to disc", edge, _level(face, edge), level, None))
    return tuple(
        Dimension(
            *(a, b, ((a[0] + b[0]) / 2 if aside is None else aside, at), 0.0, height), name=name
        )
        for name, a, b, at, aside in found
    )


def trailing_edge(bay: Bay) -> Point | None:
    """Return the end of the wing ahead of the disc in the upright section [mm]."""
    edge = _end(bay.upright.shape(bay.names("wing")), 0, True)
    face = _end(bay.upright.shape([bay.model.swept]), 0, False)
    return edge if edge and face and edge[0] < face[0] else None


def _edge_level(bay: Bay, edge: Point, face: Point, over: int) -> float:
    """Return the height of the dimension aft of the wing: over the wing, or else under it all."""
    section, wings = bay.upright, bay.names("wing")
    top = float(section.shape(wings).bounds[3]) + ABOVE * over
    names = [n for n in section.cut.parts if n not in (*bay.model.rotating, *wings)]
    room = shapely.box(edge[0], top, face[0], top + ABOVE * over)
    if section.shape(names).intersects(room):
        return _foot(bay) - (FIRST + 2 * ROW) * over
    return top


def across(bay: Bay, over: int, height: float) -> tuple[Dimension, ...]:
    """Return the diameters of fairing, exit and disc [mm], to the right of the upright section."""
    section = bay.upright
    right = section.limits.high[0]
    ends = []
    rim = _rim(bay)
    if rim:
        station = rim[0] - INSIDE
        for name, families in (("fairing at the rim", ("tail_fairing",)), ("exit rim", ("exit",))):
            found = _crossed(section.shape(bay.names(*families)), station)
            if found:
                ends.append((name, *found, _sign(bay, families)))
    disc = section.shape([bay.model.swept])
    if not disc.is_empty:
        _, low, x1, high = disc.bounds
        ends.append(("disc", (x1, low), (x1, high), _sign(bay, ("prop_disc",))))
    return tuple(
        Dimension(
            *(a, b, (right + (FIRST + i * ROW) * over, (a[1] + b[1]) / 2), 90.0, height),
            *(sign, 1, name),
        )
        for i, (name, a, b, sign) in enumerate(ends)
    )


def mouths(section: BaySection, over: int, height: float) -> tuple[Dimension, ...]:
    """Return how far each mouth is open [mm] in a section's plane, ahead of it.

    A figure without room between its points stands at that end which is away from the hull.
    """
    found = []
    middle = 0.5 * (section.limits.low[1] + section.limits.high[1])
    for passage in section.passages:
        opening = next(o for o in section.openings if o.where == passage.mouth)
        for a, b in opening.lines(section.frame):
            p, q = (float(a[0]), float(a[1])), (float(b[0]), float(b[1]))
            # Its line stands ahead of the mouth, along the mouth's own plane.
            way = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
            off = np.array([-abs(q[1] - p[1]), (q[0] - p[0]) * np.sign(q[1] - p[1])])
            off = off / np.linalg.norm(off) * FIRST * over
            share = 0.5
            if 0.5 * (p[1] + q[1]) < middle:
                share = -0.5 if p[1] < q[1] else 1.5
            run = (q[0] - p[0], q[1] - p[1])
            at = (p[0] + share * run[0] + float(off[0]), p[1] + share * run[1] + float(off[1]))
            found.append(Dimension(p, q, at, way, height, name=f"mouth of {passage.name}"))
    return tuple(found)


def mouths_reach(section: BaySection, over: int, height: float) -> tuple[float, float]:
    """Return the lowest and highest ordinate [mm] of a section with its mouths' figures."""
    low, high = section.limits.low[1], section.limits.high[1]
    found = mouths(section, over, height)
    if found:
        (_, least), (_, most) = extent(drawn_out(Drawing("mouths", dimensions=found)))
        low, high = min(low, least), max(high, most)
    return low, high


def fan_point(bay: Bay, section: BaySection) -> Point | None:
    """Return the middle of the fan face in a section's coordinates [mm]."""
    for passage in bay.model.passages:
        if passage.fan is not None:
            return section.flat(passage.fan.origin)
    return None


def firewall_point(bay: Bay) -> Point | None:
    """Return the firewall's front where its station is measured [mm].

    That is its foot; of a firewall that leans, the place where the thrust line passes it.
    """
    shape = bay.upright.shape(bay.names("firewall"))
    foot = _end(shape, 0, False)
    if foot is None or bay.model.thrust_line is None:
        return foot
    height = thrust_height(bay, foot[0])
    runs = spans(shape, (foot[0] - 1.0, height), (foot[0] + FAR, height))
    if not runs or abs(runs[0][0][0] - foot[0]) < LEANS:
        return foot
    return runs[0][0]


def thrust_height(bay: Bay, station: float) -> float:
    """Return the waterline of the thrust line at a station [mm]."""
    axis = bay.model.thrust_line
    if axis is None:
        raise GeometryError("the model has no thrust line", step=STEP)
    run = (station - axis.origin[0]) / axis.direction[0] if axis.direction[0] else 0.0
    return axis.origin[2] + run * axis.direction[2]


def rows_foot(bay: Bay, over: int) -> float:
    """Return the lowest ordinate [mm] that the dimensions under the upright section take."""
    lowest = _foot(bay) - (FIRST + ROW) * over
    edge, face = trailing_edge(bay), _end(bay.upright.shape([bay.model.swept]), 0, False)
    if edge and face:
        lowest = min(lowest, _edge_level(bay, edge, face, over))
    return lowest - 3.0 * over


def _sign(bay: Bay, families: tuple[str, ...]) -> str:
    """Return the sign of a diameter for parts that are as broad as they are high."""
    sizes = [loose_box(bay.model.parts[name]).size for name in bay.names(*families)]
    return "\u00d8" if all(abs(y - z) < ROUND * z for _, y, z in sizes) else ""


def _foot(bay: Bay) -> float:
    """Return the lowest ordinate of all that stands ahead of the disc."""
    others = [name for name in bay.upright.cut.parts if name not in bay.model.rotating]
    return float(bay.upright.shape(others).bounds[1])


def _rim(bay: Bay) -> Point | None:
    """Return the lowest point of the exit's rim in the upright section."""
    shape = bay.upright.shape(bay.names("exit"))
    if shape.is_empty:
        return None
    station = shape.bounds[2]
    found = _crossed(shape, station - INSIDE)
    return (station, found[0][1]) if found else None


def _crossed(shape: Any, station: float) -> tuple[Point, Point] | None:
    """Return the lowest and highest point of a shape at a station."""
    runs = spans(shape, (station, -FAR), (station, FAR))
    return (runs[0][0], runs[-1][1]) if runs else None


def _end(shape: Any, axis: int, last: bool) -> Point | None:
    """Return the foremost or last point of a shape along an axis; the lowest of several."""
    if shape.is_empty:
        return None
    points = shapely.get_coordinates(shape)
    reach = points[:, axis] * (-1.0 if last else 1.0)
    ends = points[reach < reach.min() + 1e-6]
    at = ends[int(np.argmin(ends[:, 1 - axis]))]
    return (float(at[0]), float(at[1]))


def _level(point: Point, other: Point) -> Point:
    """Return a point of a face across the stations at the height of another point."""
    return (point[0], other[1])
