"""The propeller's figures by the very questions that `geomgen check` asks."""

from dataclasses import replace

from surveyed_models import mesh_once

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.interference.meeting import body_of
from geomgen.measurements.propeller.questions import PROPELLER
from geomgen.measurements.question import Given, Questionnaire, from_text, text_of
from geomgen.measurements.subject import Answered

TOLERANCE = 0.1


def bodies_of(model, tolerance=TOLERANCE):
    """Join each part with its own proven mesh."""
    made = {name: mesh_once(solid, tolerance, name) for name, solid in model.parts.items()}
    return {n: body_of(model.parts[n], m.mesh, m.deviation.largest) for n, m in made.items()}


def asked(model, bodies=None, keep=lambda question: True):
    """Return the answers to the questions about the propeller; None for those not kept."""
    bodies = bodies if bodies is not None else bodies_of(model)

    def ask(question, needed, done):
        if not keep(question):
            done(None)
            return
        solids = {name: model.parts[name] for name in question.solids}
        given = Given(solids, {name: bodies[name] for name in question.bodies}, needed)
        done(from_text(text_of(question.ask(given))))

    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    return Questionnaire(list(PROPELLER.ask(replace(model, parts={}), boxes)), ask).answers


def propeller_figures(model, bodies=None, keep=lambda question: True):
    """Return what `check` measures of the propeller, by id; `keep` says which questions to ask."""
    return {figure.id: figure for figure in all_propeller_figures(model, bodies, keep)}


def all_propeller_figures(model, bodies=None, keep=lambda question: True):
    """Return what `check` measures of the propeller, also several of one id."""
    answers = asked(model, bodies, keep)
    return PROPELLER.say(Answered(replace(model, parts={}), list(model.parts), answers))
