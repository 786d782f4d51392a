"""The sheet shop's part of the hand-off: the firewall's blank, measured on its finished solid."""

import numpy as np
from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.handoff.bend import Bending
from geomgen.handoff.flat_pattern import FlatPattern, flat_pattern
from geomgen.handoff.fold_findings import fold_findings
from geomgen.handoff.product import Finding, Item, Package, ShopSheet
from geomgen.handoff.sheet_dimensions import NAME as DIMENSIONS
from geomgen.handoff.sheet_dimensions import dimensions_drawing
from geomgen.handoff.sheet_drawing import NAME as FLAT
from geomgen.handoff.sheet_drawing import direction, flat_drawing
from geomgen.handoff.sheet_findings import (
    area_findings,
    blank_fit,
    hole_edge,
    hole_findings,
    thickness_finding,
    use_of,
)
from geomgen.handoff.sheet_material import fittings_finding, material_finding
from geomgen.handoff.sheet_solid import MeasuredSheet, measure_sheet
from geomgen.handoff.tabs import Reliefs
from geomgen.kernel.plain import Model
from geomgen.parameters.records import Parameters
from geomgen.parameters.shops import SheetShop

SHOP, PART = "sheet_shop", "firewall"
SEEN = "SEEN FROM AFT, LOOKING FORWARD"


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
    pattern = flat_pattern(sheet, bending, reliefs)
    return Package(
        SHOP,
        sheets=_sheets(p, pattern, shop),
        findings=_findings(p, pattern, solid, model.parts.get("pod"), reliefs),
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


def _findings(
    p: Parameters,
    pattern: FlatPattern,
    solid: TopoDS_Shape,
    hull: TopoDS_Shape | None,
    reliefs: Reliefs,
) -> tuple[Finding, ...]:
    sheet = pattern.sheet
    maybe = (fittings_finding(p.firewall), hole_edge(pattern))
    return (
        material_finding(p.firewall, sheet.thickness),
        thickness_finding(sheet, p.firewall),
        *(finding for finding in maybe if finding is not None),
        *hole_findings(sheet, p.firewall),
        *area_findings(pattern, solid, p.firewall.density),
        *([] if pattern.tabs else [blank_fit(pattern)]),
        *fold_findings(pattern, solid, hull, reliefs),
    )


def _sheets(p: Parameters, pattern: FlatPattern, shop: SheetShop) -> tuple[ShopSheet, ...]:
    f = p.firewall
    metal = f"{f.material}, {pattern.sheet.thickness:.3f} mm thick"
    station = f"FIREWALL AT STA {f.station:g}" + (f", LEANING {f.tilt:g} DEG" if f.tilt else "")
    holes = _hole_rows(p, pattern.sheet)
    marks = tuple(f"H{row[0]} dia {row[3]} {row[4]}" for row in holes)
    notes = (metal, SEEN.lower(), *_bend_notes(pattern, shop))
    flat = flat_drawing(pattern, (station, SEEN, metal), marks, notes)
    general = _general(p, pattern, shop)
    return (
        ShopSheet(FLAT, PART, flat, note=metal),
        ShopSheet(
            DIMENSIONS,
            PART,
            dimensions_drawing(pattern, general, holes, notes),
            note="to be looked at; cut from firewall_flat",
            full_size=False,
        ),
    )


def _bend_notes(pattern: FlatPattern, shop: SheetShop) -> tuple[str, ...]:
    if not pattern.tabs:
        return ("plain blank, no flange",)
    return (
        f"bend {direction(pattern).lower()} on the BEND lines, the middle of each bend, inside "
        f"radius {shop.inside_radius:g} mm, by the angle on the tab",
        "seal the relief cuts",
    )


def _hole_rows(p: Parameters, sheet: MeasuredSheet) -> list[tuple[str, ...]]:
    wanted = list(p.firewall.penetrations)
    rows: list[tuple[str, ...]] = []
    for i, hole in enumerate(sheet.holes):
        bl, wl = sheet.on_front(hole.centre)
        use = use_of(sheet, i, wanted)
        words = (use.use, use.fitting) if use else ("not on the list", "")
        bl, wl = round(bl, 2) + 0.0, round(wl, 2) + 0.0
        rows.append((str(i + 1), f"{bl:.2f}", f"{wl:.2f}", f"{hole.diameter:.2f}", *words))
    return rows


def _general(p: Parameters, pattern: FlatPattern, shop: SheetShop) -> list[tuple[str, str]]:
    sheet, (wide, high) = pattern.sheet, pattern.size()
    section = np.ptp(sheet.outline, axis=0)
    rows = [
        ("material", p.firewall.material),
        ("thickness", f"{sheet.thickness:.3f} mm"),
        ("blank", f"{wide:.2f} x {high:.2f} mm"),
        ("section of the sheet", f"{section[0]:.2f} x {section[1]:.2f} mm"),
        ("area of the blank", f"{pattern.area() / 1e6:.4f} m2"),
        ("mass of the blank", f"{_mass(p, pattern):.3f} kg"),
        ("seen from", "aft, looking forward"),
    ]
    if p.firewall.tilt:
        rows.append(("up", f"along the sheet, on from WL {sheet.frame.origin[2]:.1f}"))
    if not pattern.tabs:
        return [*rows, ("flange", "none")]
    bending, tabs = pattern.bending, pattern.tabs
    angles = [tab.angle for tab in tabs]
    return [
        *rows,
        ("bend", f"{direction(pattern).lower()}, {min(angles):.1f} to {max(angles):.1f} deg"),
        ("inside radius", f"{shop.inside_radius:g} mm"),
        ("neutral line", f"{shop.k_factor:g} of the thickness"),
        ("bend allowance", _span([bending.allowance(a) for a in angles])),
        ("setback", _span([bending.setback(a) for a in angles])),
        ("bend line inside mould line", _span([bending.line(a) for a in angles])),
        ("flange, outside", _span([tab.width for tab in tabs])),
        ("flange flat from bend line", _span([tab.flat for tab in tabs])),
        ("relief cuts", f"{len(tabs)}, {shop.relief_width:g} mm folded"),
    ]


def _span(values: list[float]) -> str:
    return f"{min(values):.2f} to {max(values):.2f} mm"


def _mass(p: Parameters, pattern: FlatPattern) -> float:
    return float(pattern.area() * pattern.sheet.thickness * p.firewall.density * 1e-9)


def _blank(p: Parameters, pattern: FlatPattern) -> Item:
    (wide, high), thick = pattern.size(), pattern.sheet.thickness
    return Item(
        "firewall blank",
        PART,
        "",
        f"{p.firewall.material} sheet, {thick:.3f} mm",
        (wide, high, thick),
        volume=pattern.area() * thick,
        mass=_mass(p, pattern),
        files=(FLAT, DIMENSIONS),
        note=f"blank as cut {pattern.area() / 1e6:.4f} m2, {len(pattern.tabs)} bends",
    )
