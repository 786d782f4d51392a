"""Straight spars under bent skins: their sides clear the skin between their sections, too."""

import numpy as np
from spar_wings import PLAIN, planned

from geomgen.shapes.wing_structure.inner_room import FIT, room_of
from geomgen.shapes.wing_structure.spar_lines import section_at, spar_sections

HOLLOW = (*PLAIN, *(f'wing.sections.{i}.aerofoil="NACA 6409"' for i in range(3)))
CROSSING = {
    "chord_share": None, "station_start": "1500 mm", "station_end": "2100 mm", "start": "100 mm",
    "width": "20 mm", "cap_height": "2 mm", "kind": "caps and web",
}  # fmt: skip


def test_a_spar_across_a_hollow_lower_side_clears_it_midway():
    p = planned(HOLLOW, [CROSSING])
    room, (spar,) = room_of(p, "wing"), p.spars
    sections = spar_sections(room, spar)
    shares = np.linspace(0.0, 1.0, 5)
    least = []
    for s in np.linspace(101.0, 3999.0, 40).tolist():
        c = section_at(sections, s)
        low, high = room.under(s, c.fore + shares * (c.aft - c.fore), spar.skin)
        least.append((np.interp(shares, (0, 1), c.low) - low).min())
        least.append((high - np.interp(shares, (0, 1), c.high)).min())
    assert -FIT / 2 < min(least) < 0.5
