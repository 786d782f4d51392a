"""The two booms: full bodies through their stations, the left one the mirror of the right."""

from geomgen.kernel.lofting.bodies import body, outer_skin
from geomgen.kernel.lofting.lines import Lines, lay
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.hull import full_body
from geomgen.shapes.lines.control_stations import boom_stations
from geomgen.shapes.piece import Cutter, Knife, NamedSolid


def boom_lines(p: Parameters) -> Lines:
    """Lay the lines of the right-hand boom."""
    return lay(boom_stations(p), "booms")


def booms(p: Parameters) -> list[NamedSolid]:
    """Return the right and the left boom."""
    lines = boom_lines(p)
    solid = body(outer_skin(lines), "booms")
    right = NamedSolid("boom_right", "boom", solid, (0.42, 0.50, 0.58))
    return [right, right.on_the_left()]


def boom_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the booms."""
    right = Cutter("boom_right", _knife(p, boom_lines(p)))
    return [right, right.on_the_left()]


def _knife(p: Parameters, lines: Lines) -> Knife:
    low, high = p.booms.stations[0].station, p.booms.stations[-1].station
    return lambda gap, near: full_body(lines, gap, near, (low, high), "booms")
