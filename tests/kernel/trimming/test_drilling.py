"""Holes against pi r^2 times the thickness, where the kernel sees a rod and where it misses one."""

from math import acos, pi, sqrt

import numpy as np
import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.lofting.straight import straight_solid
from geomgen.kernel.solids.booleans import divide, volume
from geomgen.kernel.trimming import drilling
from geomgen.kernel.trimming.drilling import Drill, drilled

PLATE = box((0, 0, 0), (60, 40, 3))
ROWS = [Drill((x, 20.0, -1.0), (0.0, 0.0, 1.0), 2.0, 5.0) for x in (10.0, 30.0, 50.0)]
# The outer half of a spar's web and the rods of two pins in it: long, tapered, leaning, twisted by
# a millimetre.
WEB = np.array(
    [
        [[633.651, 2482.5, -793.373], [633.651, 2482.5, -641.896],
         [637.551, 2482.5, -641.680], [637.551, 2482.5, -793.131]],
        [[669.283, 4461.0, -729.977], [670.283, 4461.0, -579.338],
         [674.183, 4461.0, -579.071], [673.183, 4461.0, -729.683]],
    ]
)  # fmt: skip
WAY = (0.9998378673332664, -0.018006638955278736, 0.0)
PINS = [
    Drill((622.1469103489487, 2508.159732666013, -731.2168221574715), WAY, 2.072, 23.04),
    Drill((621.8409, 2491.1, -731.7578), WAY, 2.072, 23.04),
]


def test_holes_in_a_plate_take_what_they_measure():
    made = drilled(PLATE, ROWS, "plate", "holes")
    assert volume(PLATE) - volume(made) == pytest.approx(3 * pi * 2.0**2 * 3.0, rel=1e-6)


@pytest.mark.parametrize("hand", ["right", pytest.param("left", marks=pytest.mark.long)])
def test_pins_through_the_long_web_of_a_spar(hand):
    """Where a rod's seam lies wrong the kernel hands such a web back uncut, or takes twice a hole.

    The rods are square to the web but for a degree, which makes 2e-4 of its thickness of 3.9 mm.
    """
    right = hand == "right"
    web = straight_solid(list(WEB if right else WEB[:, ::-1] * [1.0, -1.0, 1.0]), "web")
    pins = PINS if right else [pin.on_the_left() for pin in PINS]
    taken = volume(web) - volume(drilled(web, pins, "web", "holes"))
    assert taken == pytest.approx(len(pins) * pi * 2.072**2 * 3.9, rel=1e-3)


def blind(times):
    """Return a kernel that hands the body back uncut so many times, its volumes in balance."""
    calls = []

    def divided(body, rods, part, step):
        calls.append(rods)
        return ([body], []) if len(calls) <= times else divide(body, rods, part, step)

    return divided


@pytest.mark.parametrize("times", [1, 3])
def test_a_rod_that_takes_nothing_is_tried_with_its_seam_elsewhere(times, monkeypatch):
    monkeypatch.setattr(drilling, "divide", blind(times))
    made = drilled(PLATE, ROWS, "plate", "holes")
    assert volume(PLATE) - volume(made) == pytest.approx(3 * pi * 2.0**2 * 3.0, rel=1e-6)


def test_what_takes_more_than_the_body_is_thick_there_is_not_believed(monkeypatch):
    """Volumes are in balance: the answer is that of wider rods."""
    wide = [Drill(drill.start, drill.direction, 2.2, 5.0) for drill in ROWS]
    answer = divide(PLATE, [drill.rod() for drill in wide], "", "")
    monkeypatch.setattr(drilling, "divide", lambda *row: answer)
    with pytest.raises(GeometryError, match=r"and should take 37\.699 mm"):
        drilled(PLATE, ROWS, "plate", "holes")


@pytest.mark.parametrize("off", [0.0, 1.0, 1.9])
def test_a_hole_at_the_edge_takes_what_lies_on_the_plate(off):
    """The segment of a circle: r^2 acos(d / r) - d sqrt(r^2 - d^2)."""
    made = drilled(PLATE, [Drill((60.0 + off, 20.0, -1.0), (0.0, 0.0, 1.0), 2.0, 5.0)], "", "")
    area = 4.0 * acos(off / 2.0) - off * sqrt(4.0 - off**2)
    assert volume(PLATE) - volume(made) == pytest.approx(3.0 * area, rel=1e-5)


def test_a_hole_beside_the_body_is_refused():
    beside = Drill((90.0, 20.0, -1.0), (0.0, 0.0, 1.0), 2.0, 5.0)
    with pytest.raises(GeometryError, match="takes nothing of it") as caught:
        drilled(PLATE, [*ROWS, beside], "plate", "holes")
    assert (caught.value.part, caught.value.step) == ("plate", "holes")
