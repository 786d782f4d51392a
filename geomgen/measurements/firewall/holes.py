"""Holes of the firewall against the fittings that are to close them: neither may be alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, degrees, fsum

import numpy as np
from numpy.typing import NDArray

from geomgen.kernel.plain import Fitting, Plane, Vec3
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# A fitting closes a hole whose rim it covers within this, at most so far along its axis [mm].
CLOSE, ALONG = 0.01, 10.0
# A fitting whose axis leans further than this from square to the sheet seals no hole [deg]: own
# choice. One that lies flat has the whole of a small hole within its length and its radius.
LEAN = 5.0
METHOD = (
    "rims of the holes in the sheet's middle plane against the places of the fittings, which have "
    f"to stand square to the sheet within {LEAN:g} deg"
)


@dataclass(frozen=True)
class SheetHole:
    """A hole in the sheet's plane: points of its rim (n, 3) [mm] and its area [mm2]."""

    rim: NDArray[np.float64]
    area: float

    @property
    def where(self) -> str:
        """Return the middle of the hole as a place."""
        x, y, z = ((self.rim.min(axis=0) + self.rim.max(axis=0)) / 2).tolist()
        return place((x, y, z))

    def closed_by(self, fitting: Fitting) -> bool:
        """Say whether a fitting that stands square to the sheet covers the whole rim."""
        off = self.rim - np.array(fitting.axis.origin)
        along = off @ np.array(fitting.axis.direction)
        across = np.linalg.norm(off - along[:, None] * np.array(fitting.axis.direction), axis=1)
        return bool(across.max() <= fitting.radius + CLOSE and np.abs(along).max() <= ALONG)


def holes_and_fittings(
    holes: Sequence[SheetHole], fittings: Sequence[Fitting], plane: Plane, seed: Vec3, bound: float
) -> list[Measurement]:
    """Return the area [mm2] of holes that no fitting closes, and how many fittings close none.

    `plane` is the sheet's, `bound` is how far the areas may be off [mm2].
    """
    upright = [f for f in fittings if _leans(f, plane) <= LEAN]
    bare = [hole for hole in holes if not any(hole.closed_by(f) for f in upright)]
    astray = [f for f in fittings if f not in upright or not any(h.closed_by(f) for h in holes)]
    wide = [f"{hole.area:.0f} mm^2 at {hole.where}" for hole in bare]
    lost = [
        f"{f.use} at {place(f.axis.origin)}"
        + ("" if f in upright else f", which leans {_leans(f, plane):.1f} deg from square to it")
        for f in astray
    ]
    return [
        Measurement(
            "firewall.open_holes", "firewall", "holes in the sheet that no fitting closes",
            fsum(hole.area for hole in bare), "mm2", METHOD, bound if bare else 0.0, place(seed),
            note="no fitting closes: " + ", ".join(wide) if bare else "",
        ),
        Measurement(
            "firewall.astray_fittings", "firewall", "fittings that stand in no hole of the sheet",
            float(len(astray)), "1", METHOD, 0.0, place(seed),
            note="no hole of its own in the sheet: " + ", ".join(lost) if astray else "",
        ),
    ]  # fmt: skip


def _leans(fitting: Fitting, plane: Plane) -> float:
    """Return the angle [deg] between a fitting's axis and the way square to the sheet."""
    cosine = abs(float(np.dot(fitting.axis.direction, plane.normal)))
    return degrees(acos(min(cosine, 1.0)))
