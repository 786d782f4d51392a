"""The sheet shop's package where the flange is a ring: a flat sheet, segments, rivets."""

from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.drafting.paper.full_size import full_size
from geomgen.drafting.record import REF, Drawing, Path
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import JOGGLED, SheetShop
from geomgen.parameters.values.quantities import Threshold
from geomgen.shops.figures import counted
from geomgen.shops.product import Item, ShopSheet, found
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.flat_findings import MASS, OWN, area_findings, blank_fit
from geomgen.shops.sheet_metal.flat_pattern.fold_findings import fold_findings
from geomgen.shops.sheet_metal.flat_pattern.solid import MeasuredSheet
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs
from geomgen.shops.sheet_metal.ring.drawing import NAME as RING
from geomgen.shops.sheet_metal.ring.drawing import laid, leg_of, ring_drawing
from geomgen.shops.sheet_metal.ring.findings import mass_of, ring_findings
from geomgen.shops.sheet_metal.ring.rivet_line import HOLE, RingWish
from geomgen.shops.sheet_metal.ring.segments import RingFlange, ring_flange
from geomgen.shops.sheet_metal.ring.words import ring_notes
from geomgen.verdicts.check import Check

# Width [mm] of a ring's leg on the sheet where none is asked for and no more is needed: own choice.
USUAL = 20.0
RING_USE = "cut, drill, bend and joggle the segments by this one"


def made_ring(
    sheet: MeasuredSheet, bending: Bending, reliefs: Reliefs, shop: SheetShop
) -> RingFlange:
    """Return the ring that is asked for; GeometryError where it does not fit the sheet."""
    lap = shop.lap if shop.flange == JOGGLED else None
    wish = RingWish(
        shop.ring_width or USUAL,
        shop.ring_segments,
        shop.rivet_diameter,
        shop.rivet_pitch,
        shop.relief_width,
        lap,
        fixed=shop.ring_width is not None,
    )
    return ring_flange(sheet, bending, reliefs, wish)


def ring_page(p: Parameters, ring: RingFlange, metal: str) -> ShopSheet:
    """Return the full-size sheet of the segments."""
    paper = full_size(ring_drawing(ring, ring_notes(p, ring)))
    return ShopSheet(RING, "firewall", paper, note=f"{metal}: {RING_USE}")


def ring_lines(ring: RingFlange) -> tuple[Path, ...]:
    """Return the inner edges of the segments where they lie on the sheet, to lay them by."""
    return tuple(
        replace(segment.inner, layer=REF, name=f"RING {segment.number}")
        for segment in ring.segments
    )


def ring_checks(
    ring: RingFlange,
    flat: Drawing,
    segments: Drawing,
    solid: TopoDS_Shape,
    hull: TopoDS_Shape | None,
    reliefs: Reliefs,
    density: float,
    most: Threshold | None,
) -> list[Check]:
    """Return what is measured on sheet and ring: areas, mass, fit, rivets, the folded flange.

    `density` [kg/m3] is the metal's, `most` the limit of the firewall's mass, if it has one.
    """
    area, _ = area_findings(ring.flat, solid, density)
    return [
        area,
        _mass(ring, solid, density),
        replace(blank_fit(ring.flat), id="sheet.blank_fit"),
        *ring_findings(ring, flat, segments, density, most),
        *fold_findings(ring.whole, solid, hull, reliefs),
    ]


def _mass(ring: RingFlange, solid: TopoDS_Shape, density: float) -> Check:
    """Hold sheet and segments, the legs on the sheet aside, to the solid."""
    thick = ring.flat.sheet.thickness
    legs = sum(leg_of(ring, segment).area for segment in ring.segments)
    legs -= sum(hole.area() for segment in ring.segments for hole in segment.holes)
    both = mass_of(ring, density) + (ring.flat.area() - legs) * thick * density * 1e-9
    whole = volume(solid).value * density * 1e-9
    return found(
        "sheet.mass", "firewall",
        f"mass of sheet and ring, its legs aside, {both:.4f} kg against the solid's {whole:.4f} "
        "kg: difference", 100.0 * abs(both / whole - 1.0), "%", high=100.0 * MASS,
        method="area x thickness x density", source=OWN, severity="warn",
        advice="relief cuts take much of the flange: narrow "
        "handoff.sheet.relief_width or lengthen relief_pitch",
    )  # fmt: skip


def ring_items(p: Parameters, ring: RingFlange) -> list[Item]:
    """Return the rows of the parts list: each segment, and the rivets to buy."""
    thick = ring.flat.sheet.thickness
    rows = []
    for segment, place in zip(ring.segments, laid(ring), strict=True):
        wide, high = np.ptp(place.of(np.array(segment.cut.dense(0.01))), axis=0).tolist()
        rows.append(
            Item(
                f"firewall ring, segment {segment.number}",
                "firewall",
                "",
                f"{p.firewall.material} sheet, {thick:.3f} mm",
                (wide, high, thick),
                volume=segment.area() * thick,
                mass=mass_of(ring, p.firewall.density, segment),
                files=(RING,),
                note=f"{counted(len(segment.tabs), 'bend')}, "
                f"{counted(len(segment.holes), 'rivet hole')}; grain across "
                "the segment",
            )
        )
    shared = sum(segment.shared for segment in ring.segments)
    grips = f"{len(ring.rivets) - shared} through {2 * thick:.2f} mm"
    if shared:
        grips += f", {shared} through {3 * thick:.2f} mm at the laps"
    rows.append(
        Item(
            f"rivet, {ring.wish.rivet:g} mm",
            "firewall",
            "",
            "steel or Monel; aluminium melts in the flame that the sheet holds back",
            count=len(ring.rivets),
            files=(RING,),
            note=f"{grips}; holes {ring.wish.rivet + HOLE:.1f} mm",
            kind="buy",
        )
    )
    return rows
