"""What the ply shop's part has of strips: the sheets of caps, rows to cut and to buy."""

from dataclasses import replace

from geomgen.kernel.model import Model
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import PlyShop
from geomgen.shapes.wing_structure.inner_room import room_of
from geomgen.shops.ply_patterns.cap_sheet import cap_sheet
from geomgen.shops.ply_patterns.prices import own_prices
from geomgen.shops.ply_patterns.strips import cap_strips, cap_tables, stringer_strips, to_buy
from geomgen.shops.product import Item, ShopSheet


def strip_part(p: Parameters, model: Model, shop: PlyShop) -> tuple[list[ShopSheet], list[Item]]:
    """Return a sheet for the caps of each spar, and the rows of all stringers and caps."""
    tables = cap_tables(p, model)
    caps = cap_strips(p, model, tables)
    sheets = []
    for spar in p.spars:
        own = [one for one in caps if one.part.startswith(f"spar_{spar.name}_cap_")]
        if own:
            place = "BL" if room_of(p, spar.of).symmetric else "WL"
            sheets.append(cap_sheet(spar.name, place, tables[spar.name], own))
    strips = [*stringer_strips(p, model), *caps]
    items = [replace(one.item(), files=_files(one.part)) for one in strips]
    return sheets, [*items, *to_buy(strips, shop.allowance, own_prices(p))]


def _files(part: str) -> tuple[str, ...]:
    """Return the sheet that a cap is on; a stringer has none."""
    spar = part.removeprefix("spar_").partition("_cap_")[0]
    return (f"spar_caps_{spar}",) if part.startswith("spar_") else ()
