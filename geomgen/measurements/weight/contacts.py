"""Where the wheels stand on the ground, how far the nose comes up before the tail touches."""

from collections.abc import Iterator, Mapping
from math import atan2, degrees, inf

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Ground, vec
from geomgen.measurements.place import place
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

Boxes = Mapping[str, Box]
CONTACT, TOUCH = "gear.contact", "gear.tail_touch"
STATIC, DOWN = "static", "tail_down"
TYRES, PITCHED = "wheels over the ground", "pitch at which the tail touches"


def standing(model: Model) -> Ground | None:
    """Return the ground of the machine as it stands on all its wheels; None without one."""
    named = {ground.name: ground for ground in model.grounds}
    return named.get(DOWN) or named.get(STATIC)


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    ground, wheels = standing(model), tuple(name for name in model.wheels if name in boxes)
    if ground is None or not wheels or not model.weighed:
        return
    yield MeasurementQuestion(
        TYRES,
        lambda given: {name: _middle(given, name).tolist() for name in wheels},
        (), wheels, (), (wheels,), weight=0.1,
    )  # fmt: skip
    mains = tuple(name for name in wheels if model.wheels[name] == "main")
    rest = tuple(name for name in boxes if name not in model.wheels and name not in model.rotating)
    if mains and rest and "tail" not in model.wheels.values():
        yield MeasurementQuestion(
            PITCHED,
            lambda given: _pitch(given, ground, mains, rest),
            (), (*mains, *rest), (), (ground, mains), weight=0.3,
        )  # fmt: skip


def _middle(given: Given, wheel: str) -> Floats:
    """Return the middle (3,) of a wheel [mm], that of its mesh's box: it is round."""
    points = given.bodies[wheel].mesh.vertices
    return np.asarray((points.min(axis=0) + points.max(axis=0)) / 2)


def _pitch(given: Given, ground: Ground, mains: tuple[str, ...], rest: tuple[str, ...]) -> Answer:
    """Return the least turn [deg] about the mains' tyres that brings a part to the ground.

    In the side view the ground is a line that touches the tyre's circle, sunk in as it stands; a
    part aft of it is reached when that line has turned up to it.
    """
    middles = np.array([_middle(given, name) for name in mains])
    axle = middles.mean(axis=0)
    normal = np.array(ground.plane.normal)
    high = float((axle - np.array(ground.plane.origin)) @ normal)
    standing_pitch = degrees(atan2(-normal[0], normal[2]))
    least, name, at = inf, "", np.zeros(3)
    for part in rest:
        points = given.bodies[part].mesh.vertices
        aft, up = points[:, 0] - axle[0], points[:, 2] - axle[2]
        far = np.hypot(aft, up)
        out = (aft > 0.0) & (far > high)
        if not out.any():
            continue
        turned = np.degrees(np.arctan2(up[out], aft[out]) + np.arcsin(high / far[out]))
        k = int(np.argmin(turned))
        if turned[k] - standing_pitch < least:
            least, name, at = float(turned[k] - standing_pitch), part, points[out][k]
    if least == inf:
        return None
    off = given.bodies[name].deviation + max(given.bodies[m].deviation for m in mains)
    reach = max(float(np.linalg.norm(at - axle)), 1.0)
    return {
        "pitch": least,
        "part": name,
        "at": at.tolist(),
        "error": degrees(off / reach),
    }


def _said(by: Answered) -> list[Measurement]:
    ground, tyres = standing(by.model), by.answers.get(TYRES)
    if ground is None or tyres is None:
        return []
    origin, normal = np.array(ground.plane.origin), np.array(ground.plane.normal)
    found = []
    for name, middle in tyres.items():
        high = float((np.array(middle) - origin) @ normal)
        found.append(
            Measurement(
                f"{CONTACT}.{name}", name, "axle over the ground, standing", high, "mm",
                f"middle of the wheel's mesh over the ground: {ground.note}", 0.1,
                by.model.wheels[name],
                points=(vec(np.array(middle) - high * normal), vec(middle)),
                further=(("normal x", normal[0]), ("normal y", normal[1]), ("normal z", normal[2])),
            )
        )  # fmt: skip
    answer = by.answers.get(PITCHED)
    if answer is not None:
        found.append(
            Measurement(
                TOUCH, answer["part"], "nose up from standing until a part touches the ground",
                float(answer["pitch"]), "deg",
                "turned about the mains' axle, tyres as deep in as they stand; corners of the "
                "parts' meshes", float(answer["error"]), place(vec(answer["at"])),
                points=(vec(answer["at"]),),
            )
        )  # fmt: skip
    return found


CONTACTS = Subject(_questions, _said)
