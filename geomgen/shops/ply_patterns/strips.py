"""Strips: stringers and the caps of spars, their lengths and sections measured on the solids."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import pi

import numpy as np

from geomgen.kernel.model import Model
from geomgen.kernel.plane_frame import Frame, at_buttock_line, at_waterline
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.breadth import lengthwise
from geomgen.kernel.solids.properties import volume
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import TUBE, Spar, wing_joint_names
from geomgen.shapes.wing_structure.inner_room import room_of
from geomgen.shapes.wing_structure.spar_lines import span_of
from geomgen.shops.bent_parts import BentPart, bent_parts
from geomgen.shops.ply_patterns.prices import Price, own_prices
from geomgen.shops.ply_patterns.stock import joint_material, material_of
from geomgen.shops.product import Hand, Item

# Caps are looked at so often along the span [mm], and so far inside their ends [mm].
STEP, INSIDE = 500.0, 0.5
UNSAID = "material not said"


@dataclass(frozen=True)
class CapSection:
    """A spar's caps at a place along the span [mm]: width and height [mm] of each by its name."""

    at: float
    sizes: dict[str, tuple[float, float]]


@dataclass(frozen=True)
class Strip:
    """A strip: the part, its stock, length [mm] (None: not measured), volume [mm3].

    Of a bent part each straight one is a strip, `number` of `of`.
    """

    part: str
    hand: Hand
    material: str
    section: tuple[float, float]
    length: float | None
    volume: float
    density: float | None
    note: str = ""
    number: int = 1
    of: int = 1

    @property
    def name(self) -> str:
        """Return the part's name, and which straight part of a bent one it is."""
        return self.part if self.of == 1 else f"{self.part}, part {self.number} of {self.of}"

    @property
    def stock(self) -> str:
        """Return what it is cut from as the parts list has it.

        Rounded twice: measured sides of a quarter of an inch are a hair to both sides of 6.35 mm.
        """
        a, b = (f"{round(round(side, 2), 1):g}" for side in self.section)
        return f"{self.material} strip, {a} x {b} mm"

    def item(self) -> Item:
        """Return its row of the parts list."""
        mass = None if self.density is None else self.volume * 1e-9 * self.density
        size = None if self.length is None else (self.length, *self.section)
        note = self.note if size else f"{self.note}; its length could not be measured".lstrip("; ")
        name = f"{self.part} strip{self.name.removeprefix(self.part)}"
        return Item(
            name, self.part, self.hand, self.stock, size, volume=self.volume, mass=mass, note=note
        )


def stringer_strips(p: Parameters, model: Model) -> list[Strip]:
    """Return the stringers of a model as strips."""
    found = []
    for row in p.stringers:
        for name, solid in model.parts.items():
            if name.removesuffix("_right").removesuffix("_left") != f"stringer_{row.name}":
                continue
            found.append(
                Strip(
                    name, hand_of(name), row.material, (row.width, row.depth),
                    lengthwise(solid, 0), volume(solid).value, row.density, "along the skin",
                )
            )  # fmt: skip
    return found


def cap_strips(p: Parameters, model: Model, tables: dict[str, list[CapSection]]) -> list[Strip]:
    """Return the caps of all spars as strips of the largest section in their tables."""
    found = []
    for spar in p.spars:
        axis = 1 if room_of(p, spar.of).symmetric else 2
        for name, solid in model.parts.items():
            if not name.startswith(f"spar_{spar.name}_cap_"):
                continue
            right = name.replace("_left", "_right")
            sizes = [row.sizes[right] for row in tables[spar.name] if right in row.sizes]
            wide, high = (max(size[i] for size in sizes) for i in (0, 1))
            least = [min(size[i] for size in sizes) for i in (0, 1)]
            tapers = wide - least[0] > 0.05 or high - least[1] > 0.05
            said = material_of(p, name)
            material, density = said or (UNSAID, None)
            note = f"tapers to {least[0]:.1f} x {least[1]:.1f} mm" if tapers else ""
            whole = Strip(
                name, hand_of(name), material, (wide, high), lengthwise(solid, axis),
                volume(solid).value, density, note,
            )  # fmt: skip
            found += in_straight_parts(whole, bent_parts(solid, axis), axis)
    return found


def in_straight_parts(whole: Strip, parts: Sequence[BentPart], axis: int) -> list[Strip]:
    """Return a strip along an axis as one of each straight part, bends [deg] in their notes.

    The volume [mm3] is shared by length and section as measured.
    """
    if len(parts) < 2:
        return [whole]
    share = [part.length * part.area for part in parts]
    line = "WL" if axis == 2 else "BL"
    return [
        replace(
            whole, length=part.length, volume=whole.volume * own / sum(share),
            number=number, of=len(parts),
            note="; ".join(text for text in (whole.note, part.words(line, number)) if text),
        )
        for number, (part, own) in enumerate(zip(parts, share, strict=True), start=1)
    ]  # fmt: skip


def pin_rows(p: Parameters, model: Model) -> list[Item]:
    """Return the pins of joints as rows of the parts list, and what to buy of each rod."""
    rods: dict[str, list[Item]] = {}
    for spar in p.spars:
        joint = spar.wing_joint
        if joint is None:
            continue
        stem = f"{wing_joint_names(spar)[1]}_"
        section = pi / 4 * joint.pin_diameter**2
        for name in (part for part in model.parts if part.startswith(stem)):
            metal, density = joint_material(p, name, joint.pin_material)
            rod, held = f"{metal} rod, {joint.pin_diameter:g} mm", volume(model.parts[name]).value
            size = held / section, joint.pin_diameter, joint.pin_diameter
            rods.setdefault(rod, []).append(
                Item(f"{name} pin", name, hand_of(name), rod, size, volume=held,
                     mass=held * 1e-9 * density, note=f"holes {joint.pin_clearance:g} mm wider")
            )  # fmt: skip
    bought = [_rod(rod, pins, own_prices(p)) for rod, pins in rods.items()]
    return [*(pin for pins in rods.values() for pin in pins), *bought]


def _rod(rod: str, pins: Sequence[Item], prices: dict[str, Price]) -> Item:
    sizes = [pin.size for pin in pins if pin.size]
    long, (_, wide, high) = sum(size[0] for size in sizes), sizes[0]
    row = Item(
        f"{rod}, to order", pins[0].part, "", rod, (long, wide, high), 1,
        sum(pin.volume or 0.0 for pin in pins), sum(pin.mass or 0.0 for pin in pins), kind="buy",
        note=f"to buy: {len(pins)} pins, {long / 1e3:.2f} m, cuts not counted",
    )  # fmt: skip
    return priced(row, prices, long / 1e3, "metre")


def hand_of(name: str) -> Hand:
    """Return the hand that the name of a part says.

    >>> hand_of("spar_main_cap_upper_left"), hand_of("rib_a_1")
    ('left', '')
    """
    return "right" if name.endswith("_right") else "left" if name.endswith("_left") else ""


def cap_tables(p: Parameters, model: Model) -> dict[str, list[CapSection]]:
    """Return the caps of each spar by its name, on the right from inside out, cut on the solids.

    At both ends, where the spar's own table has a row, and every `STEP` mm.
    """
    return {spar.name: list(_cuts(p, model, spar)) for spar in p.spars if spar.kind != TUBE}


def _cuts(p: Parameters, model: Model, spar: Spar) -> Iterator[CapSection]:
    room = room_of(p, spar.of)
    start, end = span_of(room, spar)
    caps = {
        name: solid
        for name, solid in model.parts.items()
        if name.startswith(f"spar_{spar.name}_cap_") and not name.endswith("_left")
    }
    own = [room.base + row.at for row in spar.stations]
    if spar.wing_joint is not None:
        own += [room.base + spar.wing_joint.at + side * spar.wing_joint.gap for side in (-1, 1)]
    steps = np.arange(np.ceil(start / STEP) * STEP, end, STEP).tolist()
    places = sorted({start, end, *(s for s in (*own, *steps) if start + 1.0 < s < end - 1.0)})
    for s in places:
        at = min(max(s, start + INSIDE), end - INSIDE)
        frame = at_buttock_line(at) if room.symmetric else at_waterline(at)
        sizes = {name: size for name, solid in caps.items() if (size := _size(frame, solid, name))}
        yield CapSection(s, sizes)


def _size(frame: Frame, solid: object, name: str) -> tuple[float, float] | None:
    """Return width, fore and aft, and mean height [mm] of a cap in a plane; None if it misses."""
    found = regions(frame, solid, name)  # type: ignore[arg-type]
    if not found:
        return None
    area = sum(piece.area for piece in found)
    x0 = min(piece.polygon().bounds[0] for piece in found)
    x1 = max(piece.polygon().bounds[2] for piece in found)
    return x1 - x0, area / (x1 - x0)


def to_buy(strips: Sequence[Strip], allowance: float, prices: dict[str, Price]) -> list[Item]:
    """Return what is to buy of each stock of strip: metres, with an allowance [1] on top."""
    groups: dict[tuple[str, float | None], list[Strip]] = {}
    for strip in strips:
        groups.setdefault((strip.stock, strip.density), []).append(strip)
    found = []
    for (stock, density), group in groups.items():
        known = [strip.length for strip in group if strip.length is not None]
        if not known:
            continue
        cut = sum(known)
        order = cut * (1.0 + allowance)
        wide, high = group[0].section
        held = order * wide * high
        note = f"to buy: {cut / 1e3:.2f} m in {len(known)} pieces, with {allowance:.0%} more " \
               f"{order / 1e3:.2f} m"  # fmt: skip
        if len(known) < len(group):
            note += f"; without {len(group) - len(known)} that could not be measured"
        row = Item(
            f"{stock}, to order", group[0].part, "", stock, (order, wide, high), 1, held,
            None if density is None else held * 1e-9 * density, kind="buy", note=note,
        )  # fmt: skip
        found.append(priced(row, prices, order / 1e3, "metre"))
    return found


def priced(row: Item, prices: dict[str, Price], many: float, each: str) -> Item:
    """Return a row to buy with what it costs by the builder's own price of its stock, if any.

    `many` [1], of sheets or metres, is how much, `each` the word for one.
    """
    price = prices.get(row.material)
    if price is None:
        return row
    cost = (many * price.amount, price.money)
    words = f"own price {price.amount:g} {price.money} a {each}"
    return replace(row, cost=cost, note=f"{row.note}; {words}")
