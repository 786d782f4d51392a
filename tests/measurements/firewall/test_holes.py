"""Which fitting closes which hole: circles in a plane, by hand."""

import math

import numpy as np
import pytest

from geomgen.kernel.plain import Axis, Fitting, Plane
from geomgen.measurements.firewall.holes import SheetHole, holes_and_fittings

SEED = (500.0, 0.0, 800.0)
PLANE = Plane(SEED, (1.0, 0.0, 0.0))


def hole(y: float, radius: float) -> SheetHole:
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    rim = np.stack([np.full(90, 500.0), y + radius * np.cos(turn), 800 + radius * np.sin(turn)], -1)
    return SheetHole(rim, np.pi * radius**2)


def fitting(y: float, radius: float, station: float = 500.0) -> Fitting:
    return Fitting("fuel line", Axis((station, y, 800.0), (1.0, 0.0, 0.0)), radius)


@pytest.mark.parametrize(
    ("holes", "fittings", "area", "astray"),
    [
        ([], [], 0.0, 0),
        ([(0, 10)], [(0, 10)], 0.0, 0),
        ([(0, 10)], [(0, 14)], 0.0, 0),
        ([(0, 10)], [], np.pi * 100, 0),
        ([(0, 10)], [(0, 9.9)], np.pi * 100, 1),
        ([(0, 10)], [(0.5, 10)], np.pi * 100, 1),
        ([(0, 10)], [(0, 10, 530.0)], np.pi * 100, 1),
        ([(0, 10), (50, 5)], [(0, 10)], np.pi * 25, 0),
        ([(0, 10)], [(0, 10), (50, 5)], 0.0, 1),
    ],
)
def test_neither_may_be_alone(holes, fittings, area, astray) -> None:
    made = ([hole(*row) for row in holes], [fitting(*row) for row in fittings])
    bare, lost = holes_and_fittings(*made, PLANE, SEED, 0.1)
    assert (bare.value, lost.value) == (pytest.approx(area), astray)
    assert bool(bare.note) == (area > 0)
    assert ("fuel line" in lost.note) == (astray > 0)
    assert bare.error_bound == (0.1 if area else 0.0)


@pytest.mark.parametrize("way", [1.0, -1.0])
@pytest.mark.parametrize(
    ("lean", "closes"), [(0.0, True), (4.0, True), (6.0, False), (90.0, False)]
)
def test_a_fitting_has_to_stand_square_to_the_sheet(lean, closes, way) -> None:
    """Flat in its sheet it leaves open the whole of a hole of 8 mm radius."""
    turn = math.radians(lean)
    axis = Axis((500.0, 0.0, 800.0), (way * math.cos(turn), way * math.sin(turn), 0.0))
    leaning = Fitting("throttle", axis, 8.5)
    bare, lost = holes_and_fittings([hole(0, 8)], [leaning], PLANE, SEED, 0.1)
    assert bare.value == pytest.approx(0.0 if closes else np.pi * 64.0)
    assert lost.value == (0.0 if closes else 1.0)
    assert (f"leans {lean:.1f} deg" in lost.note) is not closes
