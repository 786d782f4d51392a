"""The ply shop's part of the hand-off: each flat sheet at full size, nests, what to buy."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil

import shapely

from geomgen.drafting.paper.full_size import full_size
from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.plain import FlatSheet
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import ANY_GRAIN, PlyShop
from geomgen.shops.bent_parts import bent_parts
from geomgen.shops.ply_patterns.drawing import ply_drawing
from geomgen.shops.ply_patterns.findings import findings_of, nest_finding
from geomgen.shops.ply_patterns.frame_words import frame_words
from geomgen.shops.ply_patterns.jig import jig_frames, jig_sheets
from geomgen.shops.ply_patterns.marks import LEFT, RIGHT, PlyWords, inner_words, words_of
from geomgen.shops.ply_patterns.nest import LaidPattern, laid, nest_sheets
from geomgen.shops.ply_patterns.outline import (
    OFF,
    PlyPattern,
    mirror_gap,
    pattern,
)
from geomgen.shops.ply_patterns.prices import Price, own_prices, unused
from geomgen.shops.ply_patterns.split import (
    in_pieces,
    joint_marks,
    pieces_finding,
    reached_by_straps,
    straps,
    straps_finding,
)
from geomgen.shops.ply_patterns.stock import (
    PLATE,
    PlyStock,
    cut_to_size,
    grain_angle,
    grain_of,
    left_out,
    sheets_of,
    stocks,
)
from geomgen.shops.ply_patterns.strip_part import strip_part
from geomgen.shops.ply_patterns.strips import pin_rows, priced
from geomgen.shops.product import Hand, Item, Package, ShopSheet, found
from geomgen.verdicts.check import Check

SHOP = "ply_shop"
# A sheet so much thinner, square to it, than its stock is told [mm].
THINNER = 0.02


def ply_package(p: Parameters, model: Model) -> Package:
    """Return drawings, nests, findings and rows of all flat sheets, measured on their solids.

    GeometryError for a sheet that is none, or that fits on none that is bought, not even in pieces.
    """
    shop = p.handoff.ply if p.handoff else None
    known = stocks(p, model)
    if shop is None or not (model.sheets or p.stringers or p.spars):
        raise GeometryError("nothing is asked of the ply shop", part="frame", step="ply")
    whole = {n: pattern(n, model.parts[model.sheets[n].part or n], model.sheets[n]) for n in known}
    words = {name: "length" if name_is_web(name) else "piece" for name in known}
    # A plate of a joint in pieces would be none.
    made = {
        name: [one]
        if name.startswith(PLATE)
        else in_pieces(one, sheets_of(p, known[name], shop), words[name])
        for name, one in whole.items()
    }
    near = {
        name: reached_by_straps(
            whole[name], pieces, shop.strap_ratio or 0.0, _bends(model, name, whole[name])
        )
        for name, pieces in made.items()
    }
    over = {
        name: straps(p, model, name, whole[name], near[name], stock.thickness)
        for name, stock in known.items()
    }
    inner = inner_words(p)
    sheets, items, findings = [], [], []
    for name, stock in known.items():
        for cut in (made, over):
            twin, own = _twin(name, cut), words_of(inner, name)
            if twin is None:
                left = _other(name) if name.endswith(RIGHT) else ""
                both = left in cut and _twin(left, cut) is not None
                for one in cut[name]:
                    said = own or frame_words(p, name, one)
                    sheets.append(_full(one, said, stock, shop, both))
            for number, one in enumerate(cut[name]):
                drawn = one if twin is None else twin[number]
                face = own.faces(one.face) if own else one.face
                part = _part(one, stock, model.sheets[name], drawn, twin is not None, face)
                items.append(_with_grain(part, grain_of(one.name, shop)))
            findings += [check for one in cut[name] for check in findings_of(p, model, name, one)]
        if len(made[name]) > 1:
            findings.append(pieces_finding(name, whole[name], made[name]))
        if near[name]:
            findings.append(straps_finding(whole[name], near[name], over[name], stock.density))
    for number, ((material, _), names) in enumerate(_groups(known).items(), start=1):
        stock = known[names[0]]
        asked = sheets_of(p, stock, shop)
        rows = laid([one for name in names for one in (*made[name], *over[name])], asked)
        sheets += nest_sheets(rows, asked, material, f"ply_nest_{number}")
        findings.append(nest_finding(rows, asked, stock))
        if cut_to_size(p, stock):
            items += _cut_to_size(stock, rows, asked, own_prices(p))
        else:
            items.append(_to_buy(stock, rows, asked, own_prices(p)))
    standing = [one for name, one in whole.items() if name.startswith("frame_")]
    if shop.jig and standing:
        sheets += jig_sheets(jig_frames(standing, shop.jig), shop.jig)
    more, strips = strip_part(p, model, shop)
    sheets += more
    items += [*strips, *pin_rows(p, model)]
    findings += [*_told(p, model), *unused(p, items)]
    return Package(SHOP, sheets=tuple(sheets), findings=tuple(findings), items=tuple(items))


def _bends(model: Model, name: str, whole: PlyPattern) -> list[tuple[int, float]]:
    """Return where a web bends in its own plane, as a wing does at a break of dihedral [mm]."""
    if not name_is_web(name):
        return []
    axis = 1 if abs(whole.frame.up[2]) > abs(whole.frame.up[1]) else 2
    low, _, high, _ = whole.whole.bounds
    # What bends at an end of a run, where the next one begins askew, is no bend of the run.
    clear = 2 * whole.thickness
    parts = bent_parts(model.parts[model.sheets[name].part or name], axis)
    places = [float(whole.frame.flat(part.end)[0, 0]) for part in parts if part.aslant]
    return [(0, at) for at in sorted(places) if low + clear < at < high - clear]


def _other(name: str) -> str:
    return name.removesuffix(RIGHT) + LEFT


def _twin(name: str, made: dict[str, list[PlyPattern]]) -> list[PlyPattern] | None:
    """Return the patterns on the right that those on the left are, turned over; None where not."""
    right = made.get(name.removesuffix(LEFT) + RIGHT) if name.endswith(LEFT) else None
    if right is None or len(right) != len(made[name]):
        return None
    # Lengths count from one end across, on the left from the other one.
    mine = made[name]
    for order in (right, right[::-1]):
        pairs = zip(order, mine, strict=True)
        if all(_turned_over(a, b) for a, b in pairs):
            return order
    return None


def _turned_over(one: PlyPattern, other: PlyPattern) -> bool:
    square = not one.bevel and not other.bevel
    return square and one.face == other.face and mirror_gap(one, other) <= OFF


def _groups(known: dict[str, PlyStock]) -> dict[tuple[str, float], list[str]]:
    groups: dict[tuple[str, float], list[str]] = {}
    for name, stock in known.items():
        groups.setdefault((stock.name, stock.density), []).append(name)
    return groups


def _full(
    made: PlyPattern, said: PlyWords, stock: PlyStock, shop: PlyShop, both: bool
) -> ShopSheet:
    words = [made.name.upper(), said.where, stock.name.upper(), said.seen]
    if name_is_web(made.name):
        words.insert(2, _reach(made))
    note = stock.name
    if made.face:
        face = said.faces(made.face)
        words.append(f"BUTT STRAP ON THE {face.upper()} FACE, NOT DESIGNED")
        note += f"; butt strap on the {face} face, the joint is not designed"
    elif made.joints:
        words.append("THE JOINT TO THE NEXT PIECE IS NOT DESIGNED")
    marks = () if made.face else said.marks
    said = replace(said, marks=(*marks, *joint_marks(made, shop.strap_ratio)))
    if made.bevel:
        words.append(f"LARGER FACE: {said.faces(made.larger).upper()}")
    if both:
        words.append("THE LEFT ONE: THIS TURNED OVER")
    drawing = ply_drawing(made, said, tuple(words), grain_angle(made.name, shop))
    return ShopSheet(f"ply_{made.name}", made.name, full_size(drawing), note=note)


def name_is_web(name: str) -> bool:
    """Say whether a sheet is a spar's web.

    >>> name_is_web("spar_main_web_run_1")
    True
    """
    return name.startswith("spar_")


def _reach(made: PlyPattern) -> str:
    """Return from where to where along the span a web's pattern runs [mm]."""
    x0, _, x1, _ = made.whole.bounds
    axis = 1 if abs(made.frame.up[2]) > abs(made.frame.up[1]) else 2
    ends = sorted(round(made.frame.lifted((x, 0.0))[axis], 1) + 0.0 for x in (x0, x1))
    return f"{'BL' if axis == 1 else 'WL'} {ends[0]:g} TO {ends[1]:g}"


def _part(
    made: PlyPattern, stock: PlyStock, sheet: FlatSheet, drawn: PlyPattern, turned: bool, face: str
) -> Item:
    volume = made.drawn().area * made.thickness
    notes = [f"as cut {made.drawn().area / 1e6:.4f} m²"]
    if made.bevel:
        notes.append("edge bevelled")
    if turned:
        notes.append(f"{drawn.name} turned over")
    if stock.thickness - made.thickness > THINNER:
        notes.append(f"stands aslant: {sheet.thickness:.2f} mm square to the sheet")
    if face:
        notes.append(f"butt strap on its {face} face, not designed")
    elif made.joints:
        notes.append("a piece of it: the joint is not designed")
    hand: Hand = "right" if RIGHT in made.name else "left" if LEFT in made.name else ""
    return Item(
        f"{made.name} blank", sheet.part or made.name, hand, stock.name,
        (*made.size, made.thickness), volume=volume, mass=volume * 1e-9 * stock.density,
        files=(f"ply_{drawn.name}",), note="; ".join(notes),
    )  # fmt: skip


def _with_grain(item: Item, grain: str) -> Item:
    """Return the row of a part with how its grain lies, where that matters."""
    if grain == ANY_GRAIN:
        return item
    return replace(item, note=f"{item.note}; grain of the faces {grain}")


def _cut_to_size(
    stock: PlyStock, rows: Sequence[LaidPattern], shop: PlyShop, prices: dict[str, Price]
) -> Iterator[Item]:
    """Yield a row to order for each sheet as nested: a piece as large as its parts take."""
    for number in sorted({row.sheet for row in rows}):
        here = [row for row in rows if row.sheet == number]
        _, _, right, top = shapely.union_all([row.outline() for row in here]).bounds
        size = (ceil(right + shop.gap), ceil(top + shop.gap), stock.thickness)
        volume = size[0] * size[1] * size[2]
        row = Item(
            f"{stock.material} {stock.thickness:g} mm, to order", here[0].pattern.name, "",
            stock.name, size, 1, volume, volume * 1e-9 * stock.density, kind="buy",
            note=f"to buy: one piece of {size[0]:g} x {size[1]:g} mm for {len(here)} parts, cut to "
            "size; sheets as they are sold: handoff.stock.sheets",
        )  # fmt: skip
        yield priced(row, prices, 1, "piece")


def _to_buy(
    stock: PlyStock, rows: Sequence[LaidPattern], shop: PlyShop, prices: dict[str, Price]
) -> Item:
    nested_on = 1 + max(row.sheet for row in rows)
    order = ceil(nested_on * (1.0 + shop.allowance) - 1e-9)
    size = (shop.sheet_length, shop.sheet_width, stock.thickness)
    volume = order * shop.sheet_length * shop.sheet_width * stock.thickness
    row = Item(
        f"{stock.material} {stock.thickness:g} mm, to order", rows[0].pattern.name, "", stock.name,
        size, order, volume, volume * 1e-9 * stock.density, kind="buy",
        note=f"to buy: {nested_on} as nested, with {shop.allowance:.0%} more {order}",
    )  # fmt: skip
    return priced(row, prices, order, "sheet")


def _told(p: Parameters, model: Model) -> list[Check]:
    """Return what the ply shop does not cut, in words."""
    return [
        found(
            f"ply.left_out.{row.name}", row.name, f"sheets that are not in the nests: {row.why}",
            float(row.count), "1", severity="info", method="counted", source="[[mass]]",
        )
        for row in left_out(p, model)
    ]  # fmt: skip
