"""The sheet of a spar's caps: width and height by place along the span, length of each."""

from collections.abc import Iterator, Sequence

from geomgen.drafting.paper.choice import on_smallest
from geomgen.drafting.record import Drawing
from geomgen.drafting.tables import table
from geomgen.shops.ply_patterns.drawing import CAUTION
from geomgen.shops.ply_patterns.strips import CapSection, Strip
from geomgen.shops.product import ShopSheet

# Letters on paper [mm].
LETTERS = 3.5


def cap_sheet(
    name: str, place: str, rows: Sequence[CapSection], strips: Sequence[Strip]
) -> ShopSheet:
    """Return the sheet of spar `name`; `place` is what its places [mm] are called: BL or WL."""
    caps = list(dict.fromkeys(cap for row in rows for cap in row.sizes))
    short = [_short(cap, name) for cap in caps]
    sides = ("width [mm]", "height [mm]")
    head = (f"{place} [mm]", *(f"{cap} {side}" for cap in short for side in sides))
    body = [(f"{row.at:.1f}", *(size for cap in caps for size in _sizes(row, cap))) for row in rows]
    lengths = [
        (strip.name, strip.stock, "-" if strip.length is None else f"{strip.length:.1f}",
         strip.note)
        for strip in strips
    ]  # fmt: skip

    def lettered(over: int, _: str) -> Iterator[Drawing]:
        high = LETTERS * over
        first = table((0.0, 0.0), f"CAPS OF SPAR {name.upper()} BY {place}", head, body, high)
        below = (0.0, first.bottom - 2 * high)
        second = table(below, "CUT LENGTHS", ("cap", "stock", "length [mm]", "note"), lengths, high)
        parts = (first.drawing, second.drawing)
        yield Drawing(
            f"spar_caps_{name}",
            tuple(path for one in parts for path in one.paths),
            tuple(label for one in parts for label in one.labels),
            (
                CAUTION,
                "Width is fore and aft, height the mean over it, cut on the solids square to the "
                "span; straight from one row to the next. The left cap is the mirror. Lengths are "
                "on the middle line; of a bent cap each straight part is listed, its ends square.",
            ),
        )

    paper = on_smallest(lettered, f"spar_{name}", ["handoff.ply"])
    return ShopSheet(f"spar_caps_{name}", f"spar_{name}", paper, note="spar cap lay-up by span")


def _short(cap: str, name: str) -> str:
    return cap.removeprefix(f"spar_{name}_cap_").removesuffix("_right")


def _sizes(row: CapSection, cap: str) -> tuple[str, str]:
    size = row.sizes.get(cap)
    return ("-", "-") if size is None else (f"{size[0]:.1f}", f"{size[1]:.2f}")
