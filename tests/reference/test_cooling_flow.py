"""The flow of the cooling air against closed forms and handbooks.

DERIVED: orifices alone, in series, in parallel, and heated, worked out here by hand. PUBLISHED:
ASHRAE's and Idelchik's factors (tables read), Borda and Carnot's for pipes. MEMORY: Gibson's.
"""

import math
from dataclasses import replace

import pint
import pytest
from cooled_machines import NO_FINS, climb, machine, plain_mouth

from geomgen.air.cooling import losses
from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.exit_sizing import exit_needed
from geomgen.air.cooling.parts import AirExit, AirState, FinDrop
from geomgen.sizing.formulas.cooling import exit_estimate

RHO, T, CP = 1.225, 288.15, 1005.0
ENTRY = 0.03  # of a well rounded lip


def cold(mouths, exit_, speed=0.0, sucked=-100.0):
    state = AirState("test", speed, heat=0.0, allowed=60.0, pull=sucked)
    return solve(machine(mouths, NO_FINS, exit_, leakage=0.0), state)


def test_one_orifice_derived():
    """m = Cd A sqrt(2 rho dp), the mouth so wide that it loses nothing; and the same in inches."""
    wide = plain_mouth("wide", 1e8, 1.0, lip=1.0)
    found = cold([wide], AirExit(10000.0, 0.61, 0.0)).flow
    assert found == pytest.approx(0.61 * 0.01 * math.sqrt(2 * RHO * 100.0), rel=1e-6)
    units = pint.UnitRegistry()
    area, drop = 10000.0 * units.mm**2, 100.0 * units.Pa
    slug = (2 * 0.0023769 * units.slug / units.ft**3 * drop.to("lbf/ft^2")) ** 0.5
    assert found == pytest.approx((0.61 * area.to("ft^2") * slug).to("kg/s").magnitude, rel=1e-4)


def test_orifice_of_ram_pressure_derived():
    """Facing the air, out into still air, no loss within: out at the flight speed."""
    wide = plain_mouth("wide", 1e8, 1.0, lip=1.0)
    found = cold([wide], AirExit(10000.0, 1.0, 0.0), speed=25.0, sucked=0.0)
    assert found.exit_speed == pytest.approx(25.0, rel=1e-6)


def test_two_in_series_derived():
    """1/G^2 adds up; G = A / sqrt(loss) in, Cd A out."""
    inlet = plain_mouth("in", 8000.0, 0.7, lip=1.0)
    found = cold([inlet], AirExit(12000.0, 0.8, 0.0))
    together = ((0.7 + ENTRY) / 0.008**2 + 1 / (0.8 * 0.012) ** 2) ** -0.5
    assert found.flow == pytest.approx(together * math.sqrt(2 * RHO * 100.0), rel=1e-8)
    assert found.bay == pytest.approx(-((found.flow / 0.008) ** 2) * (0.7 + ENTRY) / (2 * RHO))


def test_two_in_parallel_derived():
    """G of mouths at one pressure adds up, then goes in series with the exit."""
    mouths = [plain_mouth("a", 8000.0, 0.7, lip=1.0), plain_mouth("b", 3000.0, 2.0, lip=1.0)]
    found = cold(mouths, AirExit(12000.0, 0.8, 0.0))
    inlet = 0.008 / math.sqrt(0.7 + ENTRY) + 0.003 / math.sqrt(2.0 + ENTRY)
    together = (1 / inlet**2 + 1 / (0.8 * 0.012) ** 2) ** -0.5
    assert found.flow == pytest.approx(together * math.sqrt(2 * RHO * 100.0), rel=1e-8)
    share = 0.008 / math.sqrt(0.7 + ENTRY) / inlet
    assert found.mouths[0].flow / found.flow == pytest.approx(share, rel=1e-8)


def test_heated_air_derived():
    """m^2 (1/Gi^2 + 1/Ge^2) + m Q/(cp T Ge^2) = 2 rho dp, by the formula for such an equation."""
    inlet, leaving = 0.008 / math.sqrt(0.7 + ENTRY), 0.8 * 0.012
    state = AirState("test", 0.0, heat=6000.0, allowed=60.0, pull=-100.0)
    parts = machine(
        [plain_mouth("in", 8000.0, 0.7, lip=1.0)], NO_FINS, AirExit(12000.0, 0.8, 0.0), leakage=0.0
    )
    found = solve(parts, state)
    a = 1 / inlet**2 + 1 / leaving**2
    b = 6000.0 / (CP * T * leaving**2)
    flow = (-b + math.sqrt(b * b + 8 * a * RHO * 100.0)) / (2 * a)
    assert found.flow == pytest.approx(flow, rel=1e-8)
    assert found.rise == pytest.approx(6000.0 / (CP * flow), rel=1e-8)
    warm = RHO * T / (T + found.rise)
    assert found.exit_speed == pytest.approx(flow / (warm * 0.012), rel=1e-8)
    assert found.exit_speed / 0.8 == pytest.approx(
        math.sqrt(2 * (found.behind - found.outside) / warm), rel=1e-8
    )


def test_sharp_mouth_drawing_from_rest_and_in_flight_derived():
    """Momentum: a sharp lip loses rho/2 v^2 from rest, rho/2 (v - V)^2 at V, nothing below V."""
    sharp = plain_mouth("sharp", 8000.0, 0.5)
    still = cold([sharp], AirExit(1e7, 1.0, 0.0))
    assert still.mouths[0].speed == pytest.approx(math.sqrt(2 * 100.0 / RHO / 1.5), rel=1e-5)
    moving = cold([sharp], AirExit(1e7, 1.0, 0.0), speed=10.0).mouths[0].speed
    driving = 100.0 + RHO / 2 * 10.0**2
    assert driving == pytest.approx(RHO / 2 * (0.5 * moving**2 + (moving - 10.0) ** 2), rel=1e-5)
    narrow = cold([sharp], AirExit(2000.0, 1.0, 0.0), speed=25.0, sucked=0.0)
    lost = RHO / 2 * 25.0**2 - narrow.bay
    assert lost == pytest.approx(RHO / 2 * 0.5 * narrow.mouths[0].speed ** 2, rel=1e-8)


@pytest.mark.parametrize("angle", [0.0, 20.0, 50.0, 90.0, 130.0])
def test_sharp_mouth_askew_derived(angle):
    """Thin walls bear nothing along their axis: p + rho v^2 = p0 + rho v V cos, on its own.

    So the head of the difference of both velocities is lost, and of it (V sin)^2 across. Air from
    behind is taken to bring nothing along, as from rest.
    """
    inlet = plain_mouth("in", 8000.0, 0.7, angle=angle)
    found = cold([inlet], AirExit(12000.0, 0.8, 0.0), speed=15.0, sucked=-400.0)
    v, along = found.mouths[0].speed, 15.0 * max(0.0, math.cos(math.radians(angle)))
    assert v > 15.0
    there = RHO * v * along - RHO * v**2
    assert found.bay == pytest.approx(there + RHO / 2 * v**2 * (1.0 - 0.7), rel=1e-9)
    if angle < 90.0:
        apart = abs(complex(along, 15.0 * math.sin(math.radians(angle))) - v)
        lost = RHO / 2 * (15.0**2 - apart**2 - 0.7 * v**2)
        assert found.bay == pytest.approx(lost, rel=1e-9)


def test_mouth_askew_lies_between_all_and_none_of_the_head_across_derived():
    """q sin^2 is lost at most, none at least, of the slow layer's air as well: never twice."""
    ram = RHO / 2 * 25.0**2
    for angle, sine2 in ((0.0, 0.0), (30.0, 0.25), (45.0, 0.5), (90.0, 1.0)):
        for slow in (0.0, 0.3, 1.0):
            sharp = plain_mouth("in", 8000.0, 1.0, angle=angle, slow=slow, pressure=-0.2)
            straight = replace(sharp, angle=0.0)
            lost = (straight.total - sharp.total) * ram
            assert lost == pytest.approx(1.2 * ram * sine2 * (1.0 - slow), abs=1e-9)
            assert replace(sharp, across=0.0).total == straight.total
            assert replace(sharp, angle=0.0, across=0.5).total == straight.total
            assert sharp.total >= -0.2


def test_wrong_density_would_be_seen_derived():
    """At half the density a mass of air loses twice as much at the fins."""
    parts = machine(fins=FinDrop((0.25,), (150.0,), exponent=2.0), leakage=0.0)
    sea = solve(parts, climb(pull=0.0))
    high = solve(parts, climb(pull=0.0, density=RHO / 2, heat=6500.0))
    assert high.flow == pytest.approx(sea.flow / 2, rel=1e-9)
    assert high.rise == pytest.approx(sea.rise, rel=1e-9)
    assert high.bay - high.behind == pytest.approx((sea.bay - sea.behind) / 2, rel=1e-9)


def test_exit_needed_is_that_of_the_balance_and_of_the_house_estimate_derived():
    """Back through the balance; and the estimate's, but for the warm air's own speed.

    The estimate takes the speed of cold air: its exit is larger by the root of the warming.
    """
    parts, state = machine(), climb()
    need = exit_needed(parts, state)
    found = solve(replace(parts, exit=replace(parts.exit, area=need.area)), state)
    assert found.rise == pytest.approx(60.0, rel=1e-8)
    wide = plain_mouth("wide", 1e8, 1.0, caught=0.7, lip=1.0)
    free = machine([wide], NO_FINS, AirExit(1.0, 1.0, -0.1), leakage=0.0)
    own = exit_needed(free, climb(pull=0.0)).area
    house = exit_estimate(
        heat=13000.0,
        rise=60.0,
        density=RHO,
        speed=25.0,
        recovery=0.7,
        sound_speed=math.sqrt(1.4 * 287.05 * T),
        drop=0.0,
        exit_pressure=-0.1,
    )
    assert house.area / own == pytest.approx(math.sqrt((T + 60.0) / T), rel=1e-6)


# Small over large diameter, and the factor: a published table's own examples.
@pytest.mark.parametrize(("ratio", "factor"), [(0.5, 0.5625), (0.8, 0.1296), (0.2, 0.9216)])
def test_sudden_growth_published(ratio, factor):
    assert losses.sudden_growth(ratio**2) == pytest.approx(factor, abs=5e-5)


@pytest.mark.parametrize(
    ("angle", "factor"), [(20, 0.07), (30, 0.16), (45, 0.34), (60, 0.55), (75, 0.81), (90, 1.2)]
)
def test_sharp_turns_published(angle, factor):
    """ASHRAE Handbook, Fundamentals, 2005, CR3-6, mitred elbow, as high as wide."""
    assert losses.turn(float(angle)) == pytest.approx(factor)


@pytest.mark.parametrize(
    ("radius", "angle", "factor"),
    [(0.5, 90, 1.18), (0.75, 90, 0.44), (1.0, 90, 0.21), (2.0, 90, 0.15), (1.0, 30, 0.45 * 0.21)],
)
def test_round_turns_published(radius, angle, factor):
    """ASHRAE Handbook, Fundamentals, 2005, CR3-1, as high as wide, with its angle factor."""
    assert losses.turn(float(angle), radius) == pytest.approx(factor)


@pytest.mark.parametrize(("lip", "factor"), [(0.0, 1.0), (0.02, 0.74), (0.06, 0.32), (0.2, 0.03)])
def test_entries_published(lip, factor):
    """Idelchik, diagram 3-4: a bell without a wall round it."""
    assert losses.entry(lip) == pytest.approx(factor)


def test_growing_sections_memory():
    """Gibson: a 7 deg cone loses a sixth of what a step does, 45 deg all of it."""
    step = losses.sudden_growth(0.5)
    assert losses.growth(0.5, 7.0) / step == pytest.approx(0.159, abs=0.002)
    assert losses.growth(0.5, 45.0) == step
