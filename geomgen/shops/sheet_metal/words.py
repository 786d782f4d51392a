"""What the sheet shop's drawings say in words and tables."""

from dataclasses import dataclass

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import SheetShop
from geomgen.shops.sheet_metal.drawing.datum import Datum
from geomgen.shops.sheet_metal.drawing.full_size import direction
from geomgen.shops.sheet_metal.drawing.grain import grain_of
from geomgen.shops.sheet_metal.flat_pattern.flat_findings import use_of
from geomgen.shops.sheet_metal.flat_pattern.pattern import FlatPattern
from geomgen.shops.sheet_metal.ring.segments import RingFlange
from geomgen.shops.sheet_metal.ring.words import ring_rows
from geomgen.verdicts.check import Check

Rows = list[tuple[str, ...]]
HOLES = ("no", "X [mm]", "Y [mm]", "dia [mm]", "for", "fitting", "BL [mm]", "WL [mm]")
BENDS = ("zone", "deg", "outside [mm]", "flat [mm]", "allowance [mm]", "setback [mm]", "tabs")
TOWARDS = {"UP": "towards you", "DOWN": "away from you"}


@dataclass(frozen=True)
class SheetWords:
    """Rows of the tables, each with its head: the sheet, its holes, its bends; and the notes."""

    general: Rows
    holes: tuple[tuple[str, ...], Rows]
    bends: tuple[tuple[str, ...], Rows]
    notes: tuple[str, ...]


def lean_words(p: Parameters) -> str:
    """Return which way the sheet leans.

    >>> from types import SimpleNamespace as Plain
    >>> lean_words(Plain(firewall=Plain(tilt=-4.0)))
    'top leans FORWARD 4 deg'
    """
    tilt = p.firewall.tilt
    if tilt == 0.0:
        return "upright"
    return f"top leans {'AFT' if tilt > 0 else 'FORWARD'} {abs(tilt):g} deg"


def bend_words(pattern: FlatPattern) -> str:
    """Return which way the flange is bent, as the sheet lies on the bench."""
    way = direction(pattern)
    side = "aft" if pattern.sheet.frame.toward > 0 else "forward"
    return f"{side}: bend {way}, {TOWARDS[way]}"


def sheet_words(
    p: Parameters, pattern: FlatPattern, datum: Datum, findings: tuple[Check, ...],
    ring: RingFlange | None = None,
) -> SheetWords:  # fmt: skip
    """Return all that stands on the dimensioned drawing beside its views."""
    shop = p.handoff.sheet if p.handoff else None
    assert shop is not None
    return SheetWords(
        _general(p, pattern, shop, findings, ring),
        hole_rows(p, pattern, datum),
        _bend_rows(ring.whole if ring else pattern),
        notes(p, pattern, datum, shop, ring),
    )


def notes(
    p: Parameters, pattern: FlatPattern, datum: Datum, shop: SheetShop,
    ring: RingFlange | None = None,
) -> tuple[str, ...]:  # fmt: skip
    """Return the lines that stand in the title block of both drawings."""
    station = f"firewall at STA {p.firewall.station:g} on the thrust line, {lean_words(p)}"
    datum_line = f"datum: {datum.words}; X to the right, Y up along the sheet"
    seen = f"{station}; seen from aft, looking forward; one piece, no hand"
    if ring is not None:
        return (
            seen,
            datum_line,
            "flat sheet; its flange is a ring of segments, cut by firewall_ring; short dashed "
            "lines on firewall_flat: the ring's inner edge",
            f"cut and holes +-{shop.cut_tolerance:g} mm; drill sheet and ring to one size, deburr, "
            "rivet with fireproof sealant between",
        )
    if not pattern.tabs:
        return (seen, datum_line, "plain blank, no flange")
    return (
        seen,
        datum_line,
        f"bend {direction(pattern).lower()} on the BEND lines, the middle of each bend, inside "
        f"radius {shop.inside_radius:g} mm; angles from flat, after springback",
        f"cut and holes +-{shop.cut_tolerance:g} mm; bends +{shop.bend_tolerance:g} -0 deg: bent "
        "less, the flange fouls the hull",
        "deburr before bending; seal the flange all round and every relief cut with fireproof "
        "sealant",
    )


def hole_rows(p: Parameters, pattern: FlatPattern, datum: Datum) -> tuple[tuple[str, ...], Rows]:
    """Return head and rows of the holes, X and Y from the datum in the pattern's own plane."""
    sheet, wanted = pattern.sheet, list(p.firewall.penetrations)
    rows: Rows = []
    for i, hole in enumerate(sheet.holes):
        use = use_of(sheet, i, wanted)
        words = (use.use, use.fitting) if use else ("not on the list", "")
        x, y = (round(c, 2) + 0.0 for c in datum.of(hole.centre))
        bl, wl = (round(c, 1) + 0.0 for c in sheet.on_front(hole.centre))
        rows.append(
            (f"H{i + 1}", f"{x:.2f}", f"{y:.2f}", f"{hole.diameter:.2f}", *words,
             f"{bl:.1f}", f"{wl:.1f}")
        )  # fmt: skip
    return HOLES, rows


def _bend_rows(pattern: FlatPattern) -> tuple[tuple[str, ...], Rows]:
    bending = pattern.bending
    rows: Rows = []
    for zone in pattern.zones():
        tab = pattern.tabs[zone.tabs[0] - 1]
        rows.append(
            (
                zone.name, f"{zone.angle:.1f}", f"{tab.width:.2f}", f"{tab.flat:.2f}",
                f"{bending.allowance(zone.angle):.2f}", f"{bending.setback(zone.angle):.2f}",
                zone.words,
            )
        )  # fmt: skip
    return BENDS, rows


def _general(
    p: Parameters, pattern: FlatPattern, shop: SheetShop, findings: tuple[Check, ...],
    ring: RingFlange | None = None,
) -> Rows:  # fmt: skip
    sheet, (wide, high) = pattern.sheet, pattern.size()
    rows: Rows = [
        ("material", f"{p.firewall.material}, {sheet.thickness:.3f} mm thick"),
        ("blank", f"{wide:.1f} x {high:.1f} mm, {pattern.area() / 1e6:.4f} m², "
                  f"{mass(p, pattern):.3f} kg"),
        ("lean", lean_words(p)),
    ]  # fmt: skip
    grain = grain_of(pattern.tabs)
    if grain is None and ring is None:
        return [*rows, ("grain", "any way"), ("flange", "none")]
    tabs = ring.whole.tabs if ring else pattern.tabs
    pitch = float(_perimeter(pattern)) / len(tabs)
    rows += [
        ("grain", grain.words if grain else "sheet: any way; segments: across them, as drawn"),
        *(ring_rows(p, ring) if ring else []),
        ("flange", bend_words(pattern)),
        ("inside radius", f"{shop.inside_radius:g} mm; neutral line {shop.k_factor:g} of the "
                          "thickness from inside"),
        ("relief cuts", f"{len(tabs)}, one every {pitch:.1f} mm; folded "
                        f"{shop.relief_width:g} mm wide"),
    ]  # fmt: skip
    by_id = {finding.id: finding for finding in findings}
    widest = by_id.get("sheet.seal_gap_overbent")
    if widest is not None and widest.measured is not None:
        rows += [
            ("gap to skin", f"{widest.measured:.2f} mm at most, sealant fills "
                            f"{shop.sealant_gap:g} mm; tabs bent {shop.bend_tolerance:g} deg over"),
            ("widest at", widest.where),
        ]  # fmt: skip
    return rows


def _perimeter(pattern: FlatPattern) -> float:
    return pattern.outline.length()


def mass(p: Parameters, pattern: FlatPattern) -> float:
    """Return the mass of the blank [kg]."""
    return float(pattern.area() * pattern.sheet.thickness * p.firewall.density * 1e-9)
