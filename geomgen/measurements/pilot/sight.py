"""What the pilot sees over the nose: the steepest look down that the pod leaves free ahead of him.

In the centre plane, where a pod's crown stands highest. What lies in the glazed part is taken out
of the section first.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from math import atan2, degrees, hypot

import numpy as np
import shapely

from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Glass, Plane, Vec3, vec
from geomgen.kernel.plane_frame import at_buttock_line
from geomgen.kernel.second_library import cross_section
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

LEVEL, CLIMB, STANDING, TAIL_DOWN = "level", "climb", "static", "tail_down"
ID = "sight.over_nose"
# Glass reaches this far up [mm]; what is this near before the eye is not looked at [mm].
HIGH, EYE = 1e5, 1.0
# Of these all that lies above the sill is glass.
GLAZED = ("pod", "canopy")
METHOD = "section of the pod's mesh in the centre plane"
BARRED = "no glass is known ([canopy]): the pod bars the sight as drawn"


@dataclass(frozen=True)
class BarredSight:
    """The angle below the waterlines [deg] at which the pod bars the sight, where, its bound.

    `whose` sight it is, and from which `eye` [mm].
    """

    angle: float
    at: Vec3
    bound: float
    whose: str = ""
    eye: Vec3 | None = None


def sight_over(pods: Sequence[Body], eye: Vec3, glass: Glass | None) -> BarredSight | None:
    """Return the least angle below the waterlines [deg] at which pieces of the pod [mm] bar sight.

    None where nothing of it lies ahead of the eye.
    """
    found = [one for body in pods for one in _corners(body, eye, glass)]
    if not found:
        return None
    angle, at, own = min(found, key=lambda row: row[0])
    # A corner whose own bound is wider may be the least.
    lowest = min(other - bound for other, _, bound in found)
    return BarredSight(angle, at, max(own, angle - lowest))


def _corners(body: Body, eye: Vec3, glass: Glass | None) -> Iterator[tuple[float, Vec3, float]]:
    frame = at_buttock_line(0.0)
    rings = [shapely.Polygon(ring) for ring in cross_section(body.hull, frame).to_polygons()]
    section = shapely.make_valid(shapely.Polygon())
    for ring in rings:
        section = section.symmetric_difference(shapely.make_valid(ring))
    ahead = shapely.box(-HIGH, -HIGH, eye[0] - EYE, HIGH)
    section = section.intersection(ahead)
    if glass is not None:
        section = section.difference(_glazed(glass))
    for x, z in np.asarray(shapely.get_coordinates(section)).tolist():
        off = hypot(eye[0] - x, eye[2] - z)
        bound = degrees(body.deviation / max(off, body.deviation))
        yield degrees(atan2(eye[2] - z, eye[0] - x)), frame.lifted((x, z)), bound


def _glazed(glass: Glass) -> shapely.Polygon:
    return shapely.Polygon(
        [
            (glass.fore, glass.fore_sill),
            (glass.aft, glass.aft_sill),
            (glass.aft, HIGH),
            (glass.fore, HIGH),
        ]
    )


def nose_up(ground: Plane) -> float:
    """Return how far the nose is up over a ground [deg].

    >>> round(nose_up(Plane((0.0, 0.0, 0.0), (-0.5, 0.0, 3.0**0.5 / 2))), 9)
    30.0
    """
    return degrees(atan2(0.0 - ground.normal[0], ground.normal[2]))


def sight(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the question how far down the pilot sees; none where no eye is known."""
    pods = tuple(name for name in boxes if model.families.get(name) in GLAZED)
    eye, glass = model.eye, model.glass
    if eye is None or not any(model.families[name] == "pod" for name in pods):
        return

    eyes = {"": eye, **model.other_eyes}

    def ask(given: Given) -> Answer:
        bodies = [given.bodies[name] for name in pods]
        seen = ((whose, at, sight_over(bodies, at, glass)) for whose, at in eyes.items())
        found = [replace(one, whose=whose, eye=at) for whose, at, one in seen if one is not None]
        return asdict(min(found, key=lambda one: one.angle)) if found else None

    yield MeasurementQuestion(ID, ask, bodies=pods, plain=(*eyes.items(), glass), weight=0.3)


def _attitudes(model: Model) -> Mapping[str, float]:
    """Return how far the nose is up [deg] in each attitude that is told."""
    planes = {ground.name: ground.plane for ground in model.grounds}
    standing = TAIL_DOWN if TAIL_DOWN in planes else STANDING
    up = {LEVEL: 0.0}
    if model.climb_pitch is not None:
        up[CLIMB] = model.climb_pitch
    if standing in planes:
        up[standing] = nose_up(planes[standing])
    return up


def _said_of_sight(by: Answered) -> list[Measurement]:
    answer = by.answers.get(ID)
    if answer is None:
        return []
    at, eye = vec(answer["at"]), vec(answer["eye"])
    words = {LEVEL: "in level flight, waterlines level", CLIMB: "in the climb"}
    return [
        Measurement(
            f"{ID}.{name}",
            "pod",
            f"angle below the horizon seen over the nose, {words.get(name, 'standing')}",
            answer["angle"] - up,
            "deg",
            METHOD + (f"; nose {round(up, 2) + 0.0:.2f} deg up" if name != LEVEL else ""),
            answer["bound"],
            f"from the eye{answer['whose']} at {place(eye)} past {place(at)}",
            (eye, at),
            "" if by.model.glass else BARRED,
        )
        for name, up in _attitudes(by.model).items()
    ]


SIGHT = Subject(sight, _said_of_sight)
