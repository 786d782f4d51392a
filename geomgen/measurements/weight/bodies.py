"""Volume, skin and joints of the parts that a mass is worked out of, with their moments."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.meshes.search import search_of
from geomgen.kernel.meshes.touching import SMALL, touching
from geomgen.kernel.model import Model
from geomgen.kernel.plain import vec
from geomgen.kernel.solids.moments import body_moments, skin_moments
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Subject

Boxes = Mapping[str, Box]
ID = "body"
# What stands no farther from another part than the gap stated for the two and this [mm] bears no
# skin of its own: own choice, the thickness of a bond line.
BOND = 0.5
# For a first answer triangles no larger than this [mm] count by their middle: own choice.
ROUGHLY = 25.0
# Parts that no joint holds, or that are no bodies.
UNJOINED = (
    *("wheel", "engine", "spinner", "tank", "spar", "rib", "fitting", "joint_plate", "joint_pin"),
)
METHOD = (
    "volume and area of the finished solid by the kernel's integrals; skin in joints: the mesh "
    f"within the gap stated for two parts and {BOND:g} mm of the other; moments in mm to the fifth "
    "(body) and fourth (skin) about each centroid"
)
AXES = ("x", "y", "z")
PAIRS = ("xx", "yy", "zz", "xy", "yz", "zx")


def is_weighed(model: Model, name: str) -> bool:
    """Say whether a part is among those that are weighed, by its name or that of its family.

    >>> model = Model(families={"boom_left": "boom"}, weighed=("boom",))
    >>> is_weighed(model, "boom_left"), is_weighed(model, "pod")
    (True, False)
    """
    return bool(_called(model, name) & set(model.weighed))


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    for name in boxes:
        if name != model.swept and is_weighed(model, name):
            yield MeasurementQuestion(_body(name), _ask_body(name), (name,), weight=1.0)
            others = _neighbours(model, boxes, name)
            if others:
                own = model.families.get(name, name)
                apart = [o for o, gap in others.items() if gap and model.families.get(o, o) == own]
                yield _joints(name, others, apart)


def _body(name: str) -> str:
    return f"body of {name}"


def _in_joints(name: str) -> str:
    return f"skin in joints of {name}"


def _neighbours(model: Model, boxes: Boxes, name: str) -> dict[str, float]:
    """Return what may stand at a part, by its box, with the gap [mm] stated for the two.

    Nothing for what no joint holds.
    """
    out = (*UNJOINED, model.families.get(model.swept, model.swept))
    if model.families.get(name, name) in out:
        return {}
    gaps = {
        other: stated_gap(model, name, other)
        for other in boxes
        if other not in (name, model.swept) and model.families.get(other, other) not in out
    }
    return {
        other: gap
        for other, gap in gaps.items()
        if boxes_meet(boxes[name], boxes[other], gap + BOND)
    }


def stated_gap(model: Model, one: str, other: str) -> float:
    """Return the gap [mm] that is stated for two parts; 0 where no joint is: they may touch.

    >>> families = {"boom_left": "boom", "wing": "wing"}
    >>> model = Model(families=families, joint_gaps=(("wing", "boom", 0.3), ("pod", "wing", 2.0)))
    >>> stated_gap(model, "boom_left", "wing"), stated_gap(model, "boom_left", "pod")
    (0.3, 0.0)
    """
    first, second = _called(model, one), _called(model, other)
    return max(
        (
            gap
            for a, b, gap in model.joint_gaps
            if (a in first and b in second) or (a in second and b in first)
        ),
        default=0.0,
    )


def _called(model: Model, name: str) -> set[str]:
    """Return what a part is called: its name, that without its hand, its family."""
    bare = name.removesuffix("_left").removesuffix("_right")
    return {name, bare, model.families.get(name, name)}


def _ask_body(name: str) -> Any:
    def ask(given: Given) -> Answer:
        try:
            body, skin = body_moments(given.solids[name]), skin_moments(given.solids[name])
        except GeometryError as error:
            return {**refused(error), "part": name}
        return {"body": asdict(body), "skin": asdict(skin)}

    return ask


def _joints(name: str, gaps: Mapping[str, float], apart: Sequence[str]) -> MeasurementQuestion:
    """Return the question of a part's skin beside others; beside parts of its own skin besides."""

    def ask(given: Given) -> Answer:
        found = _beside(given, name, gaps)
        if apart:
            found["slit"] = _beside(given, name, {other: gaps[other] for other in apart})
        return found

    plain = (tuple(gaps.items()), tuple(apart))
    return MeasurementQuestion(_in_joints(name), ask, (), (name, *gaps), (), plain, weight=0.5)


def _beside(given: Given, name: str, gaps: Mapping[str, float]) -> dict[str, Any]:
    own, bodies = given.bodies[name], [given.bodies[other] for other in gaps]
    reaches = [
        gap + BOND + own.skin + body.skin for gap, body in zip(gaps.values(), bodies, strict=True)
    ]
    others = [search_of(body.mesh) for body in bodies]
    blur = own.skin + max(body.skin for body in bodies) if own.rough else 0.0
    return asdict(
        touching(own.mesh.corners, others, reaches, ROUGHLY if own.rough else SMALL, blur)
    )


def _said(by: Answered) -> list[Measurement]:
    found = []
    for name in by.parts:
        answer, joints = by.answers.get(_body(name)), by.answers.get(_in_joints(name))
        if answer is None:
            continue
        no = next((one for one in (answer, joints) if said_no(one)), None)
        if no is not None:
            found.append(missing(f"{ID}.{name}", "mm3", no))
            continue
        family = by.model.families.get(name, name)
        found.append(_record(name, family, answer, joints))
    return found


def _record(name: str, family: str, answer: Answer, joints: Answer) -> Measurement:
    """Return the record of a body; its place is its family, by which the file may weigh it."""
    body, skin = answer["body"], answer["skin"]
    slit = joints.get("slit") if joints else None
    further = [
        *_named("body", body["size"], body),
        *_named("skin", skin["size"], skin),
        *(_named("joint", joints["area"], joints) if joints and joints["area"] else ()),
        *(_named("slit", slit["area"], slit) if slit and slit["area"] else ()),
        ("skin error", float(skin["error"])),
        ("joint error", float(joints["error"]) if joints else 0.0),
    ]
    return Measurement(
        f"{ID}.{name}", name, f"volume of {name}", float(body["size"]), "mm3", METHOD,
        float(body["error"]), family, points=(vec(body["centre"]),), further=tuple(further),
    )  # fmt: skip


def _named(what: str, size: float, row: Mapping[str, Any]) -> Iterator[tuple[str, float]]:
    yield what, float(size)
    yield from ((f"{what} {axis}", float(v)) for axis, v in zip(AXES, row["centre"], strict=True))
    yield from ((f"{what} {pair}", float(v)) for pair, v in zip(PAIRS, row["spread"], strict=True))


BODIES = Subject(_questions, _said, tells=True)
