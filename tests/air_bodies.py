"""Bodies and wings for tests of the flow about them, as grids of points; lengths in mm."""

import numpy as np

from geomgen.air.potential.grids import closed, grid, lid
from geomgen.air.potential.hidden import without_hidden
from geomgen.air.potential.panels import together


def ellipsoid(along, around, half_axes=(1.0, 1.0, 1.0), at=(0.0, 0.0, 0.0), whole=False):
    """Return points of an ellipsoid, of its half at positive y if not `whole`."""
    turn = np.linspace(0, np.pi, along + 1)[:, None]
    side = np.linspace(0, (2 if whole else 1) * np.pi, around + 1)
    ball = np.stack(
        [-np.cos(turn) + 0 * side, np.sin(turn) * np.sin(side), np.sin(turn) * np.cos(side)],
        axis=-1,
    )
    return ball * np.array(half_axes) + np.array(at)


def body(*given, name="body", **further):
    """Return an ellipsoid's panels."""
    mirrored = not further.get("whole", False)
    return closed(grid(name, ellipsoid(*given, **further), mirrored=mirrored))


def turned(profile, around, name="body"):
    """Return panels of half a body of revolution, from its profile (x, r)."""
    side = np.linspace(0, np.pi, around + 1)
    x, r = np.array(profile).T
    points = [x[:, None] + 0 * side, r[:, None] * np.sin(side), r[:, None] * np.cos(side)]
    return closed(grid(name, np.stack(points, axis=-1)))


def section(around, thickness):
    """Return a symmetric four-digit section, closed, from the trailing edge by the lower side."""
    turn = np.linspace(0, 2 * np.pi, around + 1)
    x = 0.5 * (1 + np.cos(turn))
    half = 0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4
    z = np.where(turn < np.pi, -1.0, 1.0) * 5 * thickness * half
    z[[0, -1]] = 0.0
    return x, z


def planform(around, across, chord_at, half_span, thickness, at=(0.0, 0.0, 0.0), grip=0.25):
    """Return points of half a wing of `chord_at(share of the half span)`, straight at `grip`."""
    x, z = section(around, thickness)
    share = np.sin(np.linspace(0, np.pi / 2, across + 1))
    share[-1] = 1.0
    chord = chord_at(share)
    points = [
        (x[:, None] - grip) * chord,
        half_span * share + 0 * x[:, None],
        z[:, None] * chord,
    ]
    return np.stack(points, axis=-1) + np.array(at)


def elliptic_wing(around, across, aspect_ratio, thickness, root=1000.0):
    """Return the panels of an elliptic wing, its half span and its area of both sides."""
    half_span = aspect_ratio * np.pi / 8 * root
    points = planform(
        *(around, across, lambda s: root * np.sqrt(np.maximum(1 - s * s, 0.0))),
        *(half_span, thickness),
    )
    made = closed(grid("wing", points, trailing=True))
    return made, half_span, np.pi / 2 * root * half_span


def plain_wing(
    around=30, across=12, half_span=4500.0, chord=1300.0, thickness=0.15, at=(0, 0, 0), name="wing"
):
    """Return the panels of a rectangular wing with lids, from its leading edge on."""
    points = planform(
        around, across, lambda s: chord + 0 * s, half_span, thickness, at=at, grip=0.0
    )
    return together([grid(name, points, trailing=True), lid(name, points[:, -1])])


def winged_pod(around=24, across=12, along=24):
    """Return a pod with a wing through it, cut where they enter each other."""
    pod = grid("pod", ellipsoid(along, along // 2, (2000.0, 350.0, 500.0), (500.0, 0.0, 0.0)))
    return without_hidden(closed(together([plain_wing(around, across), pod])))
