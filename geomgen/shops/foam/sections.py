"""Sections across a body, from the surfaces of its solid: where they pass a station.

On each face the outline is the line of constant station; it is found on many rows at once, to well
below a micrometre. The kernel's own section takes half a second a plane.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape

from geomgen.arrays import Floats, Ints
from geomgen.errors import GeometryError
from geomgen.kernel.brep.faces import bounds_of, faces_of, sense_of
from geomgen.kernel.brep.surface_points import SurfacePoints, surface_points
from geomgen.kernel.sections.section import nil_on_rows

# Rows on each face; chords of a quadrant 0.6 m long bulge by less than 0.02 mm.
ROUND = 120
# A face whose stations differ by less than this is a flat end [mm].
FLAT = 1e-6
# A section smaller than this is the point of a round nose [mm].
POINT = 0.5
LEAST = 8


@dataclass(frozen=True)
class FaceStrip:
    """A face along the body: its surface, the range of both parameters, which one runs along."""

    surface: SurfacePoints
    low: Floats
    high: Floats
    along: int
    sense: float = 1.0

    def at(self, uv: Floats) -> tuple[Floats, Floats]:
        """Return points and outward unit normals (n, 3) [mm, 1] at parameters (n, 2)."""
        rows = self.surface.at(uv, 1)
        normal = self.sense * np.cross(rows[1], rows[2])
        size = np.linalg.norm(normal, axis=1)
        return rows[0], normal / np.where(size > 0, size, 1.0)[:, None]


def strips(body: TopoDS_Shape) -> list[FaceStrip]:
    """Return the faces of a body that run along it; flat ends are left out."""
    found = [_strip(face) for face in faces_of(body)]
    kept = [strip for strip in found if strip is not None]
    if not kept:
        raise GeometryError("it has no faces along it", part="pod", step="foam sections")
    return kept


def _strip(face: TopoDS_Face) -> FaceStrip | None:
    surface = surface_points(face)
    u0, u1, v0, v1 = bounds_of(face)
    low, high = np.array([u0, v0]), np.array([u1, v1])
    middle = 0.5 * (low + high)
    spans = []
    for along in (0, 1):
        uv = np.tile(middle, (9, 1))
        uv[:, along] = np.linspace(low[along], high[along], 9)
        spans.append(float(np.ptp(surface.at(uv)[0][:, 0])))
    along = int(np.argmax(spans))
    sense = sense_of(face)
    return None if spans[along] < FLAT else FaceStrip(surface, low, high, along, sense)


def sections(body: list[FaceStrip], stations: Sequence[float]) -> list[tuple[Floats, Floats]]:
    """Return for each station [mm] the outline (n, 2) y, z [mm], counter-clockwise, and normals.

    The normals (n, 3) point outward. Both are empty where the body has no section. GeometryError
    where a section is not one outline that can be seen whole from its middle.
    """
    at = np.asarray(stations, dtype=float)
    found = [_passing(strip, at) for strip in body]
    made = []
    for i, station in enumerate(at):
        rows = [(points[here == i], normals[here == i]) for here, points, normals in found]
        points, normals = (np.vstack(part) for part in zip(*rows, strict=True))
        made.append(_ordered(points, normals, float(station)))
    return made


def _ordered(points: Floats, away: Floats, station: float) -> tuple[Floats, Floats]:
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
    # Seen from the middle an outline is in order only where all of it looks away from there.
    if np.any(np.sum(away[:, 1:] * (flat - middle), axis=1) <= 0):
        raise GeometryError(
            f"its section at station {station:.1f} mm is not one outline seen whole from its "
            "middle",
            part="pod",
            step="foam sections",
            look_at=["pod.stations"],
        )
    return flat, away


def _passing(strip: FaceStrip, stations: Floats) -> tuple[Ints, Floats, Floats]:
    """Return where a face passes the stations: their numbers, points and normals there."""
    rows = np.linspace(strip.low[1 - strip.along], strip.high[1 - strip.along], ROUND)
    first, last = (np.repeat(rows[:, None], 2, axis=1) for _ in range(2))
    first[:, strip.along], last[:, strip.along] = strip.low[strip.along], strip.high[strip.along]
    here = np.repeat(np.arange(len(stations)), ROUND)
    wanted = stations[here]
    first, last = (np.tile(end, (len(stations), 1)) for end in (first, last))
    off_a, off_b = (strip.surface.at(end)[0, :, 0] - wanted for end in (first, last))
    # An end that lies in the station's plane counts as passing it.
    off_a[np.abs(off_a) < FLAT], off_b[np.abs(off_b) < FLAT] = 0.0, 0.0
    passes = off_a * off_b <= 0
    here, wanted = here[passes], wanted[passes]
    ends = off_a[passes], off_b[passes]
    uv = nil_on_rows(
        lambda at: strip.surface.at(at)[0, :, 0] - wanted, first[passes], last[passes], ends
    )
    points, normals = strip.at(uv)
    return here, points, normals
