"""The lines of a body: through the stations, curvature-continuous, round-nosed, without waves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import GeometryError
from geomgen.kernel.lines import (
    NAMES,
    SLACK,
    WEIGHT_SCALE,
    Stations,
    allowed_band,
    common_parameter,
    lay,
    quadrant,
    weight_of,
)

X = np.array([0.0, 60, 250, 600, 1000, 1450, 1900, 2300, 2600, 2800])
CROWN = np.array([0.0, 110, 240, 400, 500, 520, 455, 350, 272, 240])
HALF = np.array([0.0, 95, 190, 272, 310, 320, 290, 220, 155, 118])
ROUND = weight_of(2**0.5 - 1)


def stations(crown=CROWN, half=HALF, x=X, fullness=None) -> Stations:
    weights = np.full_like(x, ROUND) if fullness is None else weight_of(fullness)
    keel = -0.7 * crown
    return Stations(x, crown, keel, half, 0.04 * crown, weights, weights, "round", "flat")


def test_lines_pass_through_their_stations() -> None:
    lines = lay(stations())
    v = common_parameter(X, "round", "flat")
    assert np.allclose(lines.station(v), X, atol=1e-9)
    assert np.allclose(lines.curves["crown"](v), CROWN, atol=1e-9)
    assert np.allclose(lines.curves["half_breadth"](v), HALF, atol=1e-9)


def test_lines_are_curvature_continuous() -> None:
    """First and second derivatives agree from both sides of every station."""
    lines = lay(stations())
    for curve in (lines.station, lines.curves["crown"], lines.curves["half_breadth"]):
        for v in np.unique(curve.t)[1:-1]:
            for order in (1, 2):
                below, above = (float(curve(v + e, nu=order)) for e in (-1e-9, 1e-9))
                assert below == pytest.approx(above, rel=1e-5, abs=1e-4)


def test_nose_is_round_and_across_the_axis() -> None:
    """At the nose the station has no slope: the tangent plane there stands across the axis."""
    lines = lay(stations())
    assert float(lines.station(0.0, nu=1)) == pytest.approx(0.0, abs=1e-9)
    assert float(lines.station(0.0, nu=2)) > 0
    assert float(lines.curves["crown"](0.0, nu=1)) > 0


@pytest.mark.parametrize("fullness", [None, np.linspace(0.41, 0.55, len(X))])
def test_tangents_agree_across_the_quadrants(fullness) -> None:
    """Upper and lower quadrant meet upright at the breadth line, level at crown and keel."""
    lines = lay(stations(fullness=fullness))
    v = np.linspace(0.05, 1.5, 40)
    for which in ("upper", "lower"):
        points, du, _ = quadrant(lines, which, np.array([0.0, 1.0]), v)
        assert np.allclose(du[0, :, 1], 0.0, atol=1e-9)
        assert np.allclose(du[1, :, 2], 0.0, atol=1e-9)
        assert np.allclose(points[1, :, 1], 0.0, atol=1e-9)


def test_derivatives_of_a_quadrant_match_differences() -> None:
    lines = lay(stations(fullness=np.linspace(0.41, 0.6, len(X))))
    u, v, h = np.linspace(0.1, 0.9, 5), np.linspace(0.2, 1.4, 7), 1e-6
    _, du, dv = quadrant(lines, "upper", u, v)
    ahead, behind = quadrant(lines, "upper", u, v + h)[0], quadrant(lines, "upper", u, v - h)[0]
    assert np.allclose(dv, (ahead - behind) / (2 * h), atol=1e-3)
    ahead, behind = quadrant(lines, "upper", u + h, v)[0], quadrant(lines, "upper", u - h, v)[0]
    assert np.allclose(du, (ahead - behind) / (2 * h), atol=1e-3)


def stays_within(laid, given_: Stations) -> None:
    v = common_parameter(given_.x, given_.nose, given_.tail)
    for name in NAMES:
        y = np.asarray(getattr(given_, name), dtype=float)
        scale = WEIGHT_SCALE if name.startswith("weight") else given_.depth()
        low, high = allowed_band(y, SLACK * scale)
        for i in range(len(v) - 1):
            values = laid.curves[name](np.linspace(v[i], v[i + 1], 101))
            assert values.min() >= low[i] - 0.002 * scale
            assert values.max() <= high[i] + 0.002 * scale


def test_no_waves_beside_a_straight_run() -> None:
    """A plain cubic bulges ahead of a long level run (shown); the lines laid here do not."""
    from scipy.interpolate import make_interp_spline

    crown = np.array([0.0, 110, 240, 400, 500, 500, 500, 350, 272, 240])
    v = common_parameter(X, "round", "flat")
    plain = make_interp_spline(v, crown, k=3)(np.linspace(v[4], v[6], 200))
    assert plain.max() > 505
    given_ = stations(crown=crown)
    lines = lay(given_)
    stays_within(lines, given_)
    level = lines.curves["crown"](np.linspace(v[4], v[6], 200))
    assert level.max() - 500 < 0.5 * (plain.max() - 500)


@given(
    st.lists(st.floats(-0.08, 0.08), min_size=len(X), max_size=len(X)),
    st.lists(st.floats(-0.08, 0.08), min_size=len(X), max_size=len(X)),
)
def test_lines_stay_within_what_the_neighbours_allow(up, out) -> None:
    """Whatever is laid stays in the band; what can't be is refused and names the stations."""
    given_ = stations(CROWN * (1 + np.array(up)), HALF * (1 + np.array(out)))
    try:
        lines = lay(given_, "pod")
    except GeometryError as error:
        if "between stations" not in str(error):
            raise
        return
    stays_within(lines, given_)


def test_a_spike_is_refused_by_name() -> None:
    crown = CROWN.copy()
    crown[5] += 400
    x = X.copy()
    x[5] = x[4] + 3.0
    with pytest.raises(GeometryError, match="pod"):
        lay(stations(crown=crown, x=x), "pod")


def test_parameter_of_a_station_is_found_again() -> None:
    lines = lay(stations())
    for x in (1.0, 60.0, 777.7, 2799.0):
        assert float(lines.station(lines.at_station(x))) == pytest.approx(x, abs=1e-8)
    with pytest.raises(GeometryError, match="not on the body"):
        lines.at_station(-5.0)
