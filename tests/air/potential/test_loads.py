"""Forces by pressure and by wakes: signs, places, both sides."""

import numpy as np
import pytest
from air_bodies import body, plain_wing, winged_pod

from geomgen.air.potential.grids import closed
from geomgen.air.potential.loads import drag_and_lift, pressure_loads, wake_loads
from geomgen.air.potential.onsets import AFT, UP, Breathing
from geomgen.air.potential.solution import solved
from geomgen.errors import GeometryError


def test_a_closed_body_has_no_drag_and_a_moment() -> None:
    """D'Alembert's paradox; the moment of a spheroid, nose-up, by Munk: rho U W (k2 - k1) volume.

    Lamb's k for 2 to 1: 0.2100 and 0.7042 (Art. 114, closed form).
    """
    egg = body(24, 16, (2.0, 1.0, 1.0))
    loads = pressure_loads(solved(egg, [AFT, UP]).flow({"aft": 2.0, "up": 0.5}), 1.2, (0, 0, 0))
    scale = 0.5 * 1.2 * 4.25 * np.pi * 1e-6
    assert np.abs(loads.force).max() < 2e-3 * scale
    volume = 4 / 3 * np.pi * 2.0
    assert loads.moment[1] == pytest.approx(
        1.2 * 2.0 * 0.5 * (0.7042 - 0.2100) * volume * 1e-6, rel=0.02
    )


def test_lift_by_pressure_and_by_the_wake() -> None:
    flow = solved(closed(plain_wing(30, 10)), [AFT, UP]).flow({"aft": 30.0, "up": 1.5})
    pressed = pressure_loads(flow, 1.225, (0.0, 0.0, 0.0))
    behind = wake_loads(flow, 1.225)
    drag, lift = drag_and_lift(behind.force, flow)
    assert drag == pytest.approx(0.0, abs=1e-9)
    assert drag_and_lift(pressed.force, flow)[1] == pytest.approx(lift, rel=0.03)
    assert 0 < behind.induced_drag < 0.03 * lift
    # A quarter of the chord behind the leading edge, nose-down about that.
    assert -pressed.moment[1] / lift == pytest.approx(325.0, abs=20.0)
    assert (np.diff(behind.circulation) < 0).all()
    assert behind.middles[0, 1] < behind.middles[-1, 1]


def test_lift_turns_over_with_the_attack() -> None:
    solution = solved(closed(plain_wing(20, 6)), [AFT, UP])
    up, down = (wake_loads(solution.flow({"aft": 1.0, "up": s}), 1.0) for s in (0.1, -0.1))
    assert up.force[2] == pytest.approx(-down.force[2]) == pytest.approx(abs(up.force[2]))
    assert up.induced_drag == pytest.approx(down.induced_drag)


def test_each_body_has_its_own() -> None:
    loads = pressure_loads(
        solved(winged_pod(16, 8, 16), [AFT, UP]).flow({"aft": 30.0, "up": 1.5}), 1.2, (0, 0, 0)
    )
    assert loads.names == ("wing", "pod")
    assert loads.forces[0, 2] > 5 * loads.forces[1, 2] > 0


def test_a_jet_pushes() -> None:
    """An even jet out of the rear: momentum, rho A v^2 more than what the pressure there does."""
    egg = body(20, 12, (3.0, 1.0, 1.0))
    rear = egg.normals[:, 0] > 0.9
    flow = solved(egg, [AFT], [Breathing("exit", rear)]).flow({"exit": 5.0})
    loads = pressure_loads(flow, 1.2, (0.0, 0.0, 0.0))
    area = 2 * (egg.areas * egg.normals[:, 0])[rear].sum() * 1e-6
    still = 2 * (-flow.pressure * egg.areas * egg.normals[:, 0]).sum() * 1.2e-6
    assert loads.force[0] - still == pytest.approx(-1.2 * area * 25.0, rel=0.15)


def test_no_stream_no_drag() -> None:
    flow = solved(body(6, 6), [AFT]).flow({})
    with pytest.raises(GeometryError, match="without a free stream"):
        drag_and_lift(np.zeros(3), flow)
