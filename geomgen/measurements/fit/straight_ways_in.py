"""In which order parts can be put in, each along one straight way, with those before it in place.

Looked for backwards: what can go straight out of all that is left is taken out next. That finds an
order wherever there is one, for what is taken out bars nothing any more. It needs to know of each
two parts only along which ways the one meets the other.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from geomgen.kernel.plain import Vec3

# A part of a spar or rib ends in these words behind the name of its row; any other in its hand.
PIECES = re.compile(r"(_(cap|web|tube|nose|tail|upper|lower|fore|aft|right|left|\d+))*")
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
    rest = PIECES if family in ("spar", "rib") else HANDS
    return part.startswith(name) and rest.fullmatch(part[len(name) :]) is not None


def order_in(pieces: Sequence[Piece], met: Met) -> list[PutIn]:
    """Return how all pieces are put in, first to last; what is listed later goes in later.

    Where nothing can go out, what is built in place goes; else the piece that fewest others bar,
    as one that can't be put in.

    >>> up = {"above": (0.0, 0.0, 1.0)}
    >>> lid, tray = Piece("lid", "lid", up), Piece("tray", "tray", up)
    >>> met = {("tray", "lid", up["above"]): (0.0, 0.0, 9.0)}
    >>> [(one.name, one.side, one.bars) for one in order_in([lid, tray], met)]
    [('tray', 'above', ()), ('lid', 'above', ())]
    """
    left, found = list(pieces), []
    while left:
        last = max((one.rank for one in left if one.rank is not None), default=None)
        due = [one for one in reversed(left) if one.rank is None or one.rank == last]
        piece, how = _next_out(due, left, met)
        left.remove(piece)
        found.append(how)
    return found[::-1]


def _next_out(due: Sequence[Piece], left: Sequence[Piece], met: Met) -> tuple[Piece, PutIn]:
    barred: list[tuple[Piece, PutIn]] = []
    for piece in due:
        how = min(_ways_out(piece, left, met), key=lambda one: len(one.bars))
        if not how.bars:
            return piece, how
        barred.append((piece, how))
    for piece, _ in barred:
        if piece.in_place:
            return piece, PutIn(piece.name)
    return min(barred, key=lambda one: len(one[1].bars))


def _ways_out(piece: Piece, left: Sequence[Piece], met: Met) -> list[PutIn]:
    """Return each way of a piece with what it meets there."""
    found = []
    for side, way in piece.ways.items():
        keys = ((other.name, (piece.name, other.name, way)) for other in left)
        bars = tuple((other, met[key]) for other, key in keys if key in met)
        found.append(PutIn(piece.name, side, bars))
    return found
