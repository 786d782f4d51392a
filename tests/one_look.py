"""What questions tell bit by bit, measured in one look at a whole model: the slow way."""

from functools import cache
from itertools import combinations

from geomgen.kernel.interference.meeting import meeting
from geomgen.measurements.cooling_air import duct, opening
from geomgen.measurements.cooling_air.opening import solids
from geomgen.measurements.cooling_air.throat import narrowest_section
from geomgen.measurements.fit.engine_fit import (
    engines,
    exact_room,
    fixed,
    may_be_least,
    neighbours,
    room_record,
    rough_room,
)
from geomgen.measurements.fit.interference import meeting_record


def opening_measurer(model, bodies=None):
    """Return what measures openings of a model, each of them once; by meshes if given."""
    parts = solids(model)
    if bodies is None:
        return cache(lambda where: opening.measure_on_solids(parts, where))
    meshed = {name: bodies[name] for name in parts}
    return cache(lambda where: opening.measure_on_meshes(meshed, where))


def openings(model):
    """Return inlet areas, exit area and their ratio."""
    areas = [*inlets(model), *exits(model)]
    return [*areas, *opening.ratio(areas)]


def inlets(model):
    """Return the area of each scoop's mouth and their sum [mm2], on the solids."""
    return opening.inlets(model, opening_measurer(model))


def exits(model):
    """Return the least open area [mm2] of the exit, on the solids."""
    return opening.exits(model, opening_measurer(model))


def ducts(model, bodies, seen=None):
    """Return throat area [mm2] and turn [deg] of every passage."""
    seen = seen or opening_measurer(model, bodies)
    parts = {name: bodies[name] for name in solids(model)}
    walls = {name: bodies[name] for name, family in model.families.items() if family in duct.WALLS}
    return [
        found
        for passage in model.passages
        for found in duct.duct(
            passage,
            seen,
            duct.way_into_the_bay(passage, solids(model), walls, model.firewall_plane),
            narrowest_section(passage, parts),
        )
    ]


def engine_room(model, bodies):
    """Return engine.clearance [mm]: all by meshes, on the solids those that can be nearest."""
    found = []
    for name in engines(model):
        engine = bodies[name]
        rough = [rough_room(engine, bodies[other], other) for other in neighbours(model, name)]
        found += [
            exact_room(engine, bodies[r.name], r) if may_be_least(r, rough) else r for r in rough
        ]
    return room_record(found, fixed(model))


def interference(bodies):
    """Return minus the depth of the deepest meeting [mm], 0 when no two parts share space."""
    pairs = combinations(bodies.items(), 2)
    found = [(a, b, meeting(first, second)) for (a, first), (b, second) in pairs]
    return meeting_record([row for row in found if row[2] is not None], len(bodies))
