"""Plain bodies as meshes and machines made of them, for what is told of the air about a machine."""

from dataclasses import replace

import numpy as np
import trimesh

from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Axis, FlightState, Opening, Plane
from geomgen.measurements.outside_air.mouth_stand import mouth_stands
from geomgen.measurements.outside_air.states import AboutMachine

# Of the pod [mm]: half its length, half its breadth and height, where it is cut off behind.
HALF_LONG, HALF_WIDE, RIM = 1500.0, 350.0, 1050.0
# Of the wing [mm], and of the scoop: fore and aft end, breadth, height off the plane.
CHORD, HALF_SPAN = 800.0, 4000.0
SCOOP, WALL = ((100.0, 300.0, -80.0), (450.0, 440.0, 80.0)), 4.0
DENSITY = 1.225


def mesh_of(vertices, triangles):
    """Return a mesh of the house of points (n, 3) [mm] and triangles (m, 3)."""
    triangles = np.asarray(triangles, dtype=np.int64)
    nothing = np.zeros(0, dtype=np.int64)
    return Mesh(
        *(np.asarray(vertices, dtype=float), triangles, np.zeros(len(triangles), dtype=np.int64)),
        *(np.zeros((len(triangles), 3, 2)), np.zeros((0, 3), dtype=np.int64), nothing),
        *(np.zeros((0, 3, 2)), (), 0.1),
    )


def lofted(rings):
    """Return a mesh through rings (k, m, 3) [mm], closed by flat ends; outward whichever way."""
    rings = np.asarray(rings, dtype=float)
    k, m = rings.shape[:2]
    number = np.arange(k * m).reshape(k, m)
    a, b = number[:-1], number[1:]
    c, d = np.roll(b, -1, axis=1), np.roll(a, -1, axis=1)
    sides = np.concatenate([np.stack(t, axis=-1).reshape(-1, 3) for t in ((a, b, c), (a, c, d))])
    caps = [
        [number[e, 0], *pair] for e, turn in ((0, 1), (-1, -1)) for pair in _fan(number[e], turn)
    ]
    points, triangles = rings.reshape(-1, 3), np.concatenate([sides, caps])
    body = trimesh.Trimesh(points, triangles, process=False)
    return mesh_of(points, triangles if body.volume > 0 else triangles[:, ::-1])


def _fan(row, turn):
    return [pair[::turn] for pair in zip(row[1:-1], row[2:], strict=True)]


def box(low, high):
    """Return the mesh of a box from corner to corner [mm]."""
    made = trimesh.creation.box(bounds=[low, high])
    return mesh_of(made.vertices, made.faces)


def pipe(low, high, wall=WALL):
    """Return the mesh of a square pipe along the stations, from corner to corner [mm]."""
    outer, inner = (
        trimesh.creation.box(bounds=[np.array(low) + w, np.array(high) - w])
        for w in (np.zeros(3), np.array([-1.0, wall, wall]))
    )
    made = outer.difference(inner, engine="manifold")
    return mesh_of(made.vertices, made.faces)


def ellipsoid(half_axes, at=(0.0, 0.0, 0.0)):
    """Return the mesh of an ellipsoid [mm], within a few tenths of a per cent."""
    ball = trimesh.creation.icosphere(subdivisions=4)
    return mesh_of(ball.vertices * np.array(half_axes) + np.array(at), ball.faces)


def pod(rim=RIM):
    """Return an ellipsoid of revolution that is cut off behind at a station [mm]."""
    x = -HALF_LONG * np.cos(np.linspace(0.02, np.arccos(-rim / HALF_LONG), 60))
    turn = np.linspace(0.0, 2 * np.pi, 72, endpoint=False)
    radii = HALF_WIDE * np.sqrt(1 - (x / HALF_LONG) ** 2)
    return lofted(
        [[(s, r * np.sin(t), r * np.cos(t)) for t in turn] for s, r in zip(x, radii, strict=True)]
    )


def naca(thickness, count=40):
    """Return a symmetrical four-digit section of chord 1 with a closed trailing edge, (m, 2)."""
    x = 0.5 * (1 - np.cos(np.linspace(0.0, np.pi, count)))
    coefficients = (0.2969, -0.1260, -0.3516, 0.2843, -0.1036)
    powers = (np.sqrt(x), x, x**2, x**3, x**4)
    y = 5 * thickness * sum(c * p for c, p in zip(coefficients, powers, strict=True))
    return np.r_[np.c_[x, y][::-1], np.c_[x, -y][1:-1]]


def wing(
    thickness=0.12, chord=CHORD, half_span=HALF_SPAN, at=(-300.0, 500.0), tip=1.0, incidence=0
):
    """Return a straight wing, its root's leading edge at a station and waterline [mm]."""
    section = naca(thickness)
    turn = np.radians(incidence)
    section = section @ np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    rings = []
    for y in np.linspace(-half_span, half_span, 41):
        c = chord * (1 - (1 - tip) * abs(y) / half_span)
        front = at[0] + 0.25 * (chord - c)
        rings.append([(front + c * u, y, at[1] + c * v) for u, v in section])
    return lofted(rings)


def mirrored(mesh):
    """Return a mesh as the mirror shows it."""
    return mesh_of(mesh.vertices * np.array([1.0, -1.0, 1.0]), mesh.triangles[:, ::-1])


def mouth(side="right", ahead=SCOOP[0][0]):
    """Return the plane of a scoop's mouth [mm]."""
    y = 0.5 * (SCOOP[0][1] + SCOOP[1][1]) * (1 if side == "right" else -1)
    return Opening(
        f"scoop_a_{side}", Plane((ahead, y, 0.0), (1.0, 0.0, 0.0)), (ahead, y, 0.0), 115.0
    )


def about(open_behind=True, disc=RIM + 250.0, scoops=True, winged=True, **changed):
    """Return a pod with its wing, a scoop each side and a propeller behind."""
    meshes, families = {"pod": pod()}, {"pod": "pod"}
    if winged:
        meshes["wing"], families["wing"] = wing(), "wing"
    if scoops:
        meshes |= {"scoop_a_right": pipe(*SCOOP), "scoop_a_left": mirrored(pipe(*SCOOP))}
        families |= dict.fromkeys(("scoop_a_right", "scoop_a_left"), "scoop")
    given = {
        "meshes": meshes,
        "families": families,
        "mouths": [mouth("right"), mouth("left")] if scoops else [],
        "open_behind": open_behind,
        "joint": 0.3,
        "disc": None if disc is None else Axis((disc, 0.0, 0.0), (1.0, 0.0, 0.0)),
        "radius": 600.0,
    }
    machine = AboutMachine(**{**given, **changed})
    stands, _ = mouth_stands(machine.mouths, machine.meshes, machine.families)
    return replace(machine, stands=stands)


def climb(**changed):
    """Return the climb of a machine of 300 kg."""
    given = {
        "name": "climb",
        "speed": 25.0,
        "lift": 300.0 * 9.80665,
        "thrust": 400.0,
        "density": DENSITY,
        "through": 0.2,
    }
    return FlightState(**{**given, **changed})
