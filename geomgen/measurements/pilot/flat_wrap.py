"""Whether the glazed part of the pod can be bent from flat sheet: its strain when laid flat."""

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass
from geomgen.kernel.plane_frame import at_station
from geomgen.kernel.second_library import cross_section, turned
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.pilot.laid_flat import strain_of, turning
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject
from geomgen.measurements.weight.bodies import stated_gap

ID = "canopy.flat_wrap"
# Points of the net along and across; the finer one counts, the other tells how fine is enough.
COARSE, FINE = 13, 25
# The ends are looked at this far inside the glass [mm]: an edge of it may be the pod's own end.
INSIDE = 0.5
FAR = 1e5
Rings = list[Floats]
OPEN = "of the skin that the pod has lost to its opening, as it is lofted: no canopy is built"
METHOD = (
    f"net of {FINE} by {FINE} points on the pod's outer skin above the sill, laid flat by least "
    "squares of its lengths"
)


def wrap(pods: Sequence[Body], glass: Glass) -> tuple[float, float]:
    """Return the strain [1] of the glazed part of pieces of the pod [mm], and its bound [1].

    GeometryError where there is no skin above the sill from end to end.
    """
    fine = glazed_net(pods, glass, FINE)
    strain = strain_of(fine)
    coarse = strain_of(fine[:: (FINE - 1) // (COARSE - 1), :: (FINE - 1) // (COARSE - 1)])
    off = max(body.deviation for body in pods)
    return strain, abs(strain - coarse) + off * turning(fine)


def glazed_net(pods: Sequence[Body], glass: Glass, count: int) -> Floats:
    """Return points (n, n, 3) [mm] of the glazed skin, stations along, left to right across."""
    stations = np.linspace(glass.fore + INSIDE, glass.aft - INSIDE, count).tolist()
    cuts = [_sections(body, stations) for body in pods]
    rows = zip(stations, *cuts, strict=True)
    return np.stack([_row([r for of in rings for r in of], glass, x, count) for x, *rings in rows])


def _sections(body: Body, stations: Sequence[float]) -> list[Rings]:
    """Return the rings of a body at stations [mm]; a rough one is turned once for all of them."""
    if not body.rough:
        return [cross_section(body.hull, at_station(x)).to_polygons() for x in stations]
    whole = turned(body.hull, at_station(0.0))
    return [whole.slice(x).to_polygons() for x in stations]


def _row(sections: Rings, glass: Glass, station: float, count: int) -> Floats:
    sill = glass.sill(station)
    rings = [shapely.LinearRing(ring) for ring in sections]
    above = shapely.box(-FAR, sill, FAR, FAR)
    lines = [
        line
        for ring in rings
        for line in shapely.get_parts(shapely.line_merge(ring.intersection(above)))
        if line.length > 0.0
    ]
    if not lines:
        raise GeometryError(
            f"no skin of the pod lies above the sill at STA {station:.1f}", part="pod", step=ID
        )
    # Of the outer and the inner skin the outer one reaches higher.
    line = max(lines, key=lambda one: one.bounds[3])
    points = np.array(
        [line.interpolate(s, normalized=True).coords[0] for s in np.linspace(0.0, 1.0, count)]
    )
    if points[0, 0] > points[-1, 0]:
        points = points[::-1]
    return np.column_stack([np.full(count, station), points])


def flat_wraps(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the question of the glazed part; none where no glass is known."""
    pods = tuple(name for name in boxes if model.families.get(name) == "pod")
    canopies = tuple(name for name in boxes if model.families.get(name) == "canopy")
    glass, lost = model.glass, model.glazed_skin
    if glass is None or not pods:
        return
    if canopies:
        # Its edge stands off the sill by the joint: so far up nothing but its two skins is met.
        gap = max(stated_gap(model, name, pod) for name in canopies for pod in pods)
        glass = glass.inside(gap + INSIDE)
    looked_at = canopies or (() if lost else pods)

    def ask(given: Given) -> Answer:
        try:
            bodies = [given.bodies[name] for name in looked_at]
            return list(wrap(bodies or [skin_body(lost)] if lost else bodies, glass))
        except GeometryError as error:
            return refused(error)

    yield MeasurementQuestion(ID, ask, bodies=looked_at, plain=(glass, lost), weight=2.0)


def _said_of_wrap(by: Answered) -> list[Measurement]:
    answer, glass = by.answers.get(ID), by.model.glass
    if answer is None or glass is None:
        return []
    if said_no(answer):
        return [missing(ID, "1", answer)]
    strain, bound = answer
    canopies = [name for name in by.parts if by.model.families.get(name) == "canopy"]
    ends = (place((glass.fore, 0.0, glass.fore_sill)), place((glass.aft, 0.0, glass.aft_sill)))
    return [
        Measurement(
            ID,
            canopies[0] if canopies else "pod",
            "strain of the glazed part when it is laid flat",
            strain,
            "1",
            METHOD,
            bound,
            f"above the sill from {ends[0]} to {ends[1]}",
            note="" if canopies or by.model.glazed_skin is None else OPEN,
        )
    ]


FLAT_WRAP = Subject(flat_wraps, _said_of_wrap)
