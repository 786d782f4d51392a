"""What flat sheets are cut from: material and thickness, told by the file; what is no sheet."""

from dataclasses import dataclass

from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import PartMass
from geomgen.parameters.records.shops import ANY_GRAIN, DIAGONAL, PlyShop
from geomgen.parameters.records.stock import SheetsBought
from geomgen.parameters.records.structure.framing import frame_parts
from geomgen.parameters.records.structure.wing import wing_joint_names
from geomgen.parameters.values.materials import MATERIALS, METALS

HANDS = ("_right", "_left")
PLATE, STRAP = "joint_plate_", "_strap_"
# Of each grain, the ways [deg] that a part of the right hand is turned by on a sheet, whose grain
# runs along its length.
TURNS = {"up": (90.0,), "across": (0.0,), ANY_GRAIN: (0.0, 90.0), DIAGONAL: (-45.0,)}
FOAM, LEFT = "foam", "_left"
# A thickness is another one from so much on [mm].
SAME = 0.005


@dataclass(frozen=True)
class PlyStock:
    """What a part is cut from: material and thickness [mm], density [kg/m3]."""

    material: str
    thickness: float
    density: float

    @property
    def name(self) -> str:
        """Return it as the parts list has it."""
        return f"{self.material} sheet, {self.thickness:g} mm"


@dataclass(frozen=True)
class LeftOut:
    """A row of parts that the ply shop does not cut: which, how many, why, in words."""

    name: str
    count: int
    why: str


def stocks(p: Parameters, model: Model) -> dict[str, PlyStock]:
    """Return what each flat sheet of the model is cut from, by the sheet's name.

    Those of ribs and webs that are of foam or of nothing that is said are not in it.
    """
    thick = _thicknesses(p)
    found = {
        part: PlyStock(f.material, f.thickness, f.density)
        for f in p.frames
        for part in frame_parts(f)
        if part in model.sheets
    }
    for spar in p.spars:
        if (joint := spar.wing_joint) is not None:
            found |= {
                name: PlyStock(metal, joint.plate_thickness, density)
                for name in model.sheets
                for metal, density in (joint_material(p, name, joint.material),)
                if name.startswith(f"{wing_joint_names(spar)[0]}_")
            }
    for name in model.sheets:
        said = material_of(p, name)
        if name not in found and said is not None and FOAM not in said[0]:
            found[name] = PlyStock(said[0], thick[_row(thick, name)], said[1])
    return found


def joint_material(p: Parameters, part: str, own: str) -> tuple[str, float]:
    """Return material and density [kg/m3] of a joint's plate or pin of its `own` material.

    What [[mass]] says of either goes before that.
    """
    row = _mass_row(p, part)
    material = row.material if row and row.material else own
    return material, row.density if row and row.density else MATERIALS[material].density


def grain_of(name: str, shop: PlyShop) -> str:
    """Return how the grain lies on a part, by its name: up, across, 45 deg or any.

    >>> shop = PlyShop(grain="up", grain_webs="45 deg", grain_straps="across")
    >>> [grain_of(f"spar_main_web_{name}", shop) for name in ("left", "left_strap_1")]
    ['45 deg', 'across']
    >>> grain_of("rib_a_1", shop), grain_of("joint_plate_main_inner_1_left", shop)
    ('up', 'any')
    """
    if name.startswith(PLATE):
        return ANY_GRAIN
    if STRAP in name and shop.grain_straps:
        return shop.grain_straps
    own = {"frame": shop.grain_frames, "rib": shop.grain_ribs, "spar": shop.grain_webs}
    return own.get(name.partition("_")[0]) or shop.grain


def grain_angle(name: str, shop: PlyShop) -> float | None:
    """Return the direction of a part's grain on its drawing [deg], across 0; None of any grain.

    A part on the left is the one on the right turned over, and so is its grain.

    >>> shop = PlyShop(grain="45 deg")
    >>> [grain_angle(f"rib_a_1_{hand}", shop) for hand in ("right", "left")]
    [45.0, -45.0]
    """
    ways = turns_of(name, shop)
    return None if len(ways) > 1 else -ways[0] if abs(ways[0]) < 90.0 else 90.0


def turns_of(name: str, shop: PlyShop) -> tuple[float, ...]:
    """Return by how much a part may be turned on a sheet [deg], so that its grain lies as asked."""
    ways = TURNS[grain_of(name, shop)]
    return tuple(-way if LEFT in name and way < 0 else way for way in ways)


def sheets_of(p: Parameters, stock: PlyStock, shop: PlyShop) -> PlyShop:
    """Return the shop with the sheets that a stock comes in: its own, or those of the ply shop."""
    own = bought(p, stock)
    if own is None:
        return shop.model_copy(update={"allowance": 0.0}) if stock.material in METALS else shop
    return shop.model_copy(
        update={
            "sheet_length": own.length,
            "sheet_width": own.width,
            "allowance": own.allowance,
        }
    )


def bought(p: Parameters, stock: PlyStock) -> SheetsBought | None:
    """Return the row of `handoff.stock.sheets` for a stock, its thickness first; None without."""
    table = p.handoff.stock if p.handoff else None
    rows = [row for row in (table.sheets if table else ()) if row.material == stock.material]
    own = [row for row in rows if row.thickness and abs(row.thickness - stock.thickness) < SAME]
    return next(iter([*own, *(row for row in rows if row.thickness is None)]), None)


def cut_to_size(p: Parameters, stock: PlyStock) -> bool:
    """Say whether a stock is ordered as a piece cut to size: metal whose sheets nothing tells."""
    return stock.material in METALS and bought(p, stock) is None


def left_out(p: Parameters, model: Model) -> list[LeftOut]:
    """Return the ribs and webs that are not cut from sheet, row by row, and why."""
    cut, thick = stocks(p, model), _thicknesses(p)
    rows: dict[str, list[str]] = {}
    for name in model.sheets:
        if name not in cut:
            rows.setdefault(_row(thick, name), []).append(name)
    return [LeftOut(row, len(names), _why(p, row, names[0])) for row, names in rows.items()]


def _why(p: Parameters, row: str, name: str) -> str:
    said = material_of(p, name)
    if said is not None:
        return f"of {said[0]}: cut from foam, not from the ply shop's sheets"
    return (
        f'the file does not say what they are of: give [[mass]] with part = "{row}" and a material'
    )


def material_of(p: Parameters, part: str) -> tuple[str, float] | None:
    """Return material and density [kg/m3] that [[mass]] gives a piece of a spar or a rib.

    The longest name that the part's own begins with goes before shorter ones, its family comes
    last. None where no row says a material.
    """
    row = _mass_row(p, part)
    if row is None or row.material is None:
        return None
    return row.material, row.density or MATERIALS[row.material].density


def _mass_row(p: Parameters, part: str) -> PartMass | None:
    rows = {row.part: row for row in p.mass}
    bare = part
    for hand in HANDS:
        bare = bare.removesuffix(hand)
    words = bare.split("_")
    names = (part, *("_".join(words[:n]) for n in range(len(words), 0, -1)))
    return next((rows[name] for name in names if name in rows), None)


def _thicknesses(p: Parameters) -> dict[str, float]:
    """Return how thick sheets are [mm] by what the names of their parts begin with."""
    return {
        **{f"rib_{row.name}": row.thickness for row in p.ribs},
        **{f"spar_{spar.name}_web": spar.web for spar in p.spars},
    }


def _row(thick: dict[str, float], name: str) -> str:
    return max((stem for stem in thick if name.startswith(f"{stem}_") or name == stem), key=len)
