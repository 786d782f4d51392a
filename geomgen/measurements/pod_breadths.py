"""How broad the pod is along its length, from cuts of the proven meshes."""

from collections.abc import Mapping

import numpy as np

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.sections.section import MeshSlices
from geomgen.measurements.place import place
from geomgen.measurements.record import Measurement

ID = "pod.breadths"
CUTS = 40
METHOD = (
    f"largest breadth of pod, exit rim and scoops together at {CUTS} cuts of the verified meshes, "
    "each in the middle of an equal share of the length; with it, in mm, front end, back end, and "
    "the breadth and the waterline half-way between keel and crown at each cut from the front on"
)


def pod_breadths(parts: Mapping[str, Body]) -> Measurement:
    """Return the record of the breadths [mm] of the pod and what stands on its skin."""
    every = np.concatenate([body.mesh.vertices for body in parts.values()])
    low, high = float(every[:, 0].min()), float(every[:, 0].max())
    at = low + (np.arange(CUTS) + 0.5) / CUTS * (high - low)
    slices = [MeshSlices(body.mesh, axis=0) for body in parts.values()]
    cuts = [np.concatenate([each.at(x) for each in slices]) for x in at.tolist()]
    there = np.array([len(points) > 0 for points in cuts])
    if not there.any():
        raise GeometryError("no cut across it meets its mesh", part=next(iter(parts)), step="pod")
    widths = [float(np.ptp(points[:, 1])) for points in cuts if len(points)]
    middles = [float(p[:, 2].min() + p[:, 2].max()) / 2 for p in cuts if len(p)]
    # A cut in the gap before the exit rim meets nothing: its neighbours tell.
    breadths, heights = (np.interp(at, at[there], known) for known in (widths, middles))
    broadest = int(breadths.argmax())
    rows = {"front": low, "back": high}
    for i, (breadth, height) in enumerate(zip(breadths.tolist(), heights.tolist(), strict=True)):
        rows |= {f"breadth {i + 1}": breadth, f"waterline {i + 1}": height}
    point = (float(at[broadest]), 0.0, float(heights[broadest]))
    return Measurement(
        ID,
        next(iter(parts)),
        "largest breadth",
        float(breadths[broadest]),
        "mm",
        METHOD,
        2 * max(body.deviation for body in parts.values()),
        f"broadest at {place(point)}",
        (point,),
        further=tuple(rows.items()),
    )
