"""The swept volume as measured: its profile from solids, its sides, against closed forms."""

from itertools import pairwise
from math import cos, pi, radians, sin

import numpy as np
import pytest
from asking import asked, propeller_figures

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.primitives import box, cylinder, moved, revolved, ring
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut, fuse
from geomgen.kernel.solids.properties import volume
from geomgen.measurements.propeller.swept import Swept, ends_of, least_gap, swept_volume

ORIGIN = (3000.0, 40.0, 800.0)
# Blades that flex fore by 30 mm at the tips and aft by 10; a step in front at radius 400.
FLEXED = ((-20.0, 70.0), (-50.0, 600.0), (30.0, 600.0), (20.0, 70.0))
STEPPED = ((-20.0, 70.0), (-20.0, 400.0), (-35.0, 400.0), (-60.0, 650.0), (40.0, 650.0), (25.0, 70))


def line(tilt: float) -> Axis:
    return Axis(ORIGIN, (cos(radians(tilt)), 0.0, -sin(radians(tilt))))


def model(solid, axis) -> Model:
    parts = {} if solid is None else {"prop_disc": solid}
    return Model(parts=parts, families={name: name for name in parts}, thrust_line=axis)


def read(profile, tilt=0.0) -> Swept:
    return swept_volume(revolved(profile, line(tilt)), model(None, line(tilt)))


@pytest.mark.parametrize("tilt", [0.0, 6.0, -6.0, 90.0])
@pytest.mark.parametrize("profile", [FLEXED, STEPPED])
def test_the_profile_is_read_back_from_the_solid(profile, tilt) -> None:
    found = read(profile, tilt)
    assert ordered(found.profile) == pytest.approx(ordered(profile), abs=1e-6)
    assert (found.front, found.back) == pytest.approx((min(profile)[0], max(profile)[0]), abs=1e-6)
    assert (found.hole, found.tip) == pytest.approx((70.0, max(r for _, r in profile)), abs=1e-6)
    assert volume(found.solid()).value == pytest.approx(_cones(profile), rel=1e-6)


def ordered(profile):
    """Return corners in one order, whatever the last digits are."""
    return np.array(sorted((round(s, 4), round(r, 4), s, r) for s, r in profile))[:, 2:]


def _cones(profile) -> float:
    """Return the volume of a profile's turn as the difference of its frusta."""
    sides = pairwise((*profile, profile[0]))
    return abs(sum(pi / 3 * (t - s) * (r * r + r * q + q * q) for (s, r), (t, q) in sides))


def test_front_and_back_stand_at_each_radius_where_the_profile_has_them() -> None:
    """FLEXED: straight lines between root and tip (closed form), one side each way."""
    fore, aft = sorted(read(FLEXED).sides(), key=lambda side: -side.way)
    assert (fore.way, aft.way) == (1.0, -1.0)
    for radius in (70.0, 200.0, 335.0, 600.0):
        share = (radius - 70.0) / 530.0
        assert fore.station(radius) == pytest.approx(-20.0 - 30.0 * share, abs=1e-6)
        assert aft.station(radius) == pytest.approx(20.0 + 10.0 * share, abs=1e-6)


def test_a_step_parts_front_and_back_at_its_radius() -> None:
    sides = read(STEPPED).sides()
    assert [(s.way, round(s.inner, 4), round(s.outer, 4)) for s in sides] == [
        (1.0, 70.0, 400.0),
        (-1.0, 70.0, 400.0),
        (1.0, 400.0, 650.0),
        (-1.0, 400.0, 650.0),
    ]
    inner, aft, outer, _ = sides
    assert inner.station(399.0) == pytest.approx(-20.0, abs=1e-6)
    assert outer.station(400.0) == pytest.approx(-35.0, abs=1e-6)
    assert outer.station(525.0) == pytest.approx(-47.5, abs=1e-6)
    assert aft.station(360.0) == pytest.approx(25.0 + 15.0 * 290.0 / 580.0, abs=1e-6)


@pytest.mark.parametrize(
    "wrong",
    [
        "one blade",
        "a bite out of one side",
        "off the shaft",
        "leaning",
        "a knob on one side",
    ],
)
def test_what_is_not_as_large_on_all_sides_is_refused(wrong) -> None:
    """A blade that was forgotten or stands still can't be taken for the volume of all."""
    whole = ring(line(0.0), -20.0, 20.0, 70.0, 600.0)
    x, y, z = ORIGIN
    side = box((x - 99, y - 700, z), (x + 99, y + 700, z + 700))
    bite = box((x - 99, y + 500, z - 50), (x + 99, y + 700, z + 50))
    made = {
        "one blade": lambda: cut(whole, [side], "prop_disc", "half"),
        "a bite out of one side": lambda: cut(whole, [bite], "prop_disc", "bite"),
        "off the shaft": lambda: moved(whole, (0.0, 0.0, 0.5)),
        "leaning": lambda: ring(line(1.0), -20.0, 20.0, 70.0, 600.0),
        "a knob on one side": lambda: fuse(
            [whole, cylinder((x - 40, y, z + 300), (1, 0, 0), 30.0, 80.0)], "prop_disc", "knob"
        ),
    }[wrong]()
    with pytest.raises(GeometryError, match="body of revolution"):
        swept_volume(made, model(None, line(0.0)))


def test_none_there_is_said_and_no_gap_passes() -> None:
    """Without a swept volume, and without a thrust line, there is no figure at all."""
    boom = cylinder((2000.0, 900.0, 800.0), (1, 0, 0), 40.0, 2000.0)
    with pytest.raises(GeometryError, match="no swept volume"):
        swept_volume(None, model(None, line(0.0)))
    with pytest.raises(GeometryError, match="no swept volume"):
        swept_volume(boom, model(None, None))
    found = propeller_figures(model(None, line(0.0)))
    assert [(m.id, m.value) for m in found.values()] == [("prop.radial_clearance", None)]


@pytest.mark.parametrize("tilt", [0.0, 6.0])
def test_the_question_that_check_asks_gives_the_same_profile(tilt) -> None:
    answer = asked(model(revolved(FLEXED, line(tilt)), line(tilt)))["swept volume"]
    assert ordered(answer) == pytest.approx(ordered(FLEXED), abs=1e-6)


@pytest.mark.parametrize("tilt", [0.0, 6.0, 35.0])
@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_a_box_is_never_nearer_than_its_least_gap(tilt, way) -> None:
    """Against its corners one by one; equal to the nearest of them (closed form)."""
    swept, axis = read(FLEXED, tilt), line(tilt)
    low = tuple(c + way * 200.0 - 15.0 for c in ORIGIN)
    around = Box(low, tuple(c + s for c, s in zip(low, (30.0, 55.0, 20.0), strict=True)))
    corners = [
        (a, b, c)
        for a in (around.low[0], around.high[0])
        for b in (around.low[1], around.high[1])
        for c in (around.low[2], around.high[2])
    ]
    along = [
        sum((p - o) * d for p, o, d in zip(k, ORIGIN, axis.direction, strict=True)) for k in corners
    ]
    assert ends_of(axis, around) == pytest.approx((min(along), max(along)), abs=1e-9)
    due = max(swept.front - max(along), min(along) - swept.back)
    assert least_gap(swept, around) == pytest.approx(due, abs=1e-9)
    assert least_gap(swept, loose_box(swept.solid())) < 0.0
