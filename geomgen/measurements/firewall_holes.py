"""Holes of the firewall against the fittings that are to close them: neither may be alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np
from numpy.typing import NDArray

from geomgen.kernel.plain import Fitting, Vec3
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

# A fitting closes a hole whose rim it covers within this, at most so far along its axis [mm].
CLOSE, ALONG = 0.01, 10.0
METHOD = "rims of the holes in the sheet's middle plane against the places of the fittings"


@dataclass(frozen=True)
class Hole:
    """A hole in the sheet's plane: points of its rim (n, 3) [mm] and its area [mm2]."""

    rim: NDArray[np.float64]
    area: float

    @property
    def where(self) -> str:
        """Return the middle of the hole as a place."""
        x, y, z = ((self.rim.min(axis=0) + self.rim.max(axis=0)) / 2).tolist()
        return place((x, y, z))

    def closed_by(self, fitting: Fitting) -> bool:
        """Say whether a fitting covers the whole rim."""
        off = self.rim - np.array(fitting.axis.origin)
        along = off @ np.array(fitting.axis.direction)
        across = np.linalg.norm(off - along[:, None] * np.array(fitting.axis.direction), axis=1)
        return bool(across.max() <= fitting.radius + CLOSE and np.abs(along).max() <= ALONG)


def holes_and_fittings(
    holes: Sequence[Hole], fittings: Sequence[Fitting], seed: Vec3, bound: float
) -> list[Measurement]:
    """Return the area [mm2] of holes that no fitting closes, and how many fittings close none.

    `bound` is how far the areas may be off [mm2].
    """
    bare = [hole for hole in holes if not any(hole.closed_by(f) for f in fittings)]
    astray = [f for f in fittings if not any(hole.closed_by(f) for hole in holes)]
    wide = [f"{hole.area:.0f} mm2 at {hole.where}" for hole in bare]
    lost = [f"{f.use} at {place(f.axis.origin)}" for f in astray]
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
