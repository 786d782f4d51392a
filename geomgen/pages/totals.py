"""What the shops' parts come to: foam, board and sheet by volume and mass, cloth, resin."""

from collections.abc import Sequence
from dataclasses import dataclass

from geomgen.shops.product import Item


@dataclass(frozen=True)
class ClothLayer:
    """One kind of cloth in the skin: how many plies, how heavy dry, resin in one [kg/m2]."""

    cloth: str
    count: int
    areal_weight: float
    resin: float


@dataclass(frozen=True)
class Total:
    """A sum: pieces, volume in the parts [mm3], mass [kg], area [mm2]; `stock` is to buy [mm3].

    `length` [mm] is that of strips as cut; `cost` what is bought costs, in the builder's money.
    """

    what: str
    pieces: int
    volume: float | None = None
    mass: float | None = None
    area: float | None = None
    stock: float | None = None
    note: str = ""
    length: float | None = None
    cost: str = ""


def totals(items: Sequence[Item], layers: Sequence[ClothLayer]) -> list[Total]:
    """Return the sums over a parts list: each material, then each cloth, then the resin.

    Rows that sum up others are left out, and rows to buy count as stock only.
    """
    return [*_materials(items), *_skin(items, layers)]


def family(material: str) -> str:
    """Return what a material is summed up as.

    >>> family("foam, 32 kg/m³, hot-wire")
    'foam'
    """
    return material.split(",")[0]


def _materials(items: Sequence[Item]) -> list[Total]:
    groups: dict[str, list[Item]] = {}
    for item in items:
        if item.volume is not None and item.kind != "sum":
            groups.setdefault(family(item.material), []).append(item)
    return [_material(name, group) for name, group in groups.items()]


def _material(name: str, group: Sequence[Item]) -> Total:
    made = [item for item in group if item.kind == "part"]
    masses = [item.mass for item in made if item.mass is not None]
    stock = [_stock(item) for item in group]
    known = [value for value in stock if value is not None]
    lacking = len(made) - len(masses)
    return Total(
        name,
        sum(item.count for item in made),
        sum(item.volume or 0.0 for item in made),
        sum(masses) if masses else None,
        _sheet_area(made) if name.endswith("sheet") else None,
        stock=sum(known) if known else None,
        note=f"mass without {lacking} of them, whose density is not known" if lacking else "",
        length=_length(made) if name.endswith("strip") else None,
        cost=_cost(group),
    )


def _length(made: Sequence[Item]) -> float | None:
    """Return the length [mm] of strips as cut, the first of their sizes; None without one."""
    known = [item.size[0] * item.count for item in made if item.size]
    return sum(known) if known else None


def _cost(group: Sequence[Item]) -> str:
    """Return what rows to buy cost by the builder's prices, money by money; "" without any."""
    bought = [item for item in group if item.kind == "buy"]
    sums: dict[str, float] = {}
    for item in bought:
        if item.cost is not None:
            sums[item.cost[1]] = sums.get(item.cost[1], 0.0) + item.cost[0]
    words = " + ".join(f"{amount:.2f} {money}" for money, amount in sums.items())
    lacking = sum(item.cost is None for item in bought)
    return f"{words}, without {lacking} stock that has no price" if words and lacking else words


def _sheet_area(made: Sequence[Item]) -> float | None:
    """Return the area [mm2] of parts of sheet as cut; the last of their sizes is the thickness."""
    flat = [(item.volume or 0.0) / item.size[2] for item in made if item.size]
    return sum(flat) if len(flat) == len(made) else None


def _stock(item: Item) -> float | None:
    return item.volume if item.kind == "buy" else item.stock


def _skin(items: Sequence[Item], layers: Sequence[ClothLayer]) -> list[Total]:
    skins = [item for item in items if item.laminate_area and item.kind != "sum"]
    area = sum(item.laminate_area or 0.0 for item in skins)
    if not layers or not skins:
        return []
    note = f"skin of {_parts(skins)}: nothing for any other part, for overlap or for waste"
    made = [_cloth(layer, len(skins), area, note) for layer in layers]
    resin = sum(layer.count * layer.resin for layer in layers)
    return [*made, Total("resin", len(skins), mass=area * 1e-6 * resin, note=note)]


def _parts(skins: Sequence[Item]) -> str:
    """Return the names of the parts whose skins are summed up, each once."""
    *more, last = dict.fromkeys(item.part for item in skins)
    return f"{', '.join(more)} and {last}" if more else f"{last} alone"


def _cloth(layer: ClothLayer, skins: int, area: float, note: str) -> Total:
    """Return what a layer needs of its cloth on an area [mm2]."""
    plies = f"{layer.count} {'ply' if layer.count == 1 else 'plies'}"
    return Total(
        f"cloth: {layer.cloth}, {1000 * layer.areal_weight:.0f} g/m²",
        skins,
        mass=area * 1e-6 * layer.count * layer.areal_weight,
        area=area * layer.count,
        note=f"{plies} on {area * 1e-6:.2f} m²; {note}",
    )
