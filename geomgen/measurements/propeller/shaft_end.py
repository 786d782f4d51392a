"""Whether a shaft that is drawn reaches the hub: its end against the front of the blades' roots."""

import numpy as np

from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.solids.distance import on_axis
from geomgen.kernel.solids.line_crossings import LineCrossings
from geomgen.measurements.place import place
from geomgen.measurements.propeller.swept import Swept
from geomgen.measurements.record import Measurement

ID = "prop.shaft_end"
# A crossing of the thrust line is found to this [mm]; it is looked for so far off.
EXACT, FAR = 1e-5, 2e4
# What ends the engine is a shaft where so much of its end [mm] keeps within the hub's hole.
END = 5.0


def shaft_end(swept: Swept, name: str, body: Body) -> Measurement | None:
    """Return how far a shaft on the thrust line ends ahead of the hub [mm]; negative inside it.

    None where the engine does not end in a shaft: no shaft is drawn then.
    """
    axis = swept.axis
    passed = LineCrossings(body.solid, EXACT).along(axis.origin, axis.direction, -FAR, FAR)
    if not passed:
        return None
    end = max(far for far, _ in passed)
    off = body.mesh.vertices - np.array(axis.origin)
    high = off @ np.array(axis.direction)
    wide = np.linalg.norm(off - np.outer(high, axis.direction), axis=1)
    near = high > end - END
    if not near.any() or np.any(wide[near] > swept.hole):
        return None
    front = min(s for s, r in swept.profile if r < swept.hole + EXACT)
    tip, hub = on_axis(axis, end), on_axis(axis, front)
    return Measurement(
        ID,
        name,
        "from the shaft's end to the front of the hub",
        front - end,
        "mm",
        "last crossing of the thrust line with the engine's solid, against the front of the "
        "blades' roots",
        EXACT,
        place(tip),
        (tip, hub),
    )
