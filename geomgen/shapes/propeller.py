"""The swept volume of the propeller, the spinner, the thrust line."""

from math import cos, radians, sin

import numpy as np

from geomgen.kernel.brep.primitives import revolved, tilted
from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import lay
from geomgen.kernel.plain import Axis, Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import round_stations
from geomgen.shapes.lifting import trailing_edge_at
from geomgen.shapes.piece import NamedSolid

# Room between spinner and the roots of the blades' swept volume [mm].
ROOT_ROOM = 1.0
SPINNER_STATIONS = 9


def blade_plane(p: Parameters) -> float:
    """Return the station of the blade plane on the thrust line [mm].

    Given as it stands, or so far behind the wing's trailing edge as a fraction of the local chord.
    """
    if p.propeller.station is not None:
        return float(p.propeller.station)
    edge, chord = trailing_edge_at(p, p.propeller.behind_at)
    return edge + float(p.propeller.behind_trailing_edge or 0.0) * chord


def thrust_line(p: Parameters) -> Axis:
    """Return the thrust line through the middle of the blades, its direction aft."""
    lean = radians(p.propeller.thrust_tilt)
    origin = (blade_plane(p), 0.0, p.propeller.waterline)
    return Axis(origin, (cos(lean), 0.0, -sin(lean)))


def prop_disc(p: Parameters) -> NamedSolid:
    """Return the ring that the blades sweep: pitched depth, flex at the tips, shake all round."""
    q = p.propeller
    inner = q.hub_diameter / 2
    if p.spinner is not None:
        inner = max(inner, p.spinner.diameter / 2 + ROOT_ROOM)
    outer = q.diameter / 2 + q.mount_travel_radial
    root = q.blade_depth / 2 + q.mount_travel_axial
    tip = root + q.flex
    profile = [(-root, inner), (-tip, outer), (tip, outer), (root, inner)]
    return NamedSolid(
        "prop_disc", "prop_disc", revolved(profile, thrust_line(p)), (0.35, 0.65, 0.85)
    )


def spinner(p: Parameters) -> NamedSolid | None:
    """Return the spinner: flat base at the front of the blade roots, round aft end."""
    if p.spinner is None:
        return None
    angle = np.linspace(0, np.pi / 2, SPINNER_STATIONS)
    base = blade_plane(p) - p.propeller.blade_depth / 2
    x = base + p.spinner.length * np.sin(angle)
    radius = p.spinner.diameter / 2 * np.cos(angle)
    radius[-1] = 0.0
    lines = lay(round_stations(x, radius, p.propeller.waterline, "flat", "round"), "spinner")
    about: Vec3 = thrust_line(p).origin
    solid = tilted(body(outer_skin(lines), "spinner"), about, p.propeller.thrust_tilt)
    return NamedSolid("spinner", "spinner", solid, (0.85, 0.35, 0.30))
