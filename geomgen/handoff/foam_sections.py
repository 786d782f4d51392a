"""Sections across a body, from the surfaces of its solid: where they pass a station.

On each face the outline is the line of constant station; it is found on many rows at once by
halving, to well below a micrometre. The kernel's own section takes half a second a plane.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from OCP.BRepTools import BRepTools
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.properties import faces_of
from geomgen.kernel.surface_points import SurfacePoints, surface_points

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
ROUND = 48
HALVINGS = 40
# A face whose stations differ by less than this is a flat end [mm].
FLAT = 1e-6
# A section smaller than this is the point of a round nose [mm].
POINT = 0.5
LEAST = 8


@dataclass(frozen=True)
class Strip:
    """A face along the body: its surface, the range of both parameters, which one runs along."""

    surface: SurfacePoints
    low: Floats
    high: Floats
    along: int

    def at(self, around: Floats, along: Floats) -> tuple[Floats, Floats]:
        """Return points and unit normals (n, 3) at parameters (n,)."""
        if not len(around):
            return np.zeros((0, 3)), np.zeros((0, 3))
        uv = np.empty((len(around), 2))
        uv[:, self.along], uv[:, 1 - self.along] = along, around
        rows = self.surface.at(uv, 1)
        normal = np.cross(rows[1], rows[2])
        size = np.linalg.norm(normal, axis=1)
        return rows[0], normal / np.where(size > 0, size, 1.0)[:, None]


def _stations(strip: Strip, around: Floats, along: Floats) -> Floats:
    if not len(around):
        return np.zeros(0)
    uv = np.empty((len(around), 2))
    uv[:, strip.along], uv[:, 1 - strip.along] = along, around
    return np.asarray(strip.surface.at(uv)[0][:, 0])


def strips(body: TopoDS_Shape) -> list[Strip]:
    """Return the faces of a body that run along it; flat ends are left out."""
    found = [_strip(face) for face in faces_of(body)]
    kept = [strip for strip in found if strip is not None]
    if not kept:
        raise GeometryError("it has no faces along it", part="pod", step="foam sections")
    return kept


def _strip(face: TopoDS_Face) -> Strip | None:
    surface = surface_points(face)
    u0, u1, v0, v1 = BRepTools.UVBounds_s(face)
    low, high = np.array([u0, v0]), np.array([u1, v1])
    middle = 0.5 * (low + high)
    spans = []
    for along in (0, 1):
        uv = np.tile(middle, (9, 1))
        uv[:, along] = np.linspace(low[along], high[along], 9)
        spans.append(float(np.ptp(surface.at(uv)[0][:, 0])))
    along = int(np.argmax(spans))
    return None if spans[along] < FLAT else Strip(surface, low, high, along)


def sections(body: list[Strip], stations: Sequence[float]) -> list[tuple[Floats, Floats]]:
    """Return for each station [mm] the outline (n, 2) y, z [mm], counter-clockwise, and normals.

    The normals (n, 3) point outward. Both are empty where the body has no section. A section must
    be star-shaped about its middle.
    """
    at = np.asarray(stations, dtype=float)
    found = [_passing(strip, at) for strip in body]
    made = []
    for i in range(len(at)):
        rows = [(points[here == i], normals[here == i]) for here, points, normals in found]
        made.append(_ordered(np.vstack([p for p, _ in rows]), np.vstack([n for _, n in rows])))
    return made


def section(body: list[Strip], station: float) -> tuple[Floats, Floats]:
    """Return outline and normals at one station, as `sections` does."""
    return sections(body, [station])[0]


def _ordered(points: Floats, away: Floats) -> tuple[Floats, Floats]:
    none = (np.zeros((0, 2)), np.zeros((0, 3)))
    if len(points) < LEAST:
        return none
    flat = points[:, 1:]
    middle = 0.5 * (flat.min(axis=0) + flat.max(axis=0))
    arm = flat - middle
    order = np.argsort(np.arctan2(arm[:, 1], arm[:, 0]), kind="stable")
    flat, away = flat[order], away[order]
    fresh = np.r_[True, np.hypot(*np.diff(flat, axis=0).T) > 1e-7]
    flat, away = flat[fresh], away[fresh]
    if len(flat) < LEAST or float(np.ptp(flat, axis=0).min()) < POINT:
        return none
    sense = np.sign(np.sum(away[:, 1:] * (flat - middle), axis=1))
    return flat, away * np.where(sense == 0, 1.0, sense)[:, None]


def _passing(strip: Strip, stations: Floats) -> tuple[Ints, Floats, Floats]:
    """Return where a face passes the stations: their numbers, points and normals there."""
    rows = np.linspace(strip.low[1 - strip.along], strip.high[1 - strip.along], ROUND)
    around = np.tile(rows, len(stations))
    here = np.repeat(np.arange(len(stations)), ROUND)
    wanted = stations[here]
    a = np.full(len(around), strip.low[strip.along])
    b = np.full(len(around), strip.high[strip.along])
    at_a, at_b = (np.tile(_stations(strip, rows, end[:ROUND]), len(stations)) - wanted
                  for end in (a, b))  # fmt: skip
    # An end that lies in the station's plane counts as passing it.
    at_a[np.abs(at_a) < FLAT], at_b[np.abs(at_b) < FLAT] = 0.0, 0.0
    passes = at_a * at_b <= 0
    here, around, wanted = here[passes], around[passes], wanted[passes]
    a, b, at_a = a[passes], b[passes], at_a[passes]
    for _ in range(HALVINGS):
        middle = 0.5 * (a + b)
        value = _stations(strip, around, middle) - wanted
        before = at_a * value > 0
        a, b = np.where(before, middle, a), np.where(before, b, middle)
        at_a = np.where(before, value, at_a)
    points, normals = strip.at(around, 0.5 * (a + b))
    return here, points, normals
