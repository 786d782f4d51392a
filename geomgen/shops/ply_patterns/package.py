"""The ply shop's part of the hand-off: each flat sheet at full size, nests, what to buy."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import shapely

from geomgen.drafting.paper.full_size import full_size
from geomgen.errors import GeometryError
from geomgen.kernel.plain import Model
from geomgen.kernel.sections.section import regions
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.drawing import ply_drawing
from geomgen.shops.ply_patterns.nest import LaidPattern, laid, least_gap, nest_sheets
from geomgen.shops.ply_patterns.outline import BELOW, CHORD, TRUE, PlyPattern, pattern
from geomgen.shops.product import Item, Package, ShopSheet, found
from geomgen.verdicts.check import Check

SHOP = "ply_shop"
# How far lines to cut may be off the solid's outline [mm], and gaps in a nest short of what is
# asked: lines and arcs keep within TRUE of points that keep within CHORD of the edges.
OFF = 2 * (TRUE + CHORD)
MARK = 100.0


@dataclass(frozen=True)
class PlyStock:
    """What a part is cut from: material and thickness [mm], density [kg/m3], a line of words."""

    material: str
    thickness: float
    density: float
    words: str

    @property
    def name(self) -> str:
        """Return it as the parts list has it."""
        return f"{self.material} sheet, {self.thickness:g} mm"


def stocks(p: Parameters) -> dict[str, PlyStock]:
    """Return what each flat sheet of the file is cut from, by the name of its part.

    What else is a flat sheet joins here: all that follows knows sheets alone.
    """
    return {
        f"frame_{f.name}": PlyStock(
            f.material,
            f.thickness,
            f.density,
            f"STA {f.station:g} AT THE THRUST LINE" + f", TOP AFT {f.tilt:g} DEG" * bool(f.tilt),
        )
        for f in p.frames
    }


def ply_package(p: Parameters, model: Model) -> Package:
    """Return drawings, nests, findings and rows of all flat sheets, measured on their solids.

    GeometryError for a sheet that is none, or fits on none that is bought.
    """
    shop = p.handoff.ply if p.handoff else None
    known = {name: stock for name, stock in stocks(p).items() if name in model.sheets}
    if shop is None or not known:
        raise GeometryError("nothing is asked of the ply shop", part="frame", step="ply")
    patterns = {name: pattern(name, model.parts[name], model.sheets[name]) for name in known}
    sheets = [_full(p, patterns[name], stock, shop) for name, stock in known.items()]
    findings = [check for name in known for check in _findings(model, patterns[name])]
    items: list[Item] = [_part(patterns[name], stock) for name, stock in known.items()]
    groups: dict[tuple[str, float], list[str]] = {}
    for name, stock in known.items():
        groups.setdefault((stock.name, stock.density), []).append(name)
    for number, ((words, _), names) in enumerate(groups.items(), start=1):
        rows = laid([patterns[name] for name in names], shop)
        sheets += nest_sheets(rows, shop, words, f"ply_nest_{number}")
        findings.append(_nest(rows, shop, known[names[0]]))
        items.append(_to_buy(known[names[0]], rows, shop))
    return Package(SHOP, sheets=tuple(sheets), findings=tuple(findings), items=tuple(items))


def _full(p: Parameters, made: PlyPattern, stock: PlyStock, shop: PlyShop) -> ShopSheet:
    spot = made.whole.representative_point()
    level = MARK * round(made.frame.lifted((0.0, spot.y))[2] / MARK)
    words = (made.name.upper(), stock.words, stock.name.upper(), "SEEN FROM AFT, LOOKING FORWARD",
             f"LARGER FACE: {made.larger.upper()}")  # fmt: skip
    drawing = ply_drawing(made, words, shop.grain, level)
    return ShopSheet(f"ply_{made.name}", made.name, full_size(drawing), note=stock.name)


def _findings(model: Model, made: PlyPattern) -> list[Check]:
    drawn = made.drawn()
    meant = (made.whole.exterior, *made.whole.interiors)
    pairs = zip((drawn.exterior, *drawn.interiors), meant, strict=True)
    off = max(float(line.hausdorff_distance(ring)) for line, ring in pairs)
    checks = [
        found(
            f"ply.outline.{made.name}", made.name, "lines to cut off the solid's own outline", off,
            "mm", high=OFF, method="both faces of the sheet cut just below, the larger outline",
            source="own choice",
        )
    ]  # fmt: skip
    passing = {
        other: gap
        for one, other, gap in model.joint_gaps
        if one == made.name and model.families.get(other) == "stringer"
    }
    rooms = [
        (room - gap, other)
        for other, gap in passing.items()
        if (room := _room(model, made, other, drawn)) is not None
    ]
    if rooms:
        least, other = min(rooms)
        checks.append(
            found(
                f"ply.notch.{made.name}", made.name,
                "room round stringers in the notches as drawn, beyond their clearance", least, "mm",
                low=-OFF, where=other, source="own choice",
                method="sections of the stringers at both faces of the sheet against the lines",
            )
        )  # fmt: skip
    return checks


def _room(model: Model, made: PlyPattern, other: str, drawn: shapely.Polygon) -> float | None:
    """Return the least room [mm] of a stringer's sections in the drawn sheet; None if it misses."""
    gaps = [
        -1.0 if drawn.intersects(section) else float(drawn.distance(section))
        for at in (BELOW, made.thickness - BELOW)
        for region in regions(made.frame.moved(at), model.parts[other], other, CHORD)
        for section in (region.polygon(),)
    ]
    return min(gaps, default=None)


def _nest(rows: Sequence[LaidPattern], shop: PlyShop, stock: PlyStock) -> Check:
    return found(
        f"ply.nest.{stock.material.replace(' ', '_')}_{stock.thickness:g}", "frame",
        "least gap of two parts on one sheet, and to its edges", least_gap(rows, shop), "mm",
        low=shop.gap - OFF, method="the lines to cut where they lie, as polygons",
        source="handoff.ply.gap",
    )  # fmt: skip


def _part(made: PlyPattern, stock: PlyStock) -> Item:
    area = made.drawn().area
    volume = area * made.thickness
    bevel = "; edge bevelled" if made.bevel else ""
    return Item(
        f"{made.name} blank", made.name, "", stock.name, (*made.size, made.thickness),
        volume=volume, mass=volume * 1e-9 * stock.density, files=(f"ply_{made.name}",),
        note=f"as cut {area / 1e6:.4f} m²{bevel}",
    )  # fmt: skip


def _to_buy(stock: PlyStock, rows: Sequence[LaidPattern], shop: PlyShop) -> Item:
    nested_on = 1 + max(row.sheet for row in rows)
    order = ceil(nested_on * (1.0 + shop.allowance) - 1e-9)
    size = (shop.sheet_length, shop.sheet_width, stock.thickness)
    volume = order * shop.sheet_length * shop.sheet_width * stock.thickness
    return Item(
        f"{stock.material} {stock.thickness:g} mm, to order", "frame", "", stock.name, size, order,
        volume, volume * 1e-9 * stock.density, kind="buy",
        note=f"to buy: {nested_on} as nested, with {shop.allowance:.0%} more {order}",
    )  # fmt: skip
