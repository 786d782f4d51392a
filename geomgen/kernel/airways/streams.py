"""Streams from several places that run together on their way, told from the potential.

Going up the steepest slope, each cell of a way leads to one of the places that the stream comes
from: that is its stream's. Two streams have met where the potential is lower than at the highest
pass from one's cells to the other's.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from geomgen.arrays import Bools, Floats, Ints
from geomgen.kernel.airways.open_way import OpenWay


@dataclass(frozen=True)
class Met:
    """The numbers of streams that have met, and their way without what joins them farther on.

    It is looked at from where they meet to where more come to them.
    """

    streams: tuple[int, ...]
    way: OpenWay


def streams_met(way: OpenWay, begun: Ints) -> list[Met]:
    """Return the streams that run together before they end, those that meet first before others.

    `begun` (n,) numbers the streams at their first cells, from 0 on; it is -1 elsewhere.
    """
    own = _streams(way, begun)
    found = []
    for streams, members, span in _meetings(way, own, int(begun.max(initial=-1)) + 1):
        mine = np.isin(own, list(members))
        found.append(Met(tuple(sorted(streams)), _alone(way, mine, span)))
    return found


def _alone(way: OpenWay, mine: Bools, span: tuple[float, float]) -> OpenWay:
    """Return a way without the cells of other streams above the lower potential of a span."""
    kept = mine | (way.fall <= span[0])
    left = way.ways.some(kept[way.ways.a] & kept[way.ways.b])
    return replace(way, ways=left, first=way.first & mine, span=span)


def _streams(way: OpenWay, begun: Ints) -> Ints:
    """Return the stream (n,) of each cell; where none leads up to, a number of its own."""
    highest, up = way.fall.copy(), np.arange(len(way.fall))
    for axis in range(3):
        along = way.ways.axis == axis
        a, b = way.ways.a[along], way.ways.b[along]
        # Along one axis a cell has at most one neighbour on either side.
        for here, there in ((a, b), (b, a)):
            better = way.fall[there] > highest[here]
            highest[here[better]] = way.fall[there[better]]
            up[here[better]] = there[better]
    up[begun >= 0] = np.nonzero(begun >= 0)[0]
    while not np.array_equal(up, up[up]):
        up = up[up]
    own = np.where(begun >= 0, begun, np.arange(len(begun)) + begun.max() + 1)
    return np.asarray(own[up])


def _meetings(
    way: OpenWay, own: Ints, count: int
) -> list[tuple[frozenset[int], frozenset[int], tuple[float, float]]]:
    """Return which of the first `count` numbers meet, all that joins them, between what potentials.

    From where they meet to where more come to them, 0 where none do; who meets first before others.
    """
    sets: dict[int, frozenset[int]] = {}
    met: dict[frozenset[int], frozenset[int]] = {}
    begin: dict[frozenset[int], float] = {}
    for low, one, other in _passes(way, own):
        a, b = (sets.get(k, frozenset({k})) for k in (one, other))
        if a is b or a == b:
            continue
        both = a | b
        sets.update(dict.fromkeys(both, both))
        streams = frozenset(k for k in both if k < count)
        if len(streams) > 1:
            met[streams] = both
            begin.setdefault(streams, low)
    ends = {one: max((begin[more] for more in met if more > one), default=0.0) for one in met}
    return [(one, both, (ends[one], begin[one])) for one, both in met.items()]


def _passes(way: OpenWay, own: Ints) -> Iterator[tuple[float, int, int]]:
    """Return the highest pass between the cells of each two streams, the highest first."""
    a, b = own[way.ways.a], own[way.ways.b]
    low: Floats = np.minimum(way.fall[way.ways.a], way.fall[way.ways.b])
    over = np.nonzero((a != b) & (low > 0.0))[0]
    over = over[np.argsort(-low[over], kind="stable")]
    pairs = np.stack([np.minimum(a, b)[over], np.maximum(a, b)[over]], axis=1)
    _, first = np.unique(pairs, axis=0, return_index=True)
    for k in np.sort(first):
        yield float(low[over[k]]), int(pairs[k, 0]), int(pairs[k, 1])
