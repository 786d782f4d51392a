"""The webs of spars as flat sheets: one for each straight run, as a web bends with its spar."""

from collections.abc import Iterator, Sequence
from math import hypot

import numpy as np

from geomgen.kernel.plain import FlatSheet, Plane, Vec3, vec
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import TUBE, Spar
from geomgen.shapes.piece import left_of
from geomgen.shapes.wing_structure.inner_room import InnerRoom, room_of
from geomgen.shapes.wing_structure.spar_lines import halves, spar_sections
from geomgen.shapes.wing_structure.spars import both_sides, pieces_of

# Stations (x) [mm] so near a straight line are on it.
STRAIGHT = 1e-3
# A front edge of a web in a section: the place along the span and the station [mm].
Edge = tuple[float, float]


def flat_webs(p: Parameters) -> dict[str, FlatSheet]:
    """Return the flat sheets [mm] of all webs by name, from inside out.

    A web that bends has a sheet for each straight run, which says what part it is a piece of; its
    thickness is square to the sheet, so one that stands aslant is thinner than `web`, which counts
    fore and aft.
    """
    return {name: sheet for spar in p.spars if spar.kind != TUBE for name, sheet in _of(p, spar)}


def _of(p: Parameters, spar: Spar) -> Iterator[tuple[str, FlatSheet]]:
    room = room_of(p, spar.of)
    right = spar_sections(room, spar)
    webs = {what: at for what, at in pieces_of(spar, right).items() if what.startswith("web")}
    every = [(what, at, half) for half in halves(room, spar, right) for what, at in webs.items()]
    for what, corners, half in every:
        through = half.through
        sections = both_sides(half.sections) if through else half.sections
        fore = [(c.s, float(corners(c)[0, 0])) for c in sections]
        up = float(corners(sections[0])[:, 1].mean())
        runs, stem = straight_runs(fore), f"spar_{spar.name}_{what}{half.suffix}"
        part = stem if through else f"{stem}_right"
        for number, run in enumerate(runs, start=1):
            name = part if len(runs) == 1 else f"{stem}_run_{number}{part.removeprefix(stem)}"
            sheet = _sheet(room, run, fore, spar.web, up, part)
            yield name, sheet
            if not through:
                yield left_of(name), mirror_sheet(sheet)


def straight_runs(edge: Sequence[Edge]) -> list[list[Edge]]:
    """Return the straight runs (from, to) of a line through places and stations [mm].

    >>> straight_runs([(0.0, 10.0), (100.0, 20.0), (200.0, 30.0), (300.0, 30.0)])
    [[(0.0, 10.0), (200.0, 30.0)], [(200.0, 30.0), (300.0, 30.0)]]
    """
    runs = [[edge[0], edge[1]]]
    for point in edge[2:]:
        (s0, x0), (s1, x1) = runs[-1]
        on = x0 + (x1 - x0) * (point[0] - s0) / (s1 - s0)
        if abs(on - point[1]) <= STRAIGHT:
            runs[-1][1] = point
        else:
            runs.append([runs[-1][1], point])
    return runs


def _sheet(
    room: InnerRoom, run: list[Edge], edge: Sequence[Edge], web: float, up: float, part: str
) -> FlatSheet:
    (s0, x0), (s1, x1) = run
    upward, span = np.array(room.sections[0].up), np.array(room.sections[0].span)
    long = hypot(x1 - x0, s1 - s0)
    # Through the sheet from its front face, aft.
    normal = ((s1 - s0) * np.array([1.0, 0.0, 0.0]) - (x1 - x0) * span) / long
    ends = []
    if run[0] != edge[0]:
        ends.append(Plane(room.point(s0, x0, up), vec(span)))
    if run[1] != edge[-1]:
        ends.append(Plane(room.point(s1, x1, up), vec(-span)))
    return FlatSheet(
        Plane(room.point(s0, x0, up), vec(normal)), vec(upward), web * (s1 - s0) / long, part,
        tuple(ends),
    )  # fmt: skip


def mirror_sheet(sheet: FlatSheet) -> FlatSheet:
    """Return the sheet of the part on the other side [mm]."""
    return FlatSheet(
        _mirrored(sheet.plane), _across(sheet.up), sheet.thickness,
        sheet.part and left_of(sheet.part), tuple(map(_mirrored, sheet.within)),
    )  # fmt: skip


def _mirrored(plane: Plane) -> Plane:
    return Plane(_across(plane.origin), _across(plane.normal))


def _across(v: Vec3) -> Vec3:
    return (v[0], -v[1], v[2])
