"""How a drawing is cut into tiles: which are printed, what to measure."""

import math

import pytest

from geomgen.drafting.paper.tiling import diagonals, grid, lines_of, printed
from geomgen.drafting.record import Drawing, line, rectangle


def test_diagonals_run_between_crosses_that_are_printed():
    made = grid(Drawing("d", (rectangle((0, 0), (500, 700)),)), "A4", 10.0)
    every = list(made.tiles())
    assert (made.rows, made.columns) == (3, 3)
    assert diagonals(made, every).length == pytest.approx(math.hypot(3 * 180, 3 * 267))
    left = [tile for tile in every if tile.name != "C3"]
    # Closed form: without the upper right corner the largest rectangle is 2 columns by 3 rows.
    assert diagonals(made, left).length == pytest.approx(math.hypot(2 * 180, 3 * 267))
    assert "C3" not in diagonals(made, left).words()


def test_a_tile_is_not_printed_for_the_strip_that_its_neighbour_repeats():
    made = grid(Drawing("d", (rectangle((0, 0), (500, 100)),)), "A4", 10.0)
    first, second, *_ = made.tiles()
    # A stroke in the 10 mm which both tiles show.
    x, y = second.corner[0] + 5.0, second.corner[1] + 50.0
    stroke = Drawing("d", (line((x, y), (x + 2.0, y)),))
    both = [t for t in made.tiles() if made.box(t).intersects(lines_of(stroke)[0][1])]
    assert both == [first, second]
    assert printed(stroke, lines_of(stroke), made) == [second]
