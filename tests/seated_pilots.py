"""A pilot in plain pods: questions asked as `check` asks them, their answers through text."""

from dataclasses import replace

from asking import bodies_of
from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
from OCP.gp import gp_Pnt

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.plain import Limb, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.pilot.questions import PILOT_ROOM
from geomgen.measurements.pilot.sight import SIGHT
from geomgen.measurements.pilot.sight_round import SIGHT_ROUND
from geomgen.measurements.question import Given, Questionnaire, from_text, text_of
from geomgen.measurements.subject import Answered
from geomgen.shapes.assembly.pilot_places import eye, glass, limbs, other_eyes
from geomgen.sizing.targets import figures
from geomgen.verdicts.judge import judge

X = (1.0, 0.0, 0.0)
WALL = 5.0


def ball(radius, name="head", at=(0.0, 0.0, 0.0)):
    """Return a limb that is a ball."""
    return Limb(name, at, at, radius, radius)


def boxed(low, high, wall=WALL):
    """Return a closed pod with a room between two corners."""
    outer = box(tuple(c - wall for c in low), tuple(c + wall for c in high))
    return cut(outer, [box(low, high)], "pod", "room")


def sphere(at, radius):
    return BRepPrimAPI_MakeSphere(gp_Pnt(*at), radius).Solid()


def shell(at, inner, wall=WALL):
    """Return a hollow ball."""
    return cut(sphere(at, inner + wall), [sphere(at, inner)], "pod", "room")


def tube(start, end, inner, wall=WALL):
    """Return a tube along the stations, open at both ends."""
    rod = cylinder((start, 0.0, 0.0), X, inner + wall, end - start)
    return cut(rod, [cylinder((start - 9.0, 0.0, 0.0), X, inner, end - start + 18.0)], "pod", "")


def figures_of(model, bodies=None):
    """Return what is measured of a model's pilot, by id."""
    bodies = bodies or bodies_of(model)
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}

    def ask(question, needed, done):
        given = Given({}, {name: bodies[name] for name in question.bodies}, needed)
        done(from_text(text_of(question.ask(given))))

    found = []
    for subject in (PILOT_ROOM, SIGHT, SIGHT_ROUND):
        asked = list(subject.ask(replace(model, parts={}), boxes))
        answers = Questionnaire(asked, ask).answers
        found += subject.say(Answered(replace(model, parts={}), list(model.parts), answers))
    return {figure.id: figure for figure in found}


def checks_of(p, model, bodies=None):
    """Return the checks of a model with the pilot of a file, by id."""
    seated = replace(model, pilot=limbs(p), eye=eye(p), other_eyes=other_eyes(p), glass=glass(p))
    due = [t for t in figures(p) if t.id.startswith(("pilot.", "sight."))]
    return {c.id: c for c in judge(list(figures_of(seated, bodies).values()), due)}


def firewall_at(station):
    """Return a sheet across a pod, and the plane half-way through it."""
    sheet = box((station, -299.0, 373.0), (station + 1.0, 299.0, 1249.0))
    return sheet, Plane((station + 0.5, 0.0, 800.0), X)
