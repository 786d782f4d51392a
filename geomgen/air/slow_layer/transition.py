"""Where the slow layer turns turbulent: by itself, at a trip, or where it leaves the surface."""

import numpy as np

from geomgen.arrays import Floats

# A turbulent layer does not hold below this Reynolds number of the momentum thickness: Preston,
# Journal of Fluid Mechanics 3, 1958. MEMORY.
HOLDS = 320.0
# A laminar layer that leaves the surface comes back turbulent after a short bubble when the
# Reynolds number of its displacement thickness is above this: Owen and Klanfer, 1953 (they say
# 400 to 500). MEMORY.
SHORT_BUBBLE = 500.0


def limit(reached: Floats) -> Floats:
    """Return the Re of the momentum thickness [1] at which a layer turns by itself.

    Equation: 1.174 (1 + 22400 / Re) Re^0.46, Re that of the length run.
    Range: Re 0.3 to 20 million, plane flow, a smooth surface in quiet air; behind dirt, waves and
    in the propeller's noise it turns earlier.
    Source: Michel, 1951, in the form of Cebeci and Smith. Status: MEMORY.

    >>> [round(float(x)) for x in limit(np.array([1e6, 1e7]))]
    [691, 1953]
    """
    run = np.maximum(reached, 1.0)
    return np.asarray(1.174 * (1.0 + 22400.0 / run) * run**0.46)


def crossing(stations: Floats, values: Floats) -> float | None:
    """Return the first station [mm] at which values [1] reach nought from below, or None.

    >>> crossing(np.array([0.0, 10.0, 20.0]), np.array([-3.0, -1.0, 1.0]))
    15.0
    """
    above = np.flatnonzero(values >= 0)
    if not len(above):
        return None
    first = int(above[0])
    if first == 0:
        return float(stations[0])
    low, high = values[first - 1 : first + 1]
    share = float(-low / (high - low)) if np.isfinite(low) else 1.0
    return float(stations[first - 1] + share * (stations[first] - stations[first - 1]))
