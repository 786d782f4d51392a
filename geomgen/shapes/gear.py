"""Wheels, and the planes that stand for the ground in each attitude."""

from math import cos, radians, sin

import numpy as np

from geomgen.kernel.plain import Ground, Plane
from geomgen.kernel.primitives import wheel
from geomgen.parameters.records import Parameters
from geomgen.shapes.piece import Piece


def wheels(p: Parameters) -> list[Piece]:
    """Return the wheels, unloaded."""
    if p.gear is None:
        return []
    pieces = []
    for w in p.gear.wheels:
        both = w.mirrored and w.buttock_line != 0.0
        name = f"wheel_{w.name}_right" if both else f"wheel_{w.name}"
        solid = wheel((w.station, w.buttock_line, w.waterline), w.diameter, w.width)
        right = Piece(name, "wheel", solid, (0.15, 0.15, 0.16))
        pieces += [right, right.on_the_left()] if both else [right]
    return pieces


def grounds(p: Parameters) -> list[Ground]:
    """Return the ground planes: standing, tail down, and with each tyre flat and strut bottomed.

    A contact point is the foot of a wheel, drawn up by what tyre and strut give way. Standing is
    the attitude on all wheels (tricycle) or level on the mains (tailwheels); tail down is the
    largest pitch (tricycle) or the three-point attitude (tailwheels).
    """
    g = p.gear
    if g is None:
        return []
    role = "nose" if g.layout == "tricycle" else "tail"
    mains = [w for w in g.wheels if w.role == "main"]
    third = [w for w in g.wheels if w.role == role]
    if not mains or not third:
        return []
    main, other = _foot(mains[0]), _foot(third[0])
    flat_main = _foot(mains[0], mains[0].flat + g.strut_travel)
    flat_other = _foot(third[0], third[0].flat + g.strut_travel)
    on_all = _through(main, main * [1, -1, 1], other * [1, 0, 1])
    half_flat = _through(flat_main, main * [1, -1, 1], other * [1, 0, 1])
    level = Plane(_vec(main), (0.0, 0.0, 1.0))
    if role == "nose":
        standing, tail_down = on_all, _pitched(on_all, main, g.rotation)
        note = f"nose up {g.rotation:.1f} deg on the mains"
    else:
        standing, tail_down, note = level, on_all, "three-point attitude"
    return [
        Ground("static", standing, "gear statically deflected"),
        Ground("tail_down", tail_down, note),
        Ground("flat_tyre.main", half_flat, "one main tyre flat, its strut bottomed"),
        Ground(
            f"flat_tyre.{role}",
            _through(main, main * [1, -1, 1], flat_other * [1, 0, 1]),
            f"{role} tyre flat, its strut bottomed",
        ),
    ]


def _foot(w: object, more: float = 0.0) -> "np.ndarray":
    up = w.waterline - w.diameter / 2 + w.deflection + more  # type: ignore[attr-defined]
    return np.array([w.station, w.buttock_line, up])  # type: ignore[attr-defined]


def _through(a: "np.ndarray", b: "np.ndarray", c: "np.ndarray") -> Plane:
    normal = np.cross(b - a, c - a)
    normal = normal / np.linalg.norm(normal) * (1.0 if normal[2] > 0 else -1.0)
    return Plane(_vec(a), _vec(normal))


def _pitched(plane: Plane, about: "np.ndarray", nose_up: float) -> Plane:
    """Turn a ground plane about the mains: with the nose up the ground rises aft in our axes."""
    x, y, z = plane.normal
    c, s = cos(radians(nose_up)), sin(radians(nose_up))
    return Plane(_vec(about), (c * x - s * z, y, s * x + c * z))


def _vec(a: "np.ndarray") -> tuple[float, float, float]:
    return (float(a[0]), float(a[1]), float(a[2]))
