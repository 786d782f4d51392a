"""Pieces as long as the builder's stock and machines take, and by how much those don't fit.

A piece fits where its box does, turned by right angles: its longest side along the longest one.
Laid askew a long thin piece may fit as well, which is not looked at.
"""

from collections.abc import Iterator, Sequence

from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.stock import Stock, StockBlock
from geomgen.shops.figures import plain
from geomgen.shops.product import Item, Package, found
from geomgen.sizing.target import Severity
from geomgen.verdicts.check import Check

FLANGE = "flange board"
MOULDS, CORES = "mould_maker", "wing_cores"
# Boxes are told to so many digits [mm]: the kernel's are wider than the piece by 1e-7 mm.
NOISE = 6
# So many pieces are named that don't fit.
NAMED = 6


def over(size: Sequence[float], room: Sequence[float]) -> float:
    """Return by how much [mm] a box is too large for a room of as many sides, turned to fit best.

    Negative where it fits: what is to spare on the tightest side.

    >>> over((300.0, 900.0, 100.0), (1000.0, 250.0, 400.0)), over((2.0, 3.0), (3.0, 4.0))
    (-100.0, -1.0)
    >>> over((300.0, 900.0, 260.0), (1000.0, 250.0, 400.0))
    10.0
    """
    pairs = zip(sorted(size), sorted(room), strict=True)
    return round(max(float(a - b) for a, b in pairs), NOISE)


def within_stock(p: Parameters) -> Parameters:
    """Return parameters whose cores and plugs are cut no longer than the stock takes [mm].

    That is bow and foam block for a core, the router for a plug; a shorter length that the file
    gives stays.
    """
    h = p.handoff
    stock = h.stock if h else None
    if h is None or stock is None:
        return p
    block = max(_sides(stock.foam_block)) if stock.foam_block else None
    router = max(_sides(stock.router)) if stock.router else None
    cores = h.cores and h.cores.model_copy(
        update={"bow": _shortest(h.cores.bow, stock.wire_bow, block)}
    )
    moulds = tuple(
        row.model_copy(update={"machine_length": _shortest(row.machine_length, router)})
        for row in h.moulds
    )
    changed = h.model_copy(update={"cores": cores, "moulds": moulds})
    return p.model_copy(update={"handoff": changed})


def router_room(p: Parameters) -> tuple[float, ...] | None:
    """Return the sides [mm] of the room over the router's bed; None where the file has none."""
    stock = p.handoff.stock if p.handoff else None
    return _sides(stock.router) if stock and stock.router else None


def _shortest(*lengths: float | None) -> float | None:
    return min((length for length in lengths if length is not None), default=None)


def stock_findings(p: Parameters, package: Package) -> list[Check]:
    """Return a check for each kind of stock that a shop's pieces have to fit [mm].

    Nothing where the file has no stock, or the shop no such pieces.
    """
    stock = p.handoff.stock if p.handoff else None
    if stock is None:
        return []
    pieces = [item for item in package.items if item.size is not None and item.kind == "part"]
    return list(_held(stock, package.shop, pieces))


def _held(stock: Stock, shop: str, pieces: Sequence[Item]) -> Iterator[Check]:
    boards = [item for item in pieces if item.material == FLANGE]
    blocks = [item for item in pieces if item.material != FLANGE]
    if shop == MOULDS and stock.router:
        yield from _fit("router", shop, blocks, _sides(stock.router), "fail",
                        "a plug is cut to the router in length, breadth and height: tell where "
                        "this one was not")  # fmt: skip
    if shop == MOULDS and stock.board:
        sides = (stock.board.length, stock.board.width)
        yield from _fit("board", shop, boards, sides, "warn",
                        "a smaller handoff.moulds machine_length, or butt two boards")  # fmt: skip
    if shop == CORES and stock.foam_block:
        yield from _fit("foam_block", shop, pieces, _sides(stock.foam_block), "fail",
                        "cut along the span to the block; glue up for the chord")  # fmt: skip
    if shop == CORES and stock.wire_bow is not None:
        yield from _fit("wire_bow", shop, pieces, (stock.wire_bow,), "fail",
                        "set handoff.cores.bow to the bow's length")  # fmt: skip
    if stock.car:
        yield from _fit("car", shop, pieces, _sides(stock.car), "warn",
                        "have it brought, or ask for smaller pieces")  # fmt: skip


def _sides(block: StockBlock) -> tuple[float, ...]:
    return (block.length, block.width, block.height)


def _fit(
    name: str,
    shop: str,
    pieces: Sequence[Item],
    room: Sequence[float],
    severity: Severity,
    advice: str,
) -> Iterator[Check]:
    """Yield the check of one kind of stock, by its sides [mm]: three, two of a sheet, one."""
    if not pieces:
        return
    sides = {item.name: _counted(item, len(room)) for item in pieces}
    by = {piece: over(size, room) for piece, size in sides.items()}
    sizes = {piece: _told(size) for piece, size in sides.items()}
    wrong = sorted((piece for piece in by if by[piece] > 0), key=lambda piece: -by[piece])
    named = "; ".join(f"{piece}, {sizes[piece]}" for piece in wrong[:NAMED])
    rest = f"; and {len(wrong) - NAMED} more" if len(wrong) > NAMED else ""
    words = name.replace("_", " ")
    yield found(
        f"stock.fit.{name}.{shop}", shop,
        f"{len(pieces)} pieces against the {words} of {_told(room)}: the worst, beyond it",
        max(by.values()), "mm", high=0.0, severity=severity,
        where=f"{named} mm{rest}" if named else "",
        method="boxes along the machine's axes, turned by right angles; askew not tried",
        source=f"handoff.stock.{name}", advice=advice,
    )  # fmt: skip


def _counted(item: Item, count: int) -> tuple[float, ...]:
    """Return the sides [mm] of a piece that matter: all three, the largest two, or its length.

    A core's length lies along the wire, however broad the core is.
    """
    assert item.size is not None
    return item.size[:1] if count == 1 else tuple(sorted(item.size, reverse=True)[:count])


def _told(sides: Sequence[float]) -> str:
    return " x ".join(plain(round(side, 1)) for side in sorted(sides, reverse=True))
