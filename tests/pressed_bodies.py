"""Solved bodies for the tests of what is shown of pressures: a sphere, a machine and its mirror."""

import numpy as np
from plain_machines import about, climb, ellipsoid, mirrored

from geomgen.air.pressure_map import pressure_map
from geomgen.measurements.outside_air.panel_map import coefficients, mapped, said_of_panels
from geomgen.measurements.outside_air.states import solved_machine
from geomgen.measurements.record import Measurement

RADIUS, SPEED = 500.0, 20.0


def map_of(machine, state, attack=0.0):
    """Return the map of a solved machine, by the way that the survey takes."""
    flow = machine.flow(state, attack)
    answer = {
        "map": mapped(machine.outside, flow.doubtful),
        "pressures": {state.name: coefficients(flow)},
    }
    ram = Measurement("air.climb", "pod", "", 0.0, "deg", "", further=(("ram", SPEED**2 / 2),))
    return pressure_map([ram, *said_of_panels(answer, "m")])


def sphere():
    """Return the map of a sphere in a stream, and the families of its parts."""
    ball = {"pod": ellipsoid((RADIUS,) * 3)}
    given = about(False, None, False, False, meshes=ball, families={"pod": "pod"})
    state = climb(speed=SPEED, lift=0.0, thrust=0.0, through=0.0)
    return map_of(solved_machine(given, 1.0), state), {"pod": "pod"}


def machine(other=False):
    """Return the map of a pod with wing and scoops, or of its mirror image, and its families."""
    given = about(disc=None)
    swapped = {"scoop_a_right": "scoop_a_left", "scoop_a_left": "scoop_a_right"}
    meshes = given.meshes
    if other:
        meshes = {swapped.get(n, n): mirrored(mesh) for n, mesh in meshes.items()}
        meshes = {n: meshes[n] for n in given.meshes}
    made = solved_machine(about(disc=None, meshes=meshes, families=given.families), 0.5)
    return map_of(made, climb(speed=SPEED, thrust=0.0), 3.0), given.families


def exact(directions):
    """Return 1 - 9/4 sin^2 of the angle to the stream: Lamb, Hydrodynamics, art. 96."""
    along = directions[..., 0] / np.linalg.norm(directions, axis=-1)
    return 1.0 - 2.25 * (1.0 - along**2)
