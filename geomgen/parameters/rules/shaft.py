"""What to do where a shaft of the engine is drawn into the spinner that it carries."""

from math import cos, radians, tan
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.records.engine_bay import EngineCylinder

# A cylinder whose axis ends no further off the thrust line is a shaft, in its own diameters: one
# that lies level under a thrust line that leans is off by a little.
COAXIAL = 0.25


def shaft_advice(p: "Parameters") -> str:
    """Return by how much which shafts are to be shorter; empty where none ends in the spinner.

    The spinner is drawn solid, so a shaft ends at its base; what is longer shares space with it.
    """
    if p.engine is None or p.spinner is None:
        return ""
    found = [
        (c.name, c.station + c.length, base_before(p, c))
        for c in p.engine.cylinders
        if is_shaft(p, c)
    ]
    return "; ".join(
        f"shorten engine.cylinders '{name}' by {end - base + 0.005:.2f} mm or more: it ends at STA "
        f"{end:.2f}, the spinner, drawn solid, begins at STA {base:.2f}"
        for name, end, base in found
        if end > base
    )


def base_before(p: "Parameters", c: "EngineCylinder") -> float:
    """Return the first station [mm] of the spinner's base, leaning as it does, before a shaft.

    The base is square to the thrust line, half a blade's depth ahead of the blade plane.
    """
    q, turn = p.propeller, radians(p.propeller.thrust_tilt)
    above = c.waterline - q.waterline
    ahead = q.blade_depth / 2 / cos(turn) + c.diameter / 2 * abs(tan(turn))
    return blade_plane(p) + above * tan(turn) - ahead


def is_shaft(p: "Parameters", c: "EngineCylinder") -> bool:
    """Say whether a cylinder lies along the thrust line, where it ends."""
    behind = blade_plane(p) - c.station - c.length
    line = p.propeller.waterline + behind * tan(radians(p.propeller.thrust_tilt))
    off = max(abs(c.buttock_line), abs(c.waterline - line))
    return c.axis == "x" and off <= COAXIAL * c.diameter


def blade_plane(p: "Parameters") -> float:
    """Return the station [mm] of the blade plane, given as it stands or behind the wing."""
    from geomgen.parameters.rules.planform import trailing_edge_at

    q = p.propeller
    if q.station is not None:
        return q.station
    edge, chord = trailing_edge_at(p.wing, q.behind_at)
    return edge + (q.behind_trailing_edge or 0.0) * chord
