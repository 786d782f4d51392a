"""The firewall: a sheet across the hull on a plane that may lean, with its flange along the hull.

The outline is not drawn: sheet and flange are cut out of bodies that stand off the hull's lines by
wall, gap and sheet, so that the gap to the hull is the same all round.
"""

from math import cos, radians, sin, tan

import numpy as np
from scipy.optimize import brentq

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bodies import LoftedSkin, body, tray
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.lofting.sewing import Lean
from geomgen.kernel.plain import Axis, Fitting, Plane, Vec3
from geomgen.kernel.trimming.drilling import Drill, drilled
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import PodLines
from geomgen.shapes.piece import NamedSolid

# The skin is looked at no nearer to the pod's ends [mm].
ENDS = 1.0


def firewall_frame(p: Parameters) -> tuple[Vec3, Vec3]:
    """Return the firewall's point on the thrust line [mm] and its unit normal, pointing aft."""
    lean = radians(p.firewall.tilt)
    return (p.firewall.station, 0.0, p.propeller.waterline), (cos(lean), 0.0, -sin(lean))


def firewall_station(p: Parameters, waterline: float) -> float:
    """Return the station [mm] of the firewall's front face at a waterline [mm]."""
    rise = waterline - p.propeller.waterline
    return float(p.firewall.station + rise * tan(radians(p.firewall.tilt)))


def station_at_skin(p: Parameters, pod: PodLines, out: tuple[float, float]) -> float:
    """Return the station [mm] at which the sheet's front plane meets the outer skin.

    `out` is the unit direction (y, z) [1] from the middle of the section to that place of the skin.
    """
    if p.firewall.tilt == 0.0:
        return float(p.firewall.station)

    def off(station: float) -> float:
        return station - firewall_station(p, _skin_waterline(pod, station, out))

    low, high = pod.start + ENDS, pod.end - ENDS
    if not off(low) < 0.0 < off(high):
        raise GeometryError(
            "the plane of the leaning firewall leaves the hull there: write the mouth as a station",
            part="firewall",
            step="mouth at firewall",
            look_at=["firewall.tilt", "scoops"],
        )
    return float(brentq(off, low, high, xtol=1e-9))


def _skin_waterline(pod: PodLines, station: float, out: tuple[float, float]) -> float:
    """Return the waterline [mm] of the outer skin in a direction from the section's middle."""
    middle = float(pod.lines.curves["breadth_height"](pod.lines.at_station(station)))
    right = pod.half_section(station)
    every = np.vstack([right, (right * [-1.0, 1.0])[::-1]]) - np.array([0.0, middle])
    along, across = every @ np.array(out), every @ np.array([-out[1], out[0]])
    order = np.argsort(across[along > 0])
    reach = np.interp(0.0, across[along > 0][order], along[along > 0][order])
    return middle + out[1] * float(reach)


def firewall(p: Parameters, pod: PodLines) -> NamedSolid:
    """Return the sheet with its flange and holes."""
    f = p.firewall
    sheet, inward = f.thickness, pod.wall + f.gap
    aft = f.flange_direction == "aft"
    low, high = (0.0, sheet + f.flange) if aft else (-f.flange, sheet)
    outer = _skin(p, pod, inward, low, high)
    if f.flange:
        a, b = (sheet, high) if aft else (low, 0.0)
        pocket = _skin(p, pod, inward + sheet, a, b)
        solid = tray(outer, pocket, outer.end if aft else outer.start, "firewall")
    else:
        solid = body(outer, "firewall")
    _, normal = firewall_frame(p)
    for hole in f.penetrations:
        start = _on_face(p, hole.buttock_line, hole.waterline, -sheet)
        drill = Drill(start, normal, hole.diameter / 2, 3 * sheet)
        solid = drilled(solid, [drill], "firewall", f"hole for {hole.use}")
    return NamedSolid("firewall", "firewall", solid, (0.62, 0.62, 0.66))


def fittings(p: Parameters) -> list[Fitting]:
    """Return the fittings that are to close the sheet's holes, each as wide as its hole."""
    _, normal = firewall_frame(p)
    return [
        Fitting(
            hole.use,
            Axis(_on_face(p, hole.buttock_line, hole.waterline, 0.0), normal),
            hole.diameter / 2,
        )
        for hole in p.firewall.penetrations
    ]


def _skin(p: Parameters, pod: PodLines, inward: float, low: float, high: float) -> LoftedSkin:
    """Return the hull's inside drawn in by `inward`, between two distances behind the face."""
    slope = tan(radians(p.firewall.tilt))
    along = 1.0 / cos(radians(p.firewall.tilt))
    start, end = p.firewall.station + low * along, p.firewall.station + high * along
    lean = Lean(slope, p.propeller.waterline)
    return offset_skin(pod.lines, inward, start, end, "pod", lean)


def _on_face(p: Parameters, buttock_line: float, waterline: float, behind: float) -> Vec3:
    _, normal = firewall_frame(p)
    x = firewall_station(p, waterline)
    return (x + behind * normal[0], buttock_line, waterline + behind * normal[2])


def mid_plane(p: Parameters) -> tuple[Plane, Vec3]:
    """Return the plane half-way through the sheet and a point of it [mm] inside the hull."""
    origin, normal = firewall_frame(p)
    half = p.firewall.thickness / 2
    x, y, z = (o + half * n for o, n in zip(origin, normal, strict=True))
    return Plane((x, y, z), normal), (x, y, z)
