"""Notches of frames: where a stringer passes, cut square to the sheet, with room on each side."""

from collections.abc import Iterator

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import Stringer
from geomgen.shapes.framing.course import SectionCorners, sections
from geomgen.shapes.hull import PodLines

# Sections of a stringer are laid at so many stations along the frame.
ROWS = 25
# A notch is cut so far out past the frame's edge [mm].
PAST = 30.0


def notches(
    p: Parameters, pod: PodLines, front: Frame, thickness: float, reach: tuple[float, float]
) -> Iterator[tuple[str, Floats]]:
    """Yield of every stringer that passes a frame its name and the notch's outline (n, 2) [mm].

    `front` is the plane of the frame's front face, `reach` the stations [mm] between which the
    frame lies. The outline holds the stringer, grown by its clearance, at both faces.
    """
    for stringer in p.stringers:
        low, high = max(reach[0], stringer.start), min(reach[1], stringer.end)
        if low >= high:
            continue
        x = np.linspace(*_widened(reach, pod), ROWS)
        grown = sections(stringer, pod, x, stringer.notch_clearance)
        found = _outline(stringer, grown, front, thickness)
        if found is None:
            continue
        hand = "_right" if stringer.mirrored else ""
        yield f"stringer_{stringer.name}{hand}", found
        if stringer.mirrored:
            yield f"stringer_{stringer.name}_left", found * [-1.0, 1.0]


def _widened(reach: tuple[float, float], pod: PodLines) -> tuple[float, float]:
    """Return stations [mm] beyond those of a frame, within the pod: notches reach past its edge."""
    more = PAST + 1.0
    return max(reach[0] - more, pod.start + 0.1), min(reach[1] + more, pod.end - 0.1)


def _outline(
    stringer: Stringer, grown: SectionCorners, front: Frame, thickness: float
) -> Floats | None:
    out = np.c_[np.zeros(len(grown.inward)), -PAST * grown.inward]
    own = grown.corners.transpose(1, 0, 2)
    edges = [own[0] + out, own[1] + out, *own]
    points = []
    for behind in (0.0, thickness):
        crossed = [_crossing(edge, front, behind) for edge in edges]
        if all(x is not None for x in crossed):
            points += [x for x in crossed if x is not None]
    if not points:
        return None
    at = np.array(points)
    if at[:, 0].max() <= stringer.start or at[:, 0].min() >= stringer.end:
        return None
    hull = shapely.MultiPoint(front.flat(at)).convex_hull
    return np.array(hull.exterior.coords)[:-1]


def _crossing(edge: Floats, front: Frame, behind: float) -> Floats | None:
    """Return where an edge (m, 3) [mm] passes a plane so far behind the front; None if it misses.

    Heights over the front rise along the edge: the frame leans less than the edge runs aft.
    """
    off = front.height(edge) - behind
    if not off[0] <= 0.0 <= off[-1]:
        return None
    return np.array([np.interp(0.0, off, edge[:, i]) for i in range(3)])
