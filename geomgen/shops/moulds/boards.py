"""The flanges of both halves, in pieces that the machine takes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import moved
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.booleans import divide
from geomgen.kernel.solids.properties import kernel_box
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shops.moulds.bodies import key_of, skin_deducted
from geomgen.shops.moulds.flange import FlangePlan, board, plan
from geomgen.shops.moulds.outline import outline, sheet_of
from geomgen.shops.moulds.pieces import stations
from geomgen.shops.moulds.split import MouldHalf, Split, half_space, split_of

# A board is not cut nearer than so many diameters to a dowel.
OFF_DOWEL = 2.0


@dataclass(frozen=True)
class Board:
    """The flange of one half: the half's name and pull, its solids fore to aft, the plan."""

    name: str
    pull: Vec3
    solids: list[TopoDS_Solid]
    plan: FlangePlan


def boards(p: Parameters, mould: Mould, finished: Sequence[MouldHalf]) -> list[Board]:
    """Return the flanges of both halves; `finished` are the halves with no stock on them.

    Raises GeometryError when the flange is too narrow for its dowels.
    """
    gap = -skin_deducted(p, mould)
    split = split_of(p, mould, gap, mould.flange)
    drawn = plan(p, mould, split, outline(p, mould, gap, finished[0], sheet_of(split)))
    first = _pieces(p, mould, board(mould, split, drawn), drawn)
    # Both boards have their face in the split, so the other one lies a thickness further on.
    shift = vec(mould.flange_thickness * np.array(split.normal))
    both = (first, [moved(solid, shift) for solid in first])
    return [Board(h.name, h.pull, s, drawn) for h, s in zip(finished, both, strict=True)]


def _pieces(
    p: Parameters, mould: Mould, whole: TopoDS_Solid, drawn: FlangePlan
) -> list[TopoDS_Solid]:
    """Return a flange, fore to aft, in pieces that the machine takes, cut clear of its dowels."""
    box = kernel_box(whole)
    at = drawn.sheet.space(drawn.dowels)[:, 0]
    cuts = _clear_cuts(p, mould, box.low[0], box.high[0], at)
    rest, found = [whole], []
    for x in cuts:
        middle = box.centre
        ahead = half_space(Split((x, middle[1], middle[2]), (1.0, 0.0, 0.0)), 4 * max(box.size))
        left: list[TopoDS_Solid] = []
        for solid in rest:
            aft, fore = divide(solid, [ahead], mould.part, "flange pieces")
            left += aft
            found += fore
        rest = left
    return [*found, *rest]


def _clear_cuts(
    p: Parameters, mould: Mould, low: float, high: float, dowels: Floats
) -> list[float]:
    """Return the cuts [mm] of a board, each moved aside until it is clear of the dowels."""
    longest, off = _longest(p, mould), OFF_DOWEL * mould.dowel_diameter
    even = stations(low, high, longest)
    if longest is None or not even:
        return []
    for more in range(3):
        even = stations(low, high, (high - low) / (len(even) + 1 + min(more, 1)))
        cuts = [_aside(x, dowels, off) for x in even]
        if all(b - a <= longest + 1e-6 for a, b in pairwise([low, *cuts, high])):
            return cuts
    raise GeometryError(
        "no cut of the flange is clear of its dowels",
        part=mould.part,
        step="flange pieces",
        look_at=[key_of(p, mould, "machine_length"), key_of(p, mould, "dowel_pitch")],
    )


def _longest(p: Parameters, mould: Mould) -> float | None:
    """Return the longest piece of a flange [mm]: what the router takes, or the board if shorter."""
    board = p.handoff.stock.board if p.handoff and p.handoff.stock else None
    lengths = [mould.machine_length, max(board.length, board.width) if board else None]
    return min((length for length in lengths if length is not None), default=None)


def _aside(x: float, dowels: Floats, off: float) -> float:
    tries = x + off / 4 * np.array([s * k for k in range(60) for s in (1, -1)])
    clear = np.abs(tries[:, None] - dowels[None, :]).min(axis=1) >= off
    return float(tries[np.argmax(clear)])
