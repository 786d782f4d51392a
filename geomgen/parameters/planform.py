"""Where the wing stands at a buttock line, from the records alone, for the rules between fields."""

from dataclasses import dataclass
from itertools import pairwise
from math import radians, tan

from geomgen.parameters.lifting import Wing
from geomgen.parameters.records import Parameters


@dataclass(frozen=True)
class Place:
    """A section of the wing [mm]: station and waterline of its leading edge, its chord."""

    leading_edge: float
    waterline: float
    chord: float


def wing_at(wing: Wing, buttock_line: float) -> Place:
    """Return the wing's section at a buttock line [mm] within the span.

    Between two sections edges are straight. Incidence and washout are left out: their cosine is
    within half a per cent of 1 at 5 degrees, and no more is asked of these rules.
    """
    chord = wing.sections[0].chord
    quarter, height = wing.leading_edge + chord / 4, wing.waterline
    for inner, outer in pairwise(wing.sections):
        out = min(buttock_line, outer.buttock_line) - inner.buttock_line
        width = outer.buttock_line - inner.buttock_line
        share = out / width if width > 0 else 0.0
        chord = inner.chord + share * (outer.chord - inner.chord)
        quarter += out * tan(radians(outer.sweep))
        height += out * tan(radians(outer.dihedral))
        if buttock_line <= outer.buttock_line:
            break
    return Place(quarter - chord / 4, height, chord)


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
