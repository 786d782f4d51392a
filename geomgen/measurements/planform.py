"""Span, area and mean chord of a wing, from many cuts of its proven mesh."""

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.sections.section import MeshSlices, ends
from geomgen.measurements.record import Measurement

CUTS = 2000


def planform(name: str, wing: Body) -> list[Measurement]:
    """Return wing.span [mm], wing.area [mm2] and wing.mean_aerodynamic_chord [mm].

    The chord is taken in the plane of each cut; area and mean aerodynamic chord are its integrals
    over the span (midpoint rule), the mean chord being the integral of c^2 over that of c.
    """
    low, high = wing.mesh.vertices[:, 1].min(), wing.mesh.vertices[:, 1].max()
    at = low + (np.arange(CUTS) + 0.5) / CUTS * (high - low)
    slices = MeshSlices(wing.mesh)
    chords = np.array([_chord(slices.at(float(y))) for y in at])
    step = (high - low) / CUTS
    area, moment = step * chords.sum(), step * (chords**2).sum()
    method = f"chords of {CUTS} cuts of the verified mesh"
    bound = 2 * wing.deviation
    return [
        Measurement("wing.span", name, "span", float(high - low), "mm", method, bound),
        Measurement("wing.area", name, "area", float(area), "mm2", method, bound * (high - low)),
        Measurement(
            "wing.mean_aerodynamic_chord",
            name,
            "mean aerodynamic chord",
            float(moment / area),
            "mm",
            method,
            2 * bound,
        ),
    ]


def _chord(points: Floats) -> float:
    fore, aft = ends(points, (1.0, 0.0, 0.0))
    return float(np.linalg.norm(aft - fore))
