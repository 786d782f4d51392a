"""Ground clearances of a new file, worked from its wheels alone."""

from math import atan2, cos, degrees, radians, tan

import pytest
from covering_choices import rows

ROWS = list(rows(("gear", "units", "wing")))


def contact(wheel) -> tuple[float, float]:
    return wheel.station, wheel.waterline - wheel.diameter / 2 + wheel.deflection


def tip(p) -> tuple[float, float]:
    q = p.propeller
    aft = q.station + q.blade_depth / 2 + q.flex + q.mount_travel_axial
    return aft, q.waterline - q.diameter / 2 - q.mount_travel_radial


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(row.values()))
def test_the_blades_stay_clear_of_the_ground_by_the_rule(fresh, row) -> None:
    p = fresh(**row)
    wheels = {wheel.role: wheel for wheel in p.gear.wheels}
    main, (station, low) = contact(wheels["main"]), tip(p)
    metric, tricycle = row["units"] == "metric", row["gear"] == "tricycle"
    # CS 22.925: 180 and 230 mm; 14 CFR 23.925(a): 7 and 9 in.
    rule = {True: (230.0, 180.0), False: (228.6, 177.8)}[metric][tricycle]
    if tricycle:
        assert contact(wheels["nose"])[1] == pytest.approx(main[1], abs=3.0)
        assert low - main[1] >= rule
        off, pitch = radians(p.gear.take_off_pitch), radians(p.gear.rotation)
        assert (low - main[1] - (station - main[0]) * tan(off)) * cos(off) >= rule
        assert low - main[1] - (station - main[0]) * tan(pitch) > 20
    else:
        tail = contact(wheels["tail"])
        pitch = atan2(tail[1] - main[1], tail[0] - main[0])
        over = (low - main[1] - (station - main[0]) * tan(pitch)) * cos(pitch)
        assert over > rule + 20
        assert degrees(pitch) < p.gear.rotation


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(row.values()))
def test_tailwheels_stand_under_the_booms(fresh, row) -> None:
    p = fresh(**row)
    tail = [wheel for wheel in p.gear.wheels if wheel.role == "tail"]
    assert bool(tail) == (row["gear"] == "tailwheel")
    for wheel in tail:
        assert wheel.buttock_line == p.booms.buttock_line
        assert wheel.waterline + wheel.diameter / 2 < p.booms.stations[-1].waterline - 40
        assert wheel.station < p.booms.stations[-1].station


@pytest.mark.parametrize("gear", ["tricycle", "tailwheel"])
def test_every_wheel_stands_on_a_leg_out_of_pod_or_boom(fresh, gear) -> None:
    p = fresh(gear=gear)
    for wheel in p.gear.wheels:
        assert wheel.leg is not None
        assert wheel.leg.rooted_in == ("boom" if wheel.role == "tail" else "pod")
        assert wheel.leg.fork == (wheel.role != "main")
        assert wheel.leg.waterline > wheel.waterline + wheel.diameter / 2
