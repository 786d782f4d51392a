"""A vortex lattice of flat surfaces, for tests: lift and where it grips, by another way than ours.

Horseshoe vortices at a quarter of each panel, no flow through at three quarters, wakes straight aft
(any text on computing wings, DERIVED from Biot and Savart's law).
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Flat:
    """A trapezoid wing: dimensions [mm] as in `balanced_shapes.surface`, its place, its number."""

    span: float
    root: float
    tip: float
    edge: float = 0.0
    sweep: float = 0.0
    height: float = 0.0

    def corners(self, along, across):
        """Return the places of shares of the local chord at buttock lines [mm]."""
        out = np.abs(across) / (self.span / 2)
        chord = self.root + (self.tip - self.root) * out
        front = self.edge + self.root / 4 + self.sweep * out - chord / 4
        return np.stack([front + along * chord, across, np.full_like(across, self.height)], axis=-1)


def panels(flat, chords, spans):
    """Return left and right ends of bound vortices, and control points."""
    y = -flat.span / 2 * np.cos(np.linspace(0.0, np.pi, spans + 1))
    rows = []
    for row in range(chords):
        bound, control = (row + 0.25) / chords, (row + 0.75) / chords
        left, right = flat.corners(bound, y[:-1]), flat.corners(bound, y[1:])
        rows.append((left, right, flat.corners(control, 0.5 * (y[:-1] + y[1:]))))
    return [np.concatenate(part) for part in zip(*rows, strict=True)]


def upward(points, left, right):
    """Return the upward flow (n, m) at points of vortices of strength 1."""
    a, b = points[:, None] - left, points[:, None] - right
    far_a, far_b = np.linalg.norm(a, axis=-1), np.linalg.norm(b, axis=-1)
    over = np.cross(a, b)
    size = np.einsum("ijk,ijk->ij", over, over)
    along = np.einsum("jk,ijk->ij", right - left, a / far_a[..., None] - b / far_b[..., None])
    bound = np.where(size > 1e-6, over[..., 2] * along / np.maximum(size, 1e-6), 0.0)
    legs = [
        -r[..., 1] / (r[..., 1] ** 2 + r[..., 2] ** 2) * (1 + r[..., 0] / far)
        for r, far in ((a, far_a), (b, far_b))
    ]
    return (bound + legs[0] - legs[1]) / (4 * np.pi)


def solved(flats, chords, spans):
    """Return left and right ends of all bound vortices, and their strengths."""
    made = [panels(flat, chords, spans) for flat in flats]
    left, right, control = (np.concatenate(part) for part in zip(*made, strict=True))
    return left, right, np.linalg.solve(upward(control, left, right), np.full(len(control), -1.0))


def lattice(*flats, chords=4, spans=40):
    """Return each surface's lift [mm2, a radian], and the station [mm] of all lift together."""
    left, right, strength = solved(flats, chords, spans)
    lift = 2 * strength * (right - left)[:, 1]
    at = 0.5 * (left + right)[:, 0]
    each = [float(part.sum()) for part in np.split(lift, len(flats))]
    return each, float(lift @ at / lift.sum())


def turns(points, *flats, chords=8, spans=40):
    """Return by how much the flow turns at points [mm] when the angle of attack turns by one."""
    left, right, strength = solved(flats, chords, spans)
    return (1.0 + upward(np.array(points), left, right) @ strength).tolist()
