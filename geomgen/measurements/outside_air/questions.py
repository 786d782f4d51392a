"""The question about the air: the flow about the machine in all its states, twice as fine once."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from geomgen.air.paneling.crossing import crossing
from geomgen.air.paneling.one_sided import mirror_of, one_sided
from geomgen.air.potential.flow import Flow
from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.interference.glazed_skin import skin_body
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlightState, Plane
from geomgen.measurements.answers import refused
from geomgen.measurements.outside_air.mouth_spots import Surroundings, mouth_spots
from geomgen.measurements.outside_air.mouth_stand import mouth_stands
from geomgen.measurements.outside_air.mouths import MouthAir, in_wake, mouth_air, mouth_pressure
from geomgen.measurements.outside_air.panel_map import coefficients, mapped
from geomgen.measurements.outside_air.said import JUDGED, NAME, said
from geomgen.measurements.outside_air.said_separated import separated
from geomgen.measurements.outside_air.skin import last_rows, leaves_at, lines, rim_pressure, surface
from geomgen.measurements.outside_air.states import AboutMachine, SolvedMachine, solved_machine
from geomgen.measurements.outside_air.unfelt import mirror_images, most_off, skins, wakes_on
from geomgen.measurements.outside_air.unseen import with_unseen
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered, Boxes, Subject

# Panels each way, for the figures and for how far they may be off: own choice.
FINE, COARSE = 1.0, 0.7
# The tail drawn behind an open end is so much longer with the coarse ones, and so in the band.
LONGER = 2.0
# The skin over the pod's opening, as if it were a part.
LOST = "skin over the opening"
FELT = ("pod", "exit", "canopy", "scoop", "wing", "tailplane", "pylon", "boom", "fin")
# Never on panels; of booms and fins, too, only the most that they can do is told.
UNFELT = ("wheel", "leg", "spinner")


def _questions(model: Model, boxes: Boxes) -> Iterator[MeasurementQuestion]:
    """Return the question about the air; none where no state of flight is given, or no pod."""
    felt = tuple(name for name in boxes if model.families.get(name) in FELT)
    unfelt = tuple(name for name in boxes if model.families.get(name) in UNFELT)
    if not model.flights or not any(model.families[name] == "pod" for name in felt):
        return
    mouths = [passage.mouth for passage in model.passages]
    swept = (model.swept,) if model.swept in boxes and model.thrust_line else ()
    families = {name: model.families[name] for name in (*felt, *unfelt)}
    lost = model.glazed_skin
    if lost:
        families[LOST] = "canopy"

    def ask(given: Given) -> Answer:
        about = AboutMachine(
            {name: given.bodies[name].mesh for name in felt}
            | ({LOST: skin_body(lost).mesh} if lost else {}),
            *(families, mouths, bool(model.exits), model.joint_gap, model.thrust_line),
            _radius(given, model) if swept else 0.0,
            {name: given.bodies[name].mesh for name in unfelt},
        )
        try:
            return _told(about, model)
        except GeometryError as error:
            return refused(error)

    about_it = (model.flights, model.trip, _fan(model), model.glass)
    plain = (*about_it, mouths, bool(model.exits), model.joint_gap)
    about = (*plain, families, model.thrust_line, *((lost,) if lost else ()))
    parts = (*felt, *swept, *unfelt)
    yield MeasurementQuestion(NAME, ask, (), parts, (), about, weight=4.0, slow=True)


def _radius(given: Given, model: Model) -> float:
    """Return the radius [mm] of the swept volume about the thrust line."""
    assert model.thrust_line is not None
    along = np.array(model.thrust_line.direction)
    off = given.bodies[model.swept].mesh.vertices - np.array(model.thrust_line.origin)
    return float(np.linalg.norm(off - np.outer(off @ along, along), axis=1).max())


def _fan(model: Model) -> Plane | None:
    """Return the face of the fan that mouths lead to; of several fans that of the first mouth."""
    return next((passage.fan for passage in model.passages if passage.fan is not None), None)


def _told(about: AboutMachine, model: Model) -> Answer:
    scoops = [name for name in about.meshes if about.families[name] == "scoop"]
    sides = one_sided(about.meshes, scoops, about.mouths)
    about = replace(
        about, meshes=sides.meshes, mouths=sides.mouths, lone=sides.lone, left=sides.left
    )
    fine = solved_machine(about, FINE)
    there = [mouth for mouth in about.mouths if mouth.name in fine.outside.mouths]
    stands, shut = mouth_stands(there, about.meshes, about.families)
    about = replace(about, stands=stands)
    beside = skins(fine.outside, {n: about.meshes[n] for n in fine.outside.left_out})
    beside |= skins(fine.outside, about.unfelt)
    coarse = solved_machine(about, COARSE, tail=LONGER)
    shown, flows = fine.outside, _flown(fine, model)
    level = next((s for s in model.flights if s.speed > 0.0), None)
    answer = {
        "mouths": {m.name: m.plane.origin[0] for m in about.mouths if m.name in shown.mouths},
        "unmeasured": shut,
        "rim_station": shown.rim,
        "map": mapped(shown, fine.solution.slopes.doubtful, about.lone, about.left),
        "pressures": {name: coefficients(flow) for name, (_, flow) in flows.items()},
        "spots": _spots(fine, flows, about, model),
        "panels": [len(coarse.outside.panels), len(fine.outside.panels)],
        "left_out": [*beside, *(f"mirror image of {name}" for name in about.lone)],
        "density": {state.name: state.density for state in model.flights},
        "states": {
            state.name: [
                _state(fine, state, about, model.trip, beside, told=True),
                _state(coarse, state, about, model.trip, beside),
            ]
            for state in model.flights
        },
    }
    if level is not None and "wing" in fine.outside.panels.names:
        answer["chord"] = fine.wing.chord
        neutral = [each.neutral(level, each.attack(level)) for each in (fine, coarse)]
        answer |= {"neutral": neutral, "booms": _booms(fine, about, *neutral[0])}
    return answer


def _booms(
    machine: SolvedMachine, about: AboutMachine, station: float, slope: float
) -> list[float]:
    """Return what booms do at most: share of the wing's lift [1], neutral point moved [mm]."""
    booms = [mesh for name, mesh in about.meshes.items() if about.families[name] == "boom"]
    found, wing = crossing(booms, machine.outside.grids["wing"]), machine.wing
    moved = found.neutral_point(station, wing.about[0], wing.chord, slope, wing.area)
    return [found.share, moved]


def _flown(machine: SolvedMachine, model: Model) -> dict[str, tuple[float, Flow]]:
    """Return speed [m/s] and flow of each state that flies."""
    flown = [state for state in model.flights if state.speed > 0.0]
    return {s.name: (s.speed, machine.flow(s, machine.attack(s))) for s in flown}


def _spots(
    machine: SolvedMachine,
    flows: Mapping[str, tuple[float, Flow]],
    about: AboutMachine,
    model: Model,
) -> list[Answer]:
    judged = {name: flown for name, flown in flows.items() if name in JUDGED}
    around = Surroundings(about.meshes, about.families, _fan(model), model.glass)
    return mouth_spots(machine, judged, around, model.trip) if judged else []


def _state(
    machine: SolvedMachine,
    state: FlightState,
    about: AboutMachine,
    trip: float | None,
    beside: Mapping[str, Floats],
    told: bool = False,
) -> Answer:
    """Return what is found in a state; how far bodies without panels move it where it is `told`."""
    attack = machine.attack(state)
    flow, shown, stands = machine.flow(state, attack), machine.outside, about.stands
    ram = 0.5 * state.speed**2
    rim = rim_pressure(shown, flow)
    found = {"attack": attack, "rim": None if rim is None else rim * state.density, "ram": ram}
    found["lift"] = machine.lift(state)
    if rim is not None:
        straight = rim_pressure(shown, machine.flow(state, attack, straight=True))
        assert straight is not None
        found["rim_edge"] = abs(rim - straight) * state.density
    if not state.speed:
        pulled = {m.name: mouth_pressure(shown, flow, m, stands.get(m.name)) for m in about.mouths}
        return found | {
            "pull": {name: p * state.density for name, p in pulled.items() if p is not None}
        }
    along = list(lines(shown, flow))
    over = surface(shown, flow)
    mouths = [
        _waked(mouth, beside, about, flow)
        for mouth in (
            mouth_air(shown, flow, over, m, stands.get(m.name), trip) for m in about.mouths
        )
        if mouth is not None
    ]
    return {
        **found,
        **(_unfelt(machine, state, flow, about, beside, mouths) if told else {}),
        "lines": {
            line.name: [line.stations.tolist(), line.waterlines.tolist(), line.pressures.tolist()]
            for line in along
        },
        "leaves": {line.name: leaves_at(over, line, state.speed, trip) for line in along},
        "mouths": {m.name: _own_side(m, about).as_dict() for m in mouths},
    }


def _waked(
    mouth: MouthAir, beside: Mapping[str, Floats], about: AboutMachine, flow: Flow
) -> MouthAir:
    others = {
        name: mesh.vertices[mesh.triangles]
        for name, mesh in about.meshes.items()
        if about.families[name] == "scoop" and name != mouth.name
    }
    half, bodies = 0.5 * mouth.height, {**beside, **others}
    return in_wake(mouth, list(wakes_on(bodies, about.families, mouth.at, half, flow.stream)))


def _own_side(mouth: MouthAir, about: AboutMachine) -> MouthAir:
    return replace(mouth, at=mirror_of(mouth.at)) if mouth.name in about.left else mouth


def _unfelt(
    machine: SolvedMachine,
    state: FlightState,
    flow: Flow,
    about: AboutMachine,
    beside: Mapping[str, Floats],
    mouths: Sequence[MouthAir],
) -> Answer:
    """Return by how much at most pressure coefficients are off at mouths and open end [1]."""
    lone = skins(machine.outside, {name: about.meshes[name] for name in about.lone})
    shown, strengths = machine.outside, machine.strengths(state)
    taken = {
        m.name: (m.plane.origin, -strengths[m.name] * 1e-6 * float(areas.sum()))
        for m in about.mouths
        if m.name in about.lone and m.name in shown.mouths
        for areas in (shown.panels.areas[shown.mouths[m.name]],)
    }
    there = [(mirror_of(place), each) for place, each in taken.values()]
    others, told = {**beside, **mirror_images(lone)}, {}
    for m in mouths:
        # Another lone one may stand on the other side.
        more = {name: corners for name, corners in lone.items() if name != m.name}
        sinks = [*there, *(each for name, each in taken.items() if name != m.name)]
        at, speed = np.array([m.at]), np.array([m.speed])
        told[m.name] = most_off({**others, **more}, at, speed, flow.stream, sinks)
    if shown.rim is None:
        return {"unfelt": told, "rim_unfelt": 0.0}
    # One side of the open end has a lone scoop ahead of it, the other has none.
    rows, all_, sinks = last_rows(shown), {**others, **lone}, [*taken.values(), *there]
    speeds = flow.speed[rows] / np.linalg.norm(flow.stream)
    rim = most_off(all_, shown.panels.spots[rows], speeds, flow.stream, sinks)
    return {"unfelt": told, "rim_unfelt": rim}


def _said(by: Answered) -> list[Measurement]:
    return list(with_unseen(by, [*said(by), *separated(by)]))


AIR_OUTSIDE = Subject(_questions, _said)
