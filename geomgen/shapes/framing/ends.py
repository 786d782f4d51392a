"""Where a half frame is cut off straight: at a height, or clear of the wing or the canopy.

The cut is level and square to the sheet; heights count up the plane of its front face.
"""

import numpy as np
from scipy.interpolate import make_interp_spline

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Plane, vec
from geomgen.kernel.plane_frame import Frame
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import WING, FrameSheet
from geomgen.shapes.aerofoil import angles
from geomgen.shapes.lifting import wing_sections

# Places looked at: round each outline of the wing, across it, along a sill.
ROUND, ACROSS, ALONG = 20001, 15, 20001
STEP = "ends"


def end_heights(p: Parameters, frame: FrameSheet, front: Frame) -> tuple[float, float]:
    """Return how high a frame's cuts below and above lie up its front plane [mm]; else infinite.

    GeometryError where the wing or canopy that it is to end at does not cross it, or where an end
    lies in a wing that passes through the pod.
    """
    low = high = None
    if frame.under is not None:
        high = _clear(p, frame, front, frame.under, 1.0)
    elif frame.top is not None:
        high = _up(front, frame.top)
    if frame.over is not None:
        low = _clear(p, frame, front, frame.over, -1.0)
    elif frame.bottom is not None:
        low = _up(front, frame.bottom)
    _refuse_in_wing(p, frame, front)
    return -np.inf if low is None else low, np.inf if high is None else high


def end_planes(p: Parameters, frame: FrameSheet, front: Frame) -> tuple[Plane, ...]:
    """Return the planes of a frame's straight cuts [mm], normals outward; none of a whole one."""
    rows = zip(end_heights(p, frame, front), (-1.0, 1.0), strict=True)
    return tuple(
        Plane(front.lifted((0.0, float(v))), vec(way * np.array(front.up)))
        for v, way in rows
        if np.isfinite(v)
    )


def _up(front: Frame, waterline: float) -> float:
    return (waterline - front.origin[2]) / front.up[2]


def _clear(p: Parameters, frame: FrameSheet, front: Frame, of: str, way: float) -> float:
    """Return the height [mm] up to which (`way` 1), or from which (-1), a frame is clear of it."""
    points = _wing_points(p) if of == WING else _sill_points(p)
    up, aside = _seen(points, frame, front)
    near = aside < frame.end_gap
    if not near.any():
        start, end = points[:, 0].min(), points[:, 0].max()
        raise GeometryError(
            f"the {of}, from STA {start:.0f} to {end:.0f} mm, does not cross it: "
            f"{'top' if way > 0 else 'bottom'} gives the height of a cut",
            part=f"frame_{frame.name}",
            step=STEP,
        )
    room = np.sqrt(frame.end_gap**2 - aside[near] ** 2)
    return way * float((way * up[near] - room).min())


def _seen(points: Floats, frame: FrameSheet, front: Frame) -> tuple[Floats, Floats]:
    """Return of points (n, 3) how high they are up a sheet (n,), how far off between its faces."""
    behind = front.height(points)
    aside = np.maximum(np.maximum(-behind, behind - frame.thickness), 0.0)
    return front.flat(points)[:, 1], aside


def _refuse_in_wing(p: Parameters, frame: FrameSheet, front: Frame) -> None:
    """Raise GeometryError where a stated height lies in a wing that passes through the pod."""
    if any(joint.trim == WING and joint.to == "pod" for joint in p.joints):
        return
    rows = (("top", frame.top, "under"), ("bottom", frame.bottom, "over"))
    given = [(key, at, word) for key, at, word in rows if at is not None]
    if not given:
        return
    up, aside = _seen(_wing_points(p), frame, front)
    inside = up[aside == 0.0]
    if not len(inside):
        return
    low, high = (front.lifted((0.0, float(v)))[2] for v in (inside.min(), inside.max()))
    for key, at, word in given:
        if low < at < high:
            least, most = low - frame.end_gap, high + frame.end_gap
            raise GeometryError(
                f"its {key}, WL {at:g} mm, lies in the wing, which stands between WL {low:.1f} and "
                f'{high:.1f} mm there: {word} = "{WING}", or '
                + (f"at most {least:.1f} mm" if key == "top" else f"at least {most:.1f} mm"),
                part=f"frame_{frame.name}",
                step=STEP,
            )


def _wing_points(p: Parameters) -> Floats:
    """Return points (n, 3) [mm] of the right-hand wing's skin, out to the pod's breadth."""
    sections = wing_sections(p, p.wing)
    wide = max(station.breadth for station in p.pod.stations) / 2
    theta = angles()
    fine = np.linspace(theta[0], theta[-1], ROUND)
    places = [section.nose[1] for section in sections]
    across = np.unique(np.clip(np.linspace(0.0, wide, ACROSS), places[0], places[-1]))
    inner = int(np.searchsorted(places, across[-1])) + 1
    rows = np.array(
        [make_interp_spline(theta, one.points(), k=3)(fine) for one in sections[: max(inner, 2)]]
    )
    found = []
    for y in across:
        i = min(max(int(np.searchsorted(places, y)) - 1, 0), len(rows) - 2)
        share = (y - places[i]) / (places[i + 1] - places[i])
        found.append((1.0 - share) * rows[i] + share * rows[i + 1])
    return np.concatenate(found)


def _sill_points(p: Parameters) -> Floats:
    c = p.canopy
    assert c is not None
    ends = (c.fore_station, c.aft_station)
    x = np.linspace(*ends, ALONG)
    return np.stack([x, np.zeros_like(x), np.interp(x, ends, (c.fore_sill, c.aft_sill))], axis=-1)
