"""What would do where a joint can't be made: the values at which an end lies inside the other."""

from collections.abc import Iterable
from itertools import pairwise

import numpy as np

from geomgen.arrays import Floats
from geomgen.kernel.lofting.lines import Lines
from geomgen.parameters.records.aircraft import Joint, Parameters
from geomgen.shapes.aerofoil import HALF
from geomgen.shapes.booms import boom_lines
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.lifting import (
    AerofoilSection,
    fin_sections,
    outline_at,
    pylon_sections,
    wing_sections,
)

Range = tuple[float, float]
# So many places along a section are asked for.
PLACES = 25


def advice(p: Parameters, joint: Joint) -> str:
    """Say which value to change, and to what [mm], so that a joint can be made."""
    pair = (joint.trim, joint.to)
    if pair == ("pylon", "wing"):
        return _end("pylon.waterline_high", "the wing", _written_high(p), _pylon_in_wing(p))
    if pair == ("pylon", "pod"):
        return _end("pylon.waterline_low", "the pod", _written_low(p), _pylon_in_pod(p))
    if pair == ("fin", "boom") and p.fins is not None:
        written = p.fins.sections[0].height
        room = _less(_fin_in_boom(p), p.fins.waterline)
        return _end("fins.sections.0.height", "the boom", written, room)
    if pair == ("tailplane", "boom") and p.tailplane is not None:
        last = len(p.tailplane.sections) - 1
        key, tip = f"tailplane.sections.{last}.buttock_line", p.tailplane.sections[-1]
        return _end(key, "the boom", tip.buttock_line, _tailplane_in_boom(p))
    return f"Move the {joint.trim} or the {joint.to}, or take the joint out of the file"


def _end(key: str, other: str, written: float, room: Range | None) -> str:
    name = key.split(".", maxsplit=1)[0]
    if room is None:
        return (
            f"{key} is {written:.1f} mm, and no value of it puts this end wholly inside {other}: "
            f"move the {name}, or take a shorter chord"
        )
    low, high = room
    return f"{key} is {written:.1f} mm: between {low:.1f} and {high:.1f} mm this end is in {other}"


def _written_high(p: Parameters) -> float:
    return p.pylon.waterline_high if p.pylon else 0.0


def _written_low(p: Parameters) -> float:
    return p.pylon.waterline_low if p.pylon else 0.0


def _less(room: Range | None, by: float) -> Range | None:
    return None if room is None else (room[0] - by, room[1] - by)


def _common(rooms: Iterable[Range | None]) -> Range | None:
    """Return the range that all ranges share; None where there is none."""
    low, high = -np.inf, np.inf
    for room in rooms:
        if room is None:
            return None
        low, high = max(low, room[0]), min(high, room[1])
    return (float(low), float(high)) if low < high else None


def _pylon_in_wing(p: Parameters) -> Range | None:
    if p.pylon is None:
        return None
    wing = wing_sections(p, p.wing)
    return _common(_heights(outline_at(wing, abs(y)), x) for x, y in _plan(pylon_sections(p)[-1]))


def _pylon_in_pod(p: Parameters) -> Range | None:
    if p.pylon is None:
        return None
    lines = pod_lines(p).lines
    return _common(_depth(lines, x, y) for x, y in _plan(pylon_sections(p)[0]))


def _fin_in_boom(p: Parameters) -> Range | None:
    lines = boom_lines(p)
    return _common(_depth(lines, x, y) for x, y in _plan(fin_sections(p)[0]))


def _tailplane_in_boom(p: Parameters) -> Range | None:
    """Return the buttock lines between the sides of the boom, along the tip section."""
    if p.tailplane is None:
        return None
    lines = boom_lines(p)
    points = wing_sections(p, p.tailplane)[-1].points()[:: HALF // PLACES * 2 or 1]
    return _common(_breadth(lines, float(x), float(z)) for x, _, z in points)


def _plan(section: AerofoilSection) -> list[tuple[float, float]]:
    """Return stations and buttock lines [mm] of places round an upright section."""
    points = section.points()[:: HALF // PLACES or 1]
    return [(float(x), float(y)) for x, y, _ in points]


def _heights(points: Floats, x: float) -> Range | None:
    """Return the waterlines of lower and upper side of an outline (k, 3) at a station, or None."""
    upper, lower = points[HALF::-1], points[HALF:]
    if not points[HALF, 0] <= x <= min(upper[-1, 0], lower[-1, 0]):
        return None
    high, low = (float(np.interp(x, side[:, 0], side[:, 2])) for side in (upper, lower))
    return low, high


def _outline(lines: Lines, x: float) -> Floats | None:
    """Return the right-hand half (k, 2) of a body's section at a station; None beyond its ends."""
    low, high = (float(lines.station(v)) for v in lines.v_range)
    return lines.section(x) if low <= x <= high else None


def _depth(lines: Lines, x: float, y: float) -> Range | None:
    """Return the waterlines between which a buttock line lies inside a body at a station."""
    half = _outline(lines, x)
    if half is None:
        return None
    found = _crossed(half[:, 1], half[:, 0], lines.centre + abs(y - lines.centre))
    return (min(found), max(found)) if len(found) > 1 else None


def _breadth(lines: Lines, x: float, z: float) -> Range | None:
    """Return the buttock lines between which a waterline lies inside a body at a station."""
    half = _outline(lines, x)
    found = [] if half is None else _crossed(half[:, 0], half[:, 1], z)
    return (2 * lines.centre - max(found), max(found)) if found else None


def _crossed(along: Floats, across: Floats, level: float) -> list[float]:
    """Return where along an outline its other coordinate passes a level."""
    return [
        float(a + (level - c) / (d - c) * (b - a))
        for (a, b), (c, d) in zip(pairwise(along), pairwise(across), strict=True)
        if (c - level) * (d - level) <= 0 and c != d
    ]
