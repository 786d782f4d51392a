"""A hull of plain bodies with mouths in its front wall, and what is measured of its ways of air."""

from dataclasses import replace

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshing.proven import meshed
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.questions import TOGETHER, WAYS
from geomgen.measurements.propeller.questions import SWEPT
from geomgen.measurements.question import Questionnaire, from_text
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.questions import questions
from geomgen.measurements.survey.whole import answered, bodies_of

AFT = (1.0, 0.0, 0.0)
WIDE, LONG, WALL = 200.0, 800.0, 5.0
MOUTH = (100.0, 80.0)
THROAT = MOUTH[0] * MOUTH[1]
RIM = (2 * (WIDE - WALL)) ** 2


def pod(mouths=((0.0, 0.0),)):
    """Return a box of a hull: mouths of 100 x 80 mm in its front wall, the aft end open."""
    hull = box((0.0, -WIDE, -WIDE), (LONG, WIDE, WIDE))
    inner = WIDE - WALL
    knives = [box((WALL, -inner, -inner), (LONG + 1, inner, inner))]
    for y, z in mouths:
        knives.append(box((-1.0, y - 50, z - 40), (WALL + 1, y + 50, z + 40)))
    return cut(hull, knives, "pod", "bench")


def passage(name="scoop_a", y=0.0, z=0.0, fan=True) -> Passage:
    def plane(x: float) -> Opening:
        return Opening(name, Plane((x, y, z), AFT), (x, y, z), 68.0)

    goal = Plane((300.0, 0.0, 0.0), AFT) if fan else None
    return Passage(name, plane(2.5), (plane(4.0),), (40.0, y, z), goal)


def machine(passages, families, hull, parts) -> tuple[Model, dict]:
    """Return a model of a hull with some more parts, and the meshes of all."""
    solids = {"pod": hull or pod(), **parts}
    model = Model(
        parts=solids,
        families={name: (families or {}).get(name, name.split("_")[0]) for name in solids},
        passages=list(passages) or [passage()],
        exits=[Opening("exit", Plane((799.0, 100.0, 0.0), AFT), (799.0, 100.0, 0.0), 600.0)],
        thrust_line=Axis((0.0, 0.0, 0.0), AFT),
    )
    return model, {name: (m.mesh, m.deviation) for name, m in meshed_parts(solids).items()}


def figures(passages=(), families=None, hull=None, only="", **parts):
    """Return what the questions about whole ways say, by id; `only` those whose name has it."""
    model, meshes = machine(passages, families, hull, parts)
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    asked = [
        q
        for q in questions(model, boxes)
        if q.name in (SWEPT, TOGETHER) or q.name.startswith(("whole way of", "opening"))
    ]
    bodies = bodies_of(model, meshes)

    def ask(question, needed, done) -> None:
        single = question.name.startswith("whole way of")
        if only in question.name or not single:
            done(from_text(answered(question, model.parts, bodies, needed)))

    known = Questionnaire(asked, ask).answers
    passages_asked = [p for p in model.passages if f"whole way of {p.name}" in known]
    left = replace(model, passages=passages_asked)
    if "whole way of the exit" not in known:
        left = replace(left, exits=[])
    return {m.id: m for m in WAYS.say(Answered(left, (), known))}


def meshed_parts(solids):
    return {name: meshed(solid, 0.1) for name, solid in solids.items()}
