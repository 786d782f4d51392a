"""Where the wing stands at a buttock line, from the records alone, for the rules between fields."""

from itertools import pairwise
from math import cos, radians, tan

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.lifting import Wing


def trailing_edge_at(wing: Wing, buttock_line: float) -> tuple[float, float]:
    """Return station of the trailing edge and chord [mm] at a buttock line [mm], as it is built.

    Incidence turns the root about its leading edge; from its quarter chord, as it then stands, the
    sweep leads to those of the other sections. Between two sections the edge is straight, outboard
    of the tip it is that of the tip. The chord's aft end counts: points of a file whose edge stands
    off the chord line are not looked at.
    """
    edges: list[tuple[float, float, float]] = []
    quarter = out = 0.0
    for row in wing.sections:
        turn = cos(radians(wing.incidence - row.washout))
        if not edges:
            quarter = wing.leading_edge + 0.25 * row.chord * turn
        else:
            quarter += (row.buttock_line - out) * tan(radians(row.sweep))
        out = row.buttock_line
        edges.append((out, quarter + 0.75 * row.chord * turn, row.chord))
    for (y0, x0, c0), (y1, x1, c1) in pairwise(edges):
        if buttock_line <= y1 and y1 > y0:
            share = (max(buttock_line, y0) - y0) / (y1 - y0)
            return x0 + share * (x1 - x0), c0 + share * (c1 - c0)
    return edges[-1][1], edges[-1][2]


def hull_end(p: Parameters) -> float:
    """Return the aft end of pod and tail fairing on the blades' side [mm].

    A fairing narrower than the hub may run through the blade plane; it is not counted then.
    """
    end = p.pod.stations[-1].station
    if p.exit and p.exit.tail_fairing:
        for s in p.exit.tail_fairing.stations:
            if s.diameter >= p.propeller.hub_diameter:
                end = max(end, s.station)
    return end
