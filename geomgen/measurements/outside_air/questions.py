"""The question about the air: the flow about the machine in all its states, twice as fine once."""

from collections.abc import Iterator

import numpy as np

from geomgen.errors import GeometryError
from geomgen.kernel.plain import FlightState, Model
from geomgen.measurements.answers import refused
from geomgen.measurements.outside_air.said import NAME, said
from geomgen.measurements.outside_air.skin import (
    leaves_at,
    lines,
    mouth_air,
    mouth_pressure,
    rim_pressure,
    surface,
)
from geomgen.measurements.outside_air.states import AboutMachine, SolvedMachine, solved_machine
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.subject import Boxes, Subject

# Panels each way, for the figures and for how far they may be off: own choice.
FINE, COARSE = 1.0, 0.7
# The tail drawn behind an open end is so much longer with the coarse ones, and so in the band.
LONGER = 2.0
FELT = ("pod", "exit", "scoop", "wing", "tailplane", "pylon", "boom", "fin")


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the question about the air; none where no state of flight is given, or no pod."""
    felt = tuple(name for name in boxes if model.families.get(name) in FELT)
    if not model.flights or not any(model.families[name] == "pod" for name in felt):
        return
    mouths = [passage.mouth for passage in model.passages]
    swept = (model.swept,) if model.swept in boxes and model.thrust_line else ()
    families = {name: model.families[name] for name in felt}

    def ask(given: Given) -> Answer:
        about = AboutMachine(
            {name: given.bodies[name].mesh for name in felt},
            *(families, mouths, bool(model.exits), model.joint_gap, model.thrust_line),
            _radius(given, model) if swept else 0.0,
        )
        try:
            return _told(about, model)
        except GeometryError as error:
            return refused(error)

    plain = (model.flights, model.trip, mouths, bool(model.exits), model.joint_gap)
    yield MeasurementQuestion(
        NAME,
        ask,
        (),
        (*felt, *swept),
        (),
        (*plain, families, model.thrust_line),
        weight=4.0,
        slow=True,
    )


def _radius(given: Given, model: Model) -> float:
    """Return the radius [mm] of the swept volume about the thrust line."""
    assert model.thrust_line is not None
    along = np.array(model.thrust_line.direction)
    off = given.bodies[model.swept].mesh.vertices - np.array(model.thrust_line.origin)
    return float(np.linalg.norm(off - np.outer(off @ along, along), axis=1).max())


def _told(about: AboutMachine, model: Model) -> Answer:
    fine = solved_machine(about, FINE)
    coarse = solved_machine(about, COARSE, tail=LONGER)
    level = next((s for s in model.flights if s.speed > 0.0), None)
    answer = {
        "panels": [len(coarse.outside.panels), len(fine.outside.panels)],
        "left_out": list(fine.outside.left_out),
        "density": {state.name: state.density for state in model.flights},
        "states": {
            state.name: [_state(each, state, about, model.trip) for each in (fine, coarse)]
            for state in model.flights
        },
    }
    if level is not None and "wing" in fine.outside.panels.names:
        answer["neutral"] = [each.neutral(level, each.attack(level)) for each in (fine, coarse)]
    return answer


def _state(
    machine: SolvedMachine, state: FlightState, about: AboutMachine, trip: float | None
) -> Answer:
    attack = machine.attack(state)
    flow, shown = machine.flow(state, attack), machine.outside
    ram = 0.5 * state.speed**2
    rim = rim_pressure(shown, flow)
    told = {"attack": attack, "rim": None if rim is None else rim * state.density, "ram": ram}
    if not state.speed:
        pulled = {m.name: mouth_pressure(shown, flow, m) for m in about.mouths}
        return told | {
            "pull": {name: p * state.density for name, p in pulled.items() if p is not None}
        }
    along = list(lines(shown, flow))
    over = surface(shown, flow)
    mouths = [mouth_air(shown, flow, over, mouth, trip) for mouth in about.mouths]
    return {
        **told,
        "lines": {
            line.name: [line.stations.tolist(), line.waterlines.tolist(), line.pressures.tolist()]
            for line in along
        },
        "leaves": {line.name: leaves_at(over, line, state.speed, trip) for line in along},
        "mouths": {m.name: m.as_dict() for m in mouths if m is not None},
    }


AIR_OUTSIDE = Subject(_questions, said)
