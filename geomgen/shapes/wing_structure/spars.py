"""Spars as solids: caps and webs one by one, or a tube; through the centre plane in one piece."""

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import ring
from geomgen.kernel.lofting.straight import straight_solid
from geomgen.kernel.plain import Axis
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import BOX, CAPS, CHANNEL, TUBE, Spar
from geomgen.shapes.piece import NamedSolid
from geomgen.shapes.wing_structure.inner_room import InnerRoom, room_of
from geomgen.shapes.wing_structure.spar_lines import (
    SparHalf,
    SparSection,
    between,
    halves,
    spar_sections,
)

COLOURS = {"cap": (0.80, 0.62, 0.36), "web": (0.70, 0.52, 0.34), "tube": (0.62, 0.64, 0.68)}
CAUTION = (
    "spars and ribs are geometry, not strength: have the structure designed and checked by someone "
    "qualified"
)
# A tube is straight: its middle may stand off the line from end to end by so much [mm]: own choice.
BENT = 0.5
# Shares of the way between two sections where the web is held against the caps; the most there
# is a little less than the most of all.
SHARES, MORE = (0.25, 0.4, 0.5, 0.6, 0.75), 1.1
# Corners (4, 2) [mm] of a piece in a section of its spar.
Corners = Callable[[SparSection], Floats]


def spars(p: Parameters) -> list[NamedSolid]:
    """Return the solids of all spars; GeometryError, naming the spar, when one has no room."""
    made = [piece for spar in p.spars for piece in spar_pieces(p, spar)]
    return [replace(piece, notes=() if i else (CAUTION,)) for i, piece in enumerate(made)]


def spar_pieces(p: Parameters, spar: Spar) -> list[NamedSolid]:
    """Return the solids of one spar, both hands."""
    room = room_of(p, spar.of)
    sections = spar_sections(room, spar)
    found: list[NamedSolid] = []
    for half in halves(room, spar, sections):
        if spar.kind == TUBE:
            made = [_tube(room, spar, sections, half.through)]
        else:
            made = [
                _piece(room, spar, what, corners, half)
                for what, corners in pieces_of(spar, sections).items()
            ]
        found += made if half.through else [h for one in made for h in (one, one.on_the_left())]
    return found


def pieces_of(spar: Spar, sections: list[SparSection]) -> dict[str, Corners]:
    """Return of each piece of a spar with caps how its corners stand in a section.

    `sections` are all sections of that spar.
    """
    t = spar.web
    fore_web = t if spar.kind == BOX or (spar.kind == CHANNEL and spar.web_side == "fore") else 0.0
    aft_web = t if spar.kind == BOX or (spar.kind == CHANNEL and spar.web_side == "aft") else 0.0

    def cap(upper: bool) -> Corners:
        def corners(c: SparSection) -> Floats:
            x = (c.fore + fore_web, c.aft - aft_web)
            side = [c.height(at, upper) for at in x]
            other = [at - c.cap if upper else at + c.cap for at in side]
            low, high = (other, side) if upper else (side, other)
            return _quad(x, low, high)

        return corners

    found = {"cap_upper": cap(True), "cap_lower": cap(False)}
    if spar.kind == CAPS:
        room = _into_caps(t, sections)
        found["web"] = lambda c: _web(c, (c.fore + c.aft - t) / 2, t, c.cap + room)
    if fore_web:
        found["web_fore"] = lambda c: _web(c, c.fore, t, 0.0)
    if aft_web:
        found["web_aft"] = lambda c: _web(c, c.aft - t, t, 0.0)
    return found


def _into_caps(t: float, sections: list[SparSection]) -> float:
    """Return how far a straight web between the caps would run into them between sections [mm].

    Where a spar tapers the caps' faces are a little twisted.
    """
    most = 0.0
    for a, b in pairwise(sections):
        ends = [((c.fore + c.aft - t) / 2, (c.fore + c.aft + t) / 2) for c in (a, b)]
        for share in SHARES:
            c = between(a, b, a.s + share * (b.s - a.s))
            for side in (0, 1):
                x = (1 - share) * ends[0][side] + share * ends[1][side]
                for upper, sign in ((True, 1.0), (False, -1.0)):
                    edge = [one.height(e[side], upper) for one, e in zip((a, b), ends, strict=True)]
                    line = (1 - share) * edge[0] + share * edge[1]
                    most = max(most, sign * (line - c.height(x, upper)))
    return most * MORE


def _web(c: SparSection, fore: float, thickness: float, less: float) -> Floats:
    x = (fore, fore + thickness)
    low, high = ([c.height(at, upper) for at in x] for upper in (False, True))
    return _quad(x, [at + less for at in low], [at - less for at in high])


def _quad(x: tuple[float, float], low: list[float], high: list[float]) -> Floats:
    return np.array([(x[0], low[0]), (x[1], low[1]), (x[1], high[1]), (x[0], high[0])])


def both_sides(sections: list[SparSection]) -> list[SparSection]:
    """Return the sections from tip to tip of a spar that goes through the centre plane."""
    return [replace(c, s=-c.s) for c in reversed(sections[1:])] + sections


def _piece(room: InnerRoom, spar: Spar, what: str, corners: Corners, half: SparHalf) -> NamedSolid:
    name = f"spar_{spar.name}_{what}{half.suffix}{'' if half.through else '_right'}"
    polygons = [
        np.array([room.point(c.s, x, u) for x, u in corners(c).tolist()])
        for c in (both_sides(half.sections) if half.through else half.sections)
    ]
    solid = straight_solid(polygons, name)
    return NamedSolid(name, "spar", solid, COLOURS[what.split("_")[0]])


def tube_line(sections: list[SparSection]) -> list[tuple[float, float, float]]:
    """Return the middles (s, x, u) [mm] of a tube in its sections."""
    return [(c.s, (c.fore + c.aft) / 2, (sum(c.low) + sum(c.high)) / 4) for c in sections]


def _tube(room: InnerRoom, spar: Spar, sections: list[SparSection], through: bool) -> NamedSolid:
    name = f"spar_{spar.name}_tube{'' if through else '_right'}"
    line = tube_line(both_sides(sections) if through else sections)
    a, b = (np.array(room.point(*end)) for end in (line[0], line[-1]))
    way = (b - a) / np.linalg.norm(b - a)
    for s, x, u in line:
        off = np.array(room.point(s, x, u)) - a
        bend = float(np.linalg.norm(off - (off @ way) * way))
        if bend > BENT:
            raise GeometryError(
                f"a tube is straight, and its course is {bend:.1f} mm off the straight line at "
                f"{abs(s) - room.base:.0f} mm along the {room.name}: end it at the break of "
                "dihedral or sweep and begin another one there, or give station_start and "
                "station_end",
                part=f"spar_{spar.name}",
                step="spar",
                look_at=[f"spars.{spar.name}"],
            )
    radius = (sections[0].aft - sections[0].fore) / 2
    axis = Axis(tuple(a.tolist()), tuple(way.tolist()))
    solid = ring(axis, 0.0, math.dist(a, b), radius - spar.web, radius)
    return NamedSolid(name, "spar", solid, COLOURS["tube"])
