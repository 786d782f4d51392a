"""The lines of a body: through the stations, curvature-continuous, round-nosed, without waves."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.errors import GeometryError
from geomgen.kernel.lofting.fairest import looks, past
from geomgen.kernel.lofting.lines import (
    SLACK,
    WEIGHT_SCALE,
    Stations,
    bands_of,
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
    for name, band in bands_of(given_).items():
        assert past(laid.curves[name], v, band).max() <= 1e-6 * band.size()
        assert np.allclose(laid.curves[name](v), band.y, atol=1e-6)


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
    given_ = stations(CROWN * (1 + np.array(up)), HALF * (1 + np.array(out)))
    stays_within(lay(given_, "pod"), given_)


def test_a_spike_is_laid() -> None:
    """Whatever is drawn is laid; how fair it is, a check says."""
    crown = CROWN.copy()
    crown[5] += 400
    x = X.copy()
    x[5] = x[4] + 3.0
    given_ = stations(crown=crown, x=x)
    stays_within(lay(given_, "pod"), given_)


END = st.sampled_from(["round", "flat"])
SIZES = st.lists(st.floats(5.0, 500.0), min_size=9, max_size=9)


@settings(max_examples=40)
@given(
    st.lists(st.floats(2.0, 900.0), min_size=2, max_size=8),
    *(SIZES, SIZES, SIZES),
    st.lists(st.floats(300.0, 900.0), min_size=9, max_size=9),
    st.lists(st.floats(0.3, 0.85), min_size=9, max_size=9),
    *(END, END),
)
def test_any_stations_are_laid_in_order(gaps, up, down, out, height, fullness, nose, tail) -> None:
    """Crown over breadth line over keel, breadth on its side, stations rising, whatever is drawn.

    Through the stations, within the band, and in that order between them.
    """
    x = np.r_[0.0, np.cumsum(gaps)]
    up, down, out, height = (np.array(rows[: len(x)]) for rows in (up, down, out, height))
    for end, place in ((nose, 0), (tail, -1)):
        if end == "round":
            up[place] = down[place] = out[place] = 0.0
    weight = weight_of(np.array(fullness[: len(x)]))
    given_ = Stations(x, height + up, height - down, out, height, weight, weight, nose, tail)
    lines = lay(given_, "pod")
    stays_within(lines, given_)
    v = common_parameter(x, nose, tail)
    inside = looks(v)[:, 1:-1]
    assert np.all(np.diff(lines.station(np.linspace(v[0], v[-1], 500))) > 0)
    middle = lines.curves["breadth_height"](inside)
    assert np.all(lines.curves["crown"](inside) > middle)
    assert np.all(middle > lines.curves["keel"](inside))
    assert np.all(lines.curves["half_breadth"](inside) > 0)


def test_shapely_lines_have_no_crest_between_stations() -> None:
    """Fullness and breadth height keep to their two stations, where a crown may have a crest."""
    rho = np.array([0.42, 0.42, 0.42, 0.5, 0.6, 0.6, 0.5, 0.42, 0.42, 0.42])
    lines = lay(stations(fullness=rho))
    v = common_parameter(X, "round", "flat")
    between = lines.curves["weight_upper"](np.linspace(v[4], v[5], 50))
    assert between.max() <= weight_of(0.6) + SLACK * WEIGHT_SCALE


def test_parameter_of_a_station_is_found_again() -> None:
    lines = lay(stations())
    for x in (1.0, 60.0, 777.7, 2799.0):
        assert float(lines.station(lines.at_station(x))) == pytest.approx(x, abs=1e-8)
    with pytest.raises(GeometryError, match="not on the body"):
        lines.at_station(-5.0)


def test_round_tails_end_is_on_the_body() -> None:
    """The last station of a round tail, whatever its digits, is found."""
    for end in np.arange(2800.0, 2900.0, 3.7):
        x = np.r_[X[:-1], end]
        crown, half = np.r_[CROWN[:-1], 0.0], np.r_[HALF[:-1], 0.0]
        given_ = replace(stations(crown=crown, half=half, x=x), tail="round")
        lines = lay(given_)
        assert lines.at_station(end) == pytest.approx(lines.v_range[1], abs=1e-4)
