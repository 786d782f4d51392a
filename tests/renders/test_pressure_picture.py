"""Pictures of pressures, read back from their pixels: a sphere against its own legend and its
closed form; a mirrored machine in a mirrored picture. Pillow reads the PNG.
"""

import io

import numpy as np
import pytest
from PIL import Image
from plain_machines import box
from pressed_bodies import exact, machine, sphere

from geomgen.documents.pressure_bands import LOW, STEP, TICKS, UNFELT
from geomgen.errors import GeometryError
from geomgen.renders.actors import BACKGROUND
from geomgen.renders.picture import SIZE
from geomgen.renders.pressure_picture import (
    ABOVE,
    BELOW,
    BESIDE,
    BROAD,
    VIEWS,
    PaintedTriangles,
    pressure_pictures,
    scale_row,
)
from geomgen.renders.view import View
from geomgen.workflows.reporting.pressure_view import painted, pressed_bodies

PAPER = np.round(255 * np.array(BACKGROUND))
LEFT = SIZE[0] - BESIDE + 8


def pixels(data):
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


def inner(seen):
    return seen[ABOVE : SIZE[1] - BELOW, : SIZE[0] - BESIDE]


def shown(found, families, grey=None, views=VIEWS):
    made = painted(pressed_bodies(found, families), "climb")
    return pressure_pictures(made, grey or {}, "title", ("words",), views=views)


def read_from_legend(seen, colour):
    """Return the coefficient at which the picture's own scale has a colour; None if nowhere."""
    column = seen[:, LEFT + BROAD // 2]
    rows = np.flatnonzero(np.abs(column - colour).max(axis=1) == 0)
    if not len(rows):
        return None
    top, bottom = scale_row(TICKS[-1]), scale_row(TICKS[0])
    middle = rows[(rows >= top) & (rows < bottom)].mean()
    return LOW + (bottom - middle) / (bottom - top) * (TICKS[-1] - TICKS[0])


@pytest.fixture(scope="module")
def ball():
    return {name: pixels(data) for name, data in shown(*sphere()).items()}


@pytest.mark.parametrize("view", VIEWS, ids=[view.name for view in VIEWS])
def test_colours_of_a_sphere_are_the_legends_at_the_closed_forms_pressure(ball, view):
    """The sphere's disc is found in the picture; a place on it looks along its own normal."""
    seen = ball[view.name]
    drawn = (np.abs(inner(seen) - PAPER).max(axis=2) > 0).nonzero()
    top, bottom, left, right = (
        *(f(drawn[0]) for f in (min, max)),
        *(f(drawn[1]) for f in (min, max)),
    )
    radius, centre = (bottom - top + 1) / 2, ((left + right) / 2, (top + bottom) / 2)
    assert right - left + 1 == pytest.approx(2 * radius, rel=0.03)
    axes, read = np.array(view.axes()), []
    for u in np.linspace(-0.7, 0.7, 15):
        for v in np.linspace(-0.7, 0.7, 15):
            if u * u + v * v > 0.7:
                continue
            place = u * axes[0] + v * axes[1] - np.sqrt(1 - u * u - v * v) * axes[2]
            at = inner(seen)[round(centre[1] - v * radius), round(centre[0] + u * radius)]
            value, true = read_from_legend(seen, at), float(exact(place))
            if value is not None:
                read.append((value, max(true, LOW + STEP / 2)))
    assert len(read) > 120
    off = np.abs([value - true for value, true in read])
    # Half a band and what the pressure changes over half a panel, 2.25 x 0.05.
    assert np.median(off) < 0.6 * STEP
    assert off.max() < 0.5 * STEP + 0.14


def test_ticks_stand_at_the_edges_of_the_colours(ball):
    seen = ball["front"]
    for value in TICKS[1:-1]:
        row = scale_row(value)
        above, below = (seen[row + at, LEFT + BROAD // 2] for at in (-3, 3))
        assert (above != below).any()
        assert (seen[row, LEFT + BROAD + 2] < 60).all()


def test_what_nobody_felt_is_grey_and_only_that():
    """A box as large as the sphere, apart from it: its pixels have no colour."""
    found, families = sphere()
    boom = box((-500.0, 900.0, -200.0), (500.0, 1400.0, 200.0))
    side = View("front", "Front", (0.0, 0.0, -1.0), up=(-1.0, 0.0, 0.0))
    seen = inner(pixels(shown(found, families, {"boom": boom}, (side,))["front"]))
    apart = seen.max(axis=2) - seen.min(axis=2)
    drawn = np.abs(seen - PAPER).max(axis=2) > 0
    columns = np.flatnonzero(drawn.any(axis=0))
    # In this view right is right: the box stands there, over a third of the breadth less the gap.
    last = apart[:, columns[-1] - 100 : columns[-1]][drawn[:, columns[-1] - 100 : columns[-1]]]
    assert last.max() <= 12
    assert (apart[:, columns[0] : columns[0] + 100] > 30).any()
    assert UNFELT[0] == UNFELT[1] == UNFELT[2]


def test_a_mirrored_machine_has_a_mirrored_picture():
    one, other = VIEWS[0], View("front", "t", (1.0, -0.72, -0.5))
    found, families = machine()
    seen = pixels(shown(found, families, views=(one,))["front"])
    turned = pixels(shown(*machine(other=True), views=(other,))["front"])
    differ = np.abs(inner(seen) - inner(turned)[:, ::-1]).max(axis=2) > 40
    drawn = np.abs(inner(seen) - PAPER).max(axis=2) > 0
    assert differ.sum() < 0.06 * drawn.sum()


def test_nothing_to_show_is_refused():
    none = PaintedTriangles(np.zeros((0, 3, 3)), np.zeros((0, 3), dtype=np.uint8))
    with pytest.raises(GeometryError, match="no panel has a pressure"):
        pressure_pictures(none, {}, "t", ())
