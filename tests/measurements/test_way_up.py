"""The least gap on a way is found wherever it lies."""

import pytest

from geomgen.measurements.way_up import CLOSE, closeness, lowest


@pytest.mark.parametrize("dip", [0.013, 0.37, 0.5, 0.99])
def test_a_narrow_dip_is_not_missed(dip) -> None:
    asked = []

    def gap(share: float) -> float:
        asked.append(share)
        return 30.0 + min(abs(300.0 * (share - dip)), 8.0)

    _, least = lowest(gap, [0.0, 1.0], 300.0)
    assert 30.0 <= least <= 30.0 + closeness(least)
    assert len(asked) < 2 * 300.0 / CLOSE
