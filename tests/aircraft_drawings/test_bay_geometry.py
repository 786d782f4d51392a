"""Where the engine bay is cut; closed forms on plain bodies (DERIVED)."""

import math

import pytest
from bay_bodies import bay_model

from geomgen.aircraft_drawings.bay_geometry import bay_of, throat_line
from geomgen.kernel.brep.primitives import box


def test_the_bay_is_cut_in_the_thrust_line_and_through_the_mouths() -> None:
    bay = bay_of(bay_model())
    assert bay.upright.frame.origin[1] == 0.0
    assert bay.level is not None
    assert bay.level.frame.origin[2] == pytest.approx(500.0)
    assert bay.upright.passages == ()
    assert len(bay.level.passages) == 2
    # From ahead of the firewall to behind the spinner, and as high as the disc.
    assert bay.upright.limits.low[0] == pytest.approx(850.0, abs=0.01)
    assert bay.upright.limits.high[0] == pytest.approx(2270.0, abs=0.01)
    assert bay.upright.limits.high[1] - bay.upright.limits.low[1] == pytest.approx(1350.0, abs=0.1)
    assert "wheel_nose" not in bay.upright.cut.parts


def test_a_throat_is_as_wide_as_it_is_open() -> None:
    model = bay_model()
    bay = bay_of(model)
    assert bay.level is not None
    right = bay.level.passages[0]
    line = throat_line(bay.level, right)
    assert line is not None
    assert math.dist(*line) == pytest.approx(90.0)
    assert {x for x, _ in line} == {1100.0}
    # A board in the duct leaves the part of it in which the seed lies.
    model.parts["board"] = box((1050.0, 377.0, 440.0), (1150.0, 398.0, 560.0))
    model.families["board"] = "engine"
    bay = bay_of(model)
    assert bay.level is not None
    line = throat_line(bay.level, right)
    assert line is not None
    assert math.dist(*line) == pytest.approx(70.0)


def test_a_throat_that_is_shut_or_not_closed_has_no_line() -> None:
    for low, high in ((1090.0, 1110.0), (0.0, 0.0)):
        model = bay_model()
        if high:
            model.parts["plug"] = box((low, 300.0, 440.0), (high, 402.0, 560.0))
            model.families["plug"] = "engine"
        bay = bay_of(model)
        assert bay.level is not None
        right = bay.level.passages[0]
        if not high:
            # Without its scoop the throat lies in the open air.
            bay.level.cut.parts.pop("scoop_right")
        assert throat_line(bay.level, right) is None
