"""What is measured on patterns and nests: outlines, room in notches, gaps on the sheets."""

from collections.abc import Sequence

import shapely

from geomgen.kernel.brep.boxes import boxes_meet, loose_box
from geomgen.kernel.model import Model
from geomgen.kernel.sections.section import regions
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import PlyShop
from geomgen.shops.ply_patterns.nest import LaidPattern, least_gap
from geomgen.shops.ply_patterns.outline import CHORD, OFF, PlyPattern
from geomgen.shops.ply_patterns.stock import PlyStock
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# What passes is looked at so far below both faces of a sheet [mm].
BELOW = 0.01


def findings_of(p: Parameters, model: Model, name: str, made: PlyPattern) -> list[Check]:
    """Return what is measured on a pattern of the sheet `name`: its outline, its notches."""
    drawn = made.drawn()
    meant = (made.whole.exterior, *made.whole.interiors)
    pairs = zip((drawn.exterior, *drawn.interiors), meant, strict=True)
    off = max(float(line.hausdorff_distance(ring)) for line, ring in pairs)
    checks = [
        found(
            f"ply.outline.{made.name}", made.name, "lines to cut off the solid's own outline", off,
            "mm", high=OFF, method="the sheet's own two faces, the larger outline",
            source="own choice",
        )
    ]  # fmt: skip
    checks += _pins_as_drawn(model, made, drawn)
    rooms = [
        (room - gap, other)
        for other, gap in passing(p, model, name).items()
        if (room := _room(model, made, other, drawn)) is not None
    ]
    if rooms:
        least, other = min(rooms)
        what = "spars" if name.startswith("rib_") else "stringers"
        checks.append(
            found(
                f"ply.notch.{made.name}", made.name,
                f"room round {what} in the notches as drawn, beyond their clearance", least, "mm",
                low=-OFF, where=other, source="own choice",
                method=f"sections of the {what} at both faces of the sheet against the lines",
            )
        )  # fmt: skip
    return checks


def _pins_as_drawn(model: Model, made: PlyPattern, drawn: shapely.Polygon) -> list[Check]:
    """Return how far the holes of a joint's plate as drawn are off the pins' own middles [mm]."""
    inlay = model.inlay(made.name)
    stem = "joint_plate_"
    if inlay is None or not made.name.startswith(stem) or not drawn.interiors:
        return []
    own = f"joint_pin_{inlay.name.removeprefix(stem)}_"
    hand = made.name.rpartition("_")[2]
    middle = made.frame.moved(made.thickness / 2)
    pins = [
        region.polygon().centroid
        for name, solid in model.parts.items()
        if name.startswith(own) and name.endswith(hand)
        for region in regions(middle, solid, name, CHORD)
    ]
    holes = [shapely.Polygon(ring).centroid for ring in drawn.interiors]
    off = max(min(float(pin.distance(hole)) for hole in holes) for pin in pins)
    return [
        found(
            f"ply.pins.{made.name}", made.name, "middles of holes to cut off those of the pins",
            off, "mm", high=OFF, where=f"{len(holes)} holes, {len(pins)} pins", source="own choice",
            method="sections of the pins in the middle of the sheet against the lines",
        )
    ]  # fmt: skip


def passing(p: Parameters, model: Model, name: str) -> dict[str, float]:
    """Return the parts that may pass a sheet, with the clearance [mm] that is stated for each."""
    if not name.startswith("rib_"):
        return {
            other: gap
            for one, other, gap in model.joint_gaps
            if one == name and model.families.get(other) == "stringer"
        }
    row = max((r for r in p.ribs if name.startswith(f"rib_{r.name}_")), key=lambda r: len(r.name))
    spars = [f"{stem}_{spar.name}_" for spar in p.spars if spar.of == row.of
             for stem in ("spar", "joint_plate")]  # fmt: skip
    box = loose_box(model.parts[name])
    return {
        part: row.notch_gap
        for part, solid in model.parts.items()
        if part.startswith(tuple(spars)) and boxes_meet(box, loose_box(solid))
    }


def _room(model: Model, made: PlyPattern, other: str, drawn: shapely.Polygon) -> float | None:
    """Return the least room [mm] of a part's sections in the drawn sheet; None if it misses."""
    gaps = [
        -1.0 if drawn.intersects(section) else float(drawn.distance(section))
        for at in (BELOW, made.thickness - BELOW)
        for region in regions(made.frame.moved(at), model.parts[other], other, CHORD)
        for section in (region.polygon(),)
    ]
    return min(gaps, default=None)


def nest_finding(rows: Sequence[LaidPattern], shop: PlyShop, stock: PlyStock) -> Check:
    """Return the least gap of a nest as a check."""
    return found(
        f"ply.nest.{stock.material.replace(' ', '_')}_{stock.thickness:g}", rows[0].pattern.name,
        "least gap of two parts on one sheet, and to its edges", least_gap(rows, shop), "mm",
        low=shop.gap - OFF, method="the lines to cut where they lie, as polygons",
        source="handoff.ply.gap",
    )  # fmt: skip
