"""The pod's moment: of its breadths alone, more with the wing's flow ahead, none at the wing."""

import pytest
from balanced_shapes import spindle
from hypothesis import given
from hypothesis import strategies as st

from geomgen.balance.stability.pod_moment import PodStrips, pod_moment
from geomgen.balance.stability.wing_flow import WingFlow

# Of a wing from 318 mm ahead of the quarter point to 955 mm behind it.
FLOW = WingFlow(4.9, 8.0, 8000.0, 318.0, 0.0)


def strips(front, length=2000.0, broad=600.0, height=0.0):
    breadths, _ = spindle(length, broad)
    return PodStrips(front, front + length, tuple(breadths), (height,) * len(breadths))


def test_a_pod_ahead_unsettles_more_than_alone_and_one_behind_less() -> None:
    alone = pod_moment(strips(0.0), None)
    assert pod_moment(strips(-2500.0), FLOW) > 1.1 * alone
    assert 0.2 * alone < pod_moment(strips(1500.0), FLOW) < 0.6 * alone
    within = pod_moment(strips(100.0, 800.0), FLOW)
    assert 0.0 <= within < 0.05 * pod_moment(strips(100.0, 800.0), None)


def test_a_pod_far_below_the_wing_is_hardly_shielded() -> None:
    alone = pod_moment(strips(100.0, 800.0), None)
    high, low = (pod_moment(strips(100.0, 800.0, height=z), FLOW) for z in (-200.0, -20000.0))
    assert 0.0 < high < 0.7 * alone
    assert low == pytest.approx(alone, rel=0.05)


@given(st.floats(0.1, 3.0))
def test_twice_as_broad_is_four_times_the_moment(times) -> None:
    once, more = (pod_moment(strips(-1500.0, broad=b), FLOW) for b in (600.0, times * 600.0))
    assert more == pytest.approx(times**2 * once)


def test_finer_strips_say_the_same() -> None:
    """The endless flow at the leading edge does not depend on where a strip ends."""
    coarse, fine = (PodStrips(-1500.0, 900.0, (500.0,) * n, (0.0,) * n) for n in (24, 960))
    assert pod_moment(coarse, FLOW) == pytest.approx(pod_moment(fine, FLOW), rel=2e-3)
