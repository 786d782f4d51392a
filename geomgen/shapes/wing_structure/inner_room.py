"""The room under the skin of wing, tailplane and fins: outlines and heights along the span.

Flat coordinates of a section: x aft (station) and u, up as the aerofoil stands (of a fin to the
left); s is the place along the span: the buttock line, of a fin the waterline. All absolute, mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.interpolate import make_interp_spline

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Vec3, vec
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.lifting import Wing
from geomgen.shapes.aerofoil import angles
from geomgen.shapes.lifting import AerofoilSection, fin_sections, wing_sections

# Places on each side of an outline; at so many the chords are within 2e-5 of the chord of it.
FINE = 160
# Room left beside the skin [mm], so that no rounding of curves runs into it: own choice.
FIT = 0.05
# Step along the span [mm] for slopes.
STEP = 1.0


@dataclass(frozen=True)
class InnerRoom:
    """The sections of a host from inside out; `base` is added to a place along it as written."""

    name: str
    sections: Sequence[AerofoilSection]
    base: float

    @property
    def symmetric(self) -> bool:
        """Say whether it goes through the centre plane to the other side."""
        return self.name != "fin"

    @property
    def ends(self) -> tuple[float, float]:
        """The places of its first and last section [mm]."""
        return self.places[0], self.places[-1]

    @property
    def places(self) -> list[float]:
        """The places of its sections along the span [mm]."""
        return [float(np.dot(section.nose, section.span)) for section in self.sections]

    def point(self, s: float, x: float, u: float) -> Vec3:
        """Return a point in space [mm]."""
        span, up = np.array(self.sections[0].span), np.array(self.sections[0].up)
        return vec(np.array([x, 0.0, 0.0]) + s * span + u * up)

    def outline(self, s: float) -> Floats:
        """Return the outline (2 FINE + 1, 2) [mm] at a place, from the upper edge to the lower."""
        at = self.places
        i = min(max(int(np.searchsorted(at, abs(s))) - 1, 0), len(at) - 2)
        share = (abs(s) - at[i]) / (at[i + 1] - at[i])
        return (1 - share) * _flat(self.sections[i]) + share * _flat(self.sections[i + 1])

    def heights(self, s: float, x: Floats) -> tuple[Floats, Floats]:
        """Return the lower and the upper side (n,) [mm] at stations (n,) [mm]."""
        outline = self.outline(s)
        upper, lower = outline[FINE::-1], outline[FINE:]
        return tuple(  # type: ignore[return-value]
            np.interp(x, np.maximum.accumulate(side[:, 0]), side[:, 1]) for side in (lower, upper)
        )

    def under(self, s: float, x: Floats, skin: float) -> tuple[Floats, Floats]:
        """Return the heights (n,) [mm] that a skin, square to the surface, and `FIT` leave."""
        low, high = self.heights(s, x)
        more = [(skin + FIT) * self._steeper(s, x, side) for side in (0, 1)]
        return low + more[0], high - more[1]

    def _steeper(self, s: float, x: Floats, side: int) -> Floats:
        """Return by how much a skin is thicker upright than square to it [1]."""
        along = self.heights(s, x + STEP)[side] - self.heights(s, x - STEP)[side]
        here, slopes = self.heights(s, x)[side], np.zeros_like(x)
        for way in self._ways(s):
            there = self.heights(s + way, x)[side]
            slopes = np.maximum(slopes, np.abs(there - here) / STEP)
        return np.asarray(np.sqrt(1 + (along / (2 * STEP)) ** 2 + slopes**2))

    def _ways(self, s: float) -> list[float]:
        low, high = self.ends
        return [w for w in (-STEP, STEP) if self._sure(s + w, low, high)]

    def _sure(self, s: float, low: float, high: float) -> bool:
        return low - 1e-6 <= (abs(s) if self.symmetric else s) <= high + 1e-6

    def inset(self, s: float, skin: float) -> Floats:
        """Return the outline (n, 2) [mm] moved in by a skin, square to the surface, and `FIT`."""
        outline = self.outline(s)
        along = np.gradient(outline, axis=0)
        along /= np.linalg.norm(along, axis=1)[:, None]
        across = np.zeros(len(outline))
        for way in self._ways(s):
            moved = (self.outline(s + way) - outline) / STEP
            across = np.maximum(
                across, np.abs(along[:, 0] * moved[:, 1] - along[:, 1] * moved[:, 0])
            )
        inward = np.stack([-along[:, 1], along[:, 0]], axis=1)
        return np.asarray(outline + ((skin + FIT) * np.sqrt(1 + across**2))[:, None] * inward)

    def chord_station(self, s: float, share: float) -> float:
        """Return the station [mm] of a share of the chord at a place, straight between sections."""
        stations = [
            sec.nose[0] + share * sec.chord * float(np.cos(np.radians(sec.angle)))
            for sec in self.sections
        ]
        return float(np.interp(abs(s), self.places, stations))


@lru_cache(maxsize=256)
def _fine(points: bytes) -> bytes:
    given = np.frombuffer(points).reshape(-1, 3)
    theta = angles()
    fine = np.linspace(theta[0], theta[-1], 2 * FINE + 1)
    return np.asarray(make_interp_spline(theta, given, k=3)(fine)).tobytes()


def _flat(section: AerofoilSection) -> Floats:
    points = np.frombuffer(_fine(section.points().tobytes())).reshape(-1, 3)
    return np.stack([points[:, 0], points @ np.array(section.up)], axis=1)


def room_of(p: Parameters, host: str) -> InnerRoom:
    """Return the inner room of wing, tailplane or right-hand fin; GeometryError without the two."""
    if host == "fin" and p.fins is not None:
        return InnerRoom(host, fin_sections(p), p.fins.waterline)
    surface: Wing | None = p.wing if host == "wing" else p.tailplane
    if host == "fin" or surface is None:
        raise GeometryError(f"the file has no {host}", part=host, step="structure")
    return InnerRoom(host, wing_sections(p, surface), 0.0)
