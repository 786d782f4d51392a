"""The band of a layer holds what may be; what it takes from a mouth is that of its profile."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.air.slow_layer.bands import band, lost_share
from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.air.slow_layer.following import LayerHere, follow
from geomgen.errors import ParameterError

AIR = {"speed": 25.0, "viscosity": 1.46e-5}


def test_band_holds_laws_of_plates():
    """0.37 x Re^-0.2 of a layer that is turbulent from the start (MEMORY) lies in the band."""
    edge = EdgeSpeed.of([0.0, 2000.0], [1.0, 1.0], **AIR)
    found = band(edge, 2000.0)
    law = 0.37 * 2000.0 * (25.0 * 2.0 / 1.46e-5) ** -0.2
    assert found.total[0] < law < found.total[1]
    assert found.displacement[0] < found.best.displacement < found.displacement[1]
    assert any("two" in w or "one integral" in w for w in found.words)


def test_laminar_to_the_end_has_the_band_of_wedge_flows_at_least():
    edge = EdgeSpeed.of([0.0, 100.0], [1.0, 1.0], **AIR)
    found = band(edge, 100.0)
    best = follow(edge).at(100.0).total
    assert found.total == pytest.approx((best / 1.05, best * 1.05))


def test_what_might_have_left_is_said():
    s = np.linspace(0.0, 2500.0, 60)
    edge = EdgeSpeed.of(s, 1.0 - 0.42 * (s / 2500.0) ** 2, **AIR)
    own = follow(edge)
    assert own.may_leave is not None
    station = float(own.stations[-1]) - 1.0
    words = " ".join(band(edge, station).words)
    assert "might have left" in words or "leaves the surface" in words


def test_layer_that_has_left_is_told_as_it_left_and_has_no_upper_end():
    s = np.linspace(0.0, 2500.0, 60)
    edge = EdgeSpeed.of(s, 1.0 - 0.55 * s / 2500.0, **AIR)
    own = follow(edge)
    assert own.leaves is not None
    found = band(edge, 2500.0)
    assert found.leaves == own.leaves
    assert found.best.total == pytest.approx(own.total[-1])
    assert found.total[0] < found.best.total < found.total[1] == np.inf
    assert any("leaves the surface at" in word for word in found.words)


def test_layer_that_might_have_left_has_no_upper_end():
    s = np.linspace(0.0, 2500.0, 60)
    edge = EdgeSpeed.of(s, 1.0 - 0.42 * (s / 2500.0) ** 2, **AIR)
    own = follow(edge)
    before = band(edge, own.may_leave - 400.0)
    assert before.total[1] < np.inf
    assert band(edge, float(own.stations[-1]) - 1.0).total[1] == np.inf


def test_layer_without_an_end_takes_all():
    endless = LayerHere(2.0, 2.8, np.inf, 1.4, 0.003, True)
    assert lost_share(endless, 5.0, 60.0) == 1.0


def profile(layer, gap, height):
    """The same loss by adding up a power-law profile."""
    y = gap + (np.arange(20000) + 0.5) / 20000 * height
    speed = np.minimum(1.0, y / layer.total) ** ((layer.shape - 1.0) / 2.0)
    return float(np.mean(1.0 - speed**2))


@settings(max_examples=20)
@given(st.floats(0.0, 60.0), st.floats(1.0, 200.0), st.floats(1.15, 2.4), st.floats(2.0, 50.0))
def test_lost_share_is_that_of_the_profile(gap, height, shape, total):
    layer = LayerHere(total / 10, shape * total / 10, total, shape, 0.003, True)
    found = lost_share(layer, gap, height)
    assert 0.0 <= found < 1.0
    assert found == pytest.approx(profile(layer, gap, height), abs=2e-4)


def test_no_mouth_is_refused():
    layer = LayerHere(2.0, 2.8, 20.0, 1.4, 0.003, True)
    with pytest.raises(ParameterError, match="a mouth needs a height"):
        lost_share(layer, 0.0, 0.0)
