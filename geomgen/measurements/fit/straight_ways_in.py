"""In which order parts can be put in, each along one straight way, with those before it in place.

Looked for backwards: what can go straight out of all that is left is taken out next. That finds an
order wherever there is one, for what is taken out bars nothing any more. It needs to know of each
two parts only along which ways the one meets the other.
"""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from geomgen.kernel.plain import Vec3
from geomgen.kernel.visibility.straight_way import TOUCH

# A part of a spar or rib ends in these words behind the name of its row; any other in its hand.
PIECES = re.compile(
    r"(_(cap|web|tube|nose|tail|upper|lower|fore|aft|inner|outer|packing|right|left|\d+))*"
)
HANDS = re.compile(r"(_(right|left))?")
# The ways out that are tried, by the side on which a part then comes in.
AXES: dict[str, Vec3] = {
    "above": (0.0, 0.0, 1.0),
    "aft": (1.0, 0.0, 0.0),
    "fore": (-1.0, 0.0, 0.0),
    "the right": (0.0, 1.0, 0.0),
    "the left": (0.0, -1.0, 0.0),
    "below": (0.0, 0.0, -1.0),
}
COARSE = "meshes this coarse may miss what bars: write a smaller output.mesh_tolerance"
# What a part meets that goes out along a way: by that part, the other one and the way.
Met = Mapping[tuple[str, str, Vec3], Vec3]
Ways = Mapping[str, Vec3]


@dataclass(frozen=True)
class Piece:
    """What is put in as one: its name, its family, the ways out that are tried, if any.

    `rank` is its place in a stated order; `in_place` says that it needs no way.
    """

    name: str
    family: str
    ways: Ways
    rank: int | None = None
    in_place: bool = False


@dataclass(frozen=True)
class PutIn:
    """How one piece is put in: from which side, what bars that at which places [mm].

    Without a side and with nothing that bars it, it is built in place.
    """

    name: str
    side: str = ""
    bars: tuple[tuple[str, Vec3], ...] = ()


def means(name: str, part: str, family: str) -> bool:
    """Say whether a name of the file means a part: by its family, its row, or the part's own name.

    >>> means("rib_boom", "rib_boom_1_nose_right", "rib"), means("rib", "rib_boom_1_nose", "rib")
    (True, True)
    >>> means("frame_leg", "frame_leg_aft", "frame"), means("leg_main", "leg_main_left", "leg")
    (False, True)
    """
    if name == family:
        return True
    rest = PIECES if family in ("spar", "rib", "joint_plate", "joint_pin") else HANDS
    return part.startswith(name) and rest.fullmatch(part[len(name) :]) is not None


def unsure(off: Iterable[float]) -> float:
    """Return how far a count of what bars may be off, by how far meshes are off in pairs [mm].

    What is contact is told apart on meshes that are off by no more than that; coarser ones may
    miss one.

    >>> unsure([0.1, 0.2]), unsure([0.1, 2.0])
    (0.0, 1.0)
    """
    return float(max(off, default=0.0) > TOUCH)


def order_in(pieces: Sequence[Piece], met: Met) -> list[PutIn]:
    """Return how all pieces are put in, first to last; what is listed later goes in later.

    Where nothing can go out, what is built in place goes; else, as one that can't be put in, the
    piece that leaves the fewest others stuck, and of those the one that the fewest bar. The family
    that is listed first is what others are put into: it comes last for that.

    >>> up = {"above": (0.0, 0.0, 1.0)}
    >>> lid, tray = Piece("lid", "lid", up), Piece("tray", "tray", up)
    >>> met = {("tray", "lid", up["above"]): (0.0, 0.0, 9.0)}
    >>> [(one.name, one.side, one.bars) for one in order_in([lid, tray], met)]
    [('tray', 'above', ()), ('lid', 'above', ())]
    """
    found, left = _taken_out(pieces, met)
    while left:
        how = min((_barred(one, left, pieces[0], met) for one in _due(left)), key=lambda b: b[:3])[
            3
        ]
        more, left = _taken_out([one for one in left if one.name != how.name], met)
        found += [how, *more]
    return found[::-1]


def cause_of(order: Sequence[PutIn], pieces: Sequence[Piece], met: Met) -> str:
    """Return the one piece without which all others go in; "" where there is none.

    Looked for where several are barred, among what bars them and themselves. What the others are
    put into is no cause of it.

    >>> up = {"above": (0.0, 0.0, 1.0)}
    >>> pieces = [Piece(n, n, up, k) for k, n in enumerate(("tray", "lid", "cup", "jug"))]
    >>> met = {(n, "lid", up["above"]): (0.0, 0.0, 9.0) for n in ("cup", "jug")}
    >>> cause_of(order_in(pieces, met), pieces, met)
    'lid'
    """
    barred = [one for one in order if one.bars]
    if len(barred) < 2:
        return ""
    count = Counter(name for one in barred for name in {one.name, *(by for by, _ in one.bars)})
    by_name = {piece.name: piece for piece in pieces}
    for name, times in count.most_common():
        rest = [piece for piece in pieces if piece.name != name]
        if times > 1 and by_name[name].family != pieces[0].family and not _taken_out(rest, met)[1]:
            return name
    return ""


def _barred(
    piece: Piece, left: Sequence[Piece], base: Piece, met: Met
) -> tuple[bool, int, int, PutIn]:
    """Return how a piece is barred, behind what speaks against naming it rather than another one.

    That it is what the others are put into, how many stay stuck without it, how many bar it.
    """
    others = [one for one in left if one is not piece]
    how = _least_barred(piece, left, met)
    return piece.family == base.family, len(_taken_out(others, met)[1]), len(how.bars), how


def _due(left: Sequence[Piece]) -> list[Piece]:
    """Return what may go out next by the stated order, the last of the list first."""
    last = max((one.rank for one in left if one.rank is not None), default=None)
    return [one for one in reversed(left) if one.rank is None or one.rank == last]


def _taken_out(pieces: Sequence[Piece], met: Met) -> tuple[list[PutIn], list[Piece]]:
    """Return how pieces go out one after the other, and those that are left."""
    found, left = [], list(pieces)
    while left:
        due = _due(left)
        free = ((piece, side) for piece in due if (side := _free_side(piece, left, met)))
        piece, side = next(free, (next((one for one in due if one.in_place), None), ""))
        if piece is None:
            break
        left.remove(piece)
        found.append(PutIn(piece.name, side))
    return found, left


def _free_side(piece: Piece, left: Sequence[Piece], met: Met) -> str:
    """Return the first side on which a piece goes out past all others; "" where none is."""
    for side, way in piece.ways.items():
        if not any((piece.name, other.name, way) in met for other in left):
            return side
    return ""


def _least_barred(piece: Piece, left: Sequence[Piece], met: Met) -> PutIn:
    """Return the way of a piece that fewest others bar."""
    found = []
    for side, way in piece.ways.items():
        keys = ((other.name, (piece.name, other.name, way)) for other in left)
        bars = tuple((other, met[key]) for other, key in keys if key in met)
        found.append(PutIn(piece.name, side, bars))
    return min(found, key=lambda one: len(one.bars))
