"""The sheet shop's part of the hand-off: the firewall's blank, measured on its finished solid."""

from OCP.TopoDS import TopoDS_Shape

from geomgen.drafting.paper.full_size import full_size
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import TABS, SheetShop
from geomgen.shops.figures import counted
from geomgen.shops.product import Item, Package, ShopSheet
from geomgen.shops.sheet_metal.dimensions import NAME as DIMENSIONS
from geomgen.shops.sheet_metal.dimensions import dimensions_sheet
from geomgen.shops.sheet_metal.drawing.datum import datum_of
from geomgen.shops.sheet_metal.drawing.full_size import NAME as FLAT
from geomgen.shops.sheet_metal.drawing.full_size import flat_drawing
from geomgen.shops.sheet_metal.flat_pattern.bend import Bending
from geomgen.shops.sheet_metal.flat_pattern.flat_findings import (
    area_findings,
    blank_fit,
    hole_edge,
    hole_findings,
    thickness_finding,
)
from geomgen.shops.sheet_metal.flat_pattern.fold_findings import fold_findings
from geomgen.shops.sheet_metal.flat_pattern.material import fittings_finding, material_finding
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern, flat_pattern
from geomgen.shops.sheet_metal.flat_pattern.solid import measure_sheet
from geomgen.shops.sheet_metal.flat_pattern.tabs import Reliefs
from geomgen.shops.sheet_metal.ring.package import (
    made_ring,
    ring_checks,
    ring_items,
    ring_lines,
    ring_page,
)
from geomgen.shops.sheet_metal.ring.segments import RingFlange
from geomgen.shops.sheet_metal.words import lean_words, mass, sheet_words
from geomgen.verdicts.check import Check

SHOP, PART = "sheet_shop", "firewall"
SEEN = "SEEN FROM AFT, LOOKING FORWARD"
FLAT_USE = "cut, drill and bend by this one"
DIMENSIONS_USE = "to set the brake, drill and inspect by; cut from firewall_flat"


def sheet_package(p: Parameters, model: Model) -> Package:
    """Return the firewall's drawings, findings and blank.

    The sheet is measured on the solid; the parameters say how it is bent and what it is of. Raises
    GeometryError when the model has no firewall, or it can't be bent from one blank.
    """
    shop = p.handoff.sheet if p.handoff else None
    solid = model.parts.get(PART)
    if shop is None or solid is None or model.firewall_plane is None or model.firewall_seed is None:
        raise GeometryError(
            "there is no firewall, or nothing is asked of the sheet shop",
            part=PART,
            step="sheet",
            look_at=["handoff.sheet", "firewall"],
        )
    sheet = measure_sheet(solid, model.firewall_plane, model.firewall_seed)
    bending = Bending(sheet.thickness, shop.inside_radius, shop.k_factor)
    reliefs = reliefs_of(p, shop)
    hull = model.parts.get("pod")
    if shop.flange != TABS and sheet.rim is not None:
        return _ring_package(p, made_ring(sheet, bending, reliefs, shop), solid, hull, reliefs)
    pattern = flat_pattern(sheet, bending, reliefs)
    findings = _findings(p, pattern, solid, hull, reliefs)
    return Package(
        SHOP,
        sheets=(_full_size(p, pattern), _dimensions(p, pattern, findings)),
        findings=findings,
        items=(_blank(p, pattern),),
    )


def reliefs_of(p: Parameters, shop: SheetShop) -> Reliefs:
    """Return what the file asks of the flange's relief cuts and bends."""
    return Reliefs(
        shop.relief_width,
        shop.relief_pitch,
        p.firewall.gap,
        shop.sealant_gap,
        shop.bend_angles,
        shop.bend_tolerance,
    )


def _ring_package(
    p: Parameters,
    ring: RingFlange,
    solid: TopoDS_Shape,
    hull: TopoDS_Shape | None,
    reliefs: Reliefs,
) -> Package:
    flat, full = ring.flat, _full_size(p, ring.flat, ring)
    segments = ring_page(p, ring, _metal(p, flat))
    drawings = (full.drawing, segments.drawing)
    limits = (p.firewall.density, p.rules.firewall_mass)
    checks = ring_checks(ring, *drawings, solid, hull, reliefs, *limits)
    findings = (*_plain_findings(p, flat), *checks)
    return Package(
        SHOP,
        sheets=(full, segments, _dimensions(p, flat, findings, ring)),
        findings=findings,
        items=(_blank(p, flat), *ring_items(p, ring)),
    )


def _plain_findings(p: Parameters, pattern: FlatPattern) -> list[Check]:
    """Return the findings on the sheet itself: its metal, its thickness, its holes."""
    sheet = pattern.sheet
    maybe = (fittings_finding(p.firewall), hole_edge(pattern))
    return [
        material_finding(p.firewall, sheet.thickness),
        thickness_finding(sheet, p.firewall),
        *(finding for finding in maybe if finding is not None),
        *hole_findings(sheet, p.firewall),
    ]


def _findings(
    p: Parameters,
    pattern: FlatPattern,
    solid: TopoDS_Shape,
    hull: TopoDS_Shape | None,
    reliefs: Reliefs,
) -> tuple[Check, ...]:
    return (
        *_plain_findings(p, pattern),
        *area_findings(pattern, solid, p.firewall.density),
        *([] if pattern.tabs else [blank_fit(pattern)]),
        *fold_findings(pattern, solid, hull, reliefs),
    )


def _metal(p: Parameters, pattern: FlatPattern) -> str:
    return f"{p.firewall.material}, {pattern.sheet.thickness:.3f} mm thick"


def _full_size(p: Parameters, pattern: FlatPattern, ring: RingFlange | None = None) -> ShopSheet:
    """Return the sheet to cut, drill and bend by, as `ring` is riveted onto it if it is."""
    datum = datum_of(pattern.sheet)
    words = sheet_words(p, pattern, datum, (), ring)
    metal = _metal(p, pattern)
    station = f"FIREWALL AT STA {p.firewall.station:g}"
    if p.firewall.tilt:
        station += f", {lean_words(p).upper()}"
    marks = tuple(row[4] for row in words.holes[1])
    lines = ring_lines(ring) if ring else ()
    flat = flat_drawing(pattern, datum, (station, SEEN, metal), marks, words.notes, lines)
    return ShopSheet(FLAT, PART, full_size(flat), note=f"{metal}: {FLAT_USE}")


def _dimensions(
    p: Parameters,
    pattern: FlatPattern,
    findings: tuple[Check, ...],
    ring: RingFlange | None = None,
) -> ShopSheet:
    """Return the dimensioned drawing, which says what the findings give."""
    datum = datum_of(pattern.sheet)
    words = sheet_words(p, pattern, datum, findings, ring)
    page = dimensions_sheet(pattern, datum, words, lean_words(p), ring)
    return ShopSheet(DIMENSIONS, PART, page, note=DIMENSIONS_USE)


def _blank(p: Parameters, pattern: FlatPattern) -> Item:
    (wide, high), thick = pattern.size(), pattern.sheet.thickness
    zones = pattern.zones()
    angles = ", ".join(f"{zone.angle:g}" for zone in zones)
    bends = f"{counted(len(pattern.tabs), 'bend')} to {angles} deg" if zones else "no bends"
    return Item(
        "firewall blank",
        PART,
        "",
        f"{p.firewall.material} sheet, {thick:.3f} mm",
        (wide, high, thick),
        volume=pattern.area() * thick,
        mass=mass(p, pattern),
        files=(FLAT, DIMENSIONS),
        note=f"blank as cut {pattern.area() / 1e6:.4f} m², {bends}",
    )
