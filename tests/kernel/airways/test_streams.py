"""Where streams meet, on rows of cells with potentials by hand."""

import numpy as np

from geomgen.kernel.airways.grid_walls import AirGrid
from geomgen.kernel.airways.open_way import OpenWay, Ways
from geomgen.kernel.airways.streams import streams_met


def tree(pairs, fall, first):
    """Return a way of cells whose neighbours are given; those of `first` begin a stream each."""
    a, b = np.array(pairs).T
    grid = AirGrid((0.0, 0.0, 0.0), 1.0, (len(fall), 1, 1))
    falls = np.array(fall)
    begun = np.full(len(fall), -1)
    begun[first] = np.arange(len(first))
    # Each pair stands on an axis of its own where a cell has several neighbours below it.
    axes = np.array([sum(b[k] == b[:k]) % 3 for k in range(len(b))])
    way = OpenWay(grid, np.arange(len(fall)), Ways(a, b, axes), falls, begun >= 0, falls == 0.0)
    return way, begun


def test_two_of_three_meet_before_the_third_comes_to_them():
    #  0 - 3 - 5 - 6 - 7(end)     1 joins at 5, 2 at 6
    way, begun = tree(
        [(0, 3), (1, 4), (3, 5), (4, 5), (5, 6), (2, 6), (6, 7)],
        [1.0, 1.0, 1.0, 0.9, 0.8, 0.5, 0.2, 0.0],
        [0, 1, 2],
    )
    met = streams_met(way, begun)
    assert [each.streams for each in met] == [(0, 1), (0, 1, 2)]
    assert [each.way.span for each in met] == [(0.2, 0.5), (0.0, 0.2)]
    pair = met[0].way
    assert pair.first.tolist() == [True, True, *[False] * 6]
    assert (2, 6) not in set(zip(pair.ways.a.tolist(), pair.ways.b.tolist(), strict=True))
    assert pair.parted_without(
        np.array([(a, b) == (5, 6) for a, b in zip(pair.ways.a, pair.ways.b, strict=True)])
    )


def test_those_that_meet_where_they_end_have_not_met():
    way, begun = tree([(0, 2), (1, 3), (2, 4), (3, 4)], [1.0, 1.0, 0.5, 0.4, 0.0], [0, 1])
    assert streams_met(way, begun) == []


def test_a_rise_of_its_own_belongs_to_the_stream_that_it_lies_in():
    """A potential that is solved by steps has places that are a little higher than all beside."""
    way, begun = tree(
        [(0, 2), (2, 4), (1, 3), (3, 4), (4, 5), (5, 6), (6, 7)],
        [1.0, 1.0, 0.9, 0.8, 0.5, 0.3, 0.3001, 0.0],
        [0, 1],
    )
    (both,) = streams_met(way, begun)
    assert both.streams == (0, 1)
    assert len(both.way.ways.a) == 7
