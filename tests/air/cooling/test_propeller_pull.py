"""The propeller's pull: less further ahead, none without thrust, nonsense refused."""

import pytest

from geomgen.air.cooling.propeller_pull import pull
from geomgen.errors import ParameterError


def test_less_further_ahead_and_none_without_thrust():
    pulls = [pull(400.0, 700.0, 1.225, 25.0, x) for x in (0.0, 100.0, 400.0, 2000.0)]
    assert pulls == sorted(pulls)
    assert pulls[-1] < 0
    assert pull(0.0, 700.0, 1.225, 25.0, 0.0) == 0.0


@pytest.mark.parametrize("wrong", [(-1.0, 700.0), (400.0, 0.0), (float("nan"), 700.0)])
def test_nonsense_is_refused(wrong):
    with pytest.raises(ParameterError, match="propeller"):
        pull(*wrong, 1.225, 25.0, 0.0)
