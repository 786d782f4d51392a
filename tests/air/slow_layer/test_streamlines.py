"""Lines over a surface against the meridians of a sphere in a potential flow, speed 1.5 sin."""

import math

import numpy as np
import pytest

from geomgen.air.slow_layer.following import follow
from geomgen.air.slow_layer.streamlines import SweptSurface, upstream, upstreams
from geomgen.errors import ParameterError

R = 100.0


def directions(many, gridded):
    if gridded:
        polar, round_it = np.meshgrid(
            (np.arange(many) + 0.5) * math.pi / many,
            np.arange(2 * many) * math.pi / many,
            indexing="ij",
        )
        return -np.cos(polar.ravel()), round_it.ravel()
    i = np.arange(many) + 0.5
    return 1 - 2 * i / many, i * math.pi * (3 - math.sqrt(5))


def sphere(many=2400, gridded=False, keep=None):
    x, round_it = directions(many, gridded)
    out = np.sqrt(1 - x * x)
    n = np.stack([x, out * np.cos(round_it), out * np.sin(round_it)], axis=1)
    if keep is not None:
        n = n[keep(n)]
    return SweptSurface.of(R * n, n, 1.5 * (np.array([1.0, 0.0, 0.0]) - n * n[:, :1]))


def place(degrees):
    a = math.radians(degrees)
    return R * np.array([-math.cos(a), 0.8 * math.sin(a), 0.6 * math.sin(a)])


@pytest.mark.parametrize(("many", "gridded"), [(2400, False), (36, True)])
@pytest.mark.parametrize("degrees", [60.0, 100.0])
def test_meridians_of_a_sphere(many, gridded, degrees):
    """Worst measured: length 0.013 deg, speed 0.009, width 0.004, off the sphere 0.09 of 100 mm."""
    line = upstream(sphere(many, gridded), place(degrees))
    angle = line.stations / R
    assert math.degrees(angle[-1]) == pytest.approx(degrees, abs=0.05)
    assert line.begins_still
    assert line.stations[0] == line.ratios[0] == line.widths[0] == 0.0
    assert np.max(np.abs(line.ratios - 1.5 * np.sin(angle))) < 0.012
    assert np.max(np.abs(line.widths - np.sin(angle) / math.sin(math.radians(degrees)))) < 0.01
    assert np.max(np.abs(np.linalg.norm(line.places, axis=1) - R)) < 0.15
    assert np.max(np.abs(line.places @ np.array([0.0, 0.6, -0.8]))) < 0.05


def test_the_layer_along_it_is_that_of_the_meridian():
    line = upstream(sphere(), place(90.0))
    layer = follow(line.edge(25.0, 1.46e-5)).at(float(line.stations[-1]))
    angle = np.linspace(0.0, math.pi / 2, 200)
    from geomgen.air.slow_layer.edge_speed import EdgeSpeed

    true = EdgeSpeed.of(
        R * angle, 1.5 * np.sin(angle), speed=25.0, viscosity=1.46e-5, widths=np.sin(angle)
    )
    assert layer.momentum == pytest.approx(follow(true).at(R * math.pi / 2).momentum, rel=0.01)


def test_a_border_is_a_sharp_start():
    line = upstream(sphere(keep=lambda n: n[:, 0] > -0.7), place(110.0))
    assert not line.begins_still
    assert line.words == "begins at the border of the surface"
    assert line.ratios[0] > 0.5
    # The border is at 45.6 deg; points are 4 deg apart and end there unevenly.
    assert math.degrees(line.stations[-1] / R) == pytest.approx(110.0 - 45.6, abs=6.5)


def test_the_other_side_of_a_thin_plate_is_not_mixed_in():
    """Two sides 1 mm apart with points 10 mm apart, the air along x above and along y below."""
    x, y = (
        v.ravel() for v in np.meshgrid(np.arange(0.0, 300.0, 10.0), np.arange(0.0, 200.0, 10.0))
    )
    n = len(x)
    above, below = (np.stack([x, y, np.full(n, z)], axis=1) for z in (0.5, -0.5))
    up = np.tile([0.0, 0.0, 1.0], (n, 1))
    speeds = np.concatenate([np.tile([1.0, 0.0, 0.0], (n, 1)), np.tile([0.0, 1.0, 0.0], (n, 1))])
    surface = SweptSurface.of(np.concatenate([above, below]), np.concatenate([up, -up]), speeds)
    line = upstream(surface, np.array([202.0, 104.0, 0.6]))
    assert np.max(np.abs(line.places[:, 1] - 104.0)) < 1e-6
    assert np.allclose(line.widths, 1.0)
    assert line.words == "begins at the border of the surface"


def test_a_line_can_be_cut_off():
    line = upstream(sphere(), place(100.0), longest=30.0)
    assert line.words == "begins where it was cut off"
    assert line.stations[-1] == pytest.approx(30.0, abs=3.0)


@pytest.mark.parametrize(
    ("where", "words"),
    [
        ((-500.0, 0.0, 0.0), "does not lie on the surface"),
        ((-100.0, 0.0, 0.0), "the air stands at this place"),
    ],
)
def test_no_line_is_said_why(where, words):
    with pytest.raises(ParameterError, match=words):
        upstream(sphere(), np.array(where))


def test_lines_followed_together_are_those_followed_alone():
    wheres = [place(60.0), np.array([-500.0, 0.0, 0.0]), place(100.0), np.array([-R, 0.0, 0.0])]
    together = upstreams(sphere(), np.array(wheres))
    assert [isinstance(line, ParameterError) for line in together] == [False, True, False, True]
    for where, line in zip(wheres, together, strict=True):
        if not isinstance(line, ParameterError):
            alone = upstream(sphere(), where)
            assert (line.words, line.begins_still) == (alone.words, alone.begins_still)
            assert line.places == pytest.approx(alone.places, abs=1e-9)
            assert line.widths == pytest.approx(alone.widths, abs=1e-9)


@pytest.mark.parametrize(
    ("points", "normals", "words"),
    [
        (np.zeros((40, 3)), np.tile([0.0, 0.0, 1.0], (40, 1)), "lie on each other"),
        (np.random.default_rng(1).random((40, 3)), np.zeros((40, 3)), "no length"),
        (np.full((40, 3), np.nan), np.ones((40, 3)), "finite"),
        (np.zeros((3, 3)), np.ones((3, 3)), "more than a dozen"),
    ],
)
def test_a_surface_that_is_none_is_refused(points, normals, words):
    with pytest.raises(ParameterError, match=words):
        SweptSurface.of(points, normals, np.ones_like(points))


def ringed(rings, many):
    """A sphere of rings of as many points: round the nose they stand close together on arcs."""
    polar = (np.arange(rings) + 0.5) * math.pi / rings
    turn = np.arange(many) * 2 * math.pi / many
    x, r = np.repeat(-np.cos(polar), many), np.repeat(np.sin(polar), many)
    turn = np.tile(turn, rings)
    n = np.stack([x, r * np.cos(turn), r * np.sin(turn)], axis=1)
    return SweptSurface.of(R * n, n, 1.5 * (np.array([1.0, 0.0, 0.0]) - n * n[:, :1]))


@pytest.mark.parametrize("degrees", [80.0, 100.0])
@pytest.mark.parametrize("many", [40, 90])
def test_line_ends_at_the_stagnation_point_and_not_beyond_it(degrees, many):
    """A step over it came out on another line, and the layer left the skin at the nose."""
    line = upstream(ringed(12, many), place(degrees))
    slow = line.ratios < 0.7
    assert (np.diff(line.ratios[slow]) > 0).all()
    assert line.ratios.max() < 1.55
    assert math.degrees(line.stations[-1] / R) == pytest.approx(degrees, abs=2.0)
    assert follow(line.edge(25.0, 1.46e-5)).leaves is None


def test_air_that_is_slow_before_a_step_is_followed_on():
    """Slow air that was faster ahead is no stagnation point: the line goes on to the border."""
    x, y = (v.ravel() for v in np.meshgrid(np.arange(0.0, 300, 10), np.arange(0.0, 100, 10)))
    nothing = np.zeros_like(x)
    speeds = np.stack([1.0 - 0.9 * x / 300.0, nothing, nothing], axis=1)
    over = SweptSurface.of(np.stack([x, y, nothing], axis=1), [[0.0, 0.0, 1.0]] * len(x), speeds)
    line = upstream(over, np.array([280.0, 50.0, 0.0]))
    assert line.words == "begins at the border of the surface"
    assert line.ratios[0] > 0.9


def test_points_that_are_as_far_come_in_together_whatever_their_last_digits():
    """On the plane of symmetry of a grid the last of the nearest has a twin on the other side."""
    x, y = (v.ravel() for v in np.meshgrid(np.arange(0.0, 400, 10), np.arange(-100.0, 101, 10)))
    points = np.stack([x, y, 0.0 * x], axis=1)
    # Slower to both sides and bent along: one twin alone would tilt what is fitted.
    speeds = np.stack([1.0 - 1e-5 * y**2 + 1e-5 * x**2, 2e-4 * y * np.abs(y), 0.0 * x], axis=1)
    found = []
    for seed in range(8):
        moved = points * (1.0 + 1e-9 * np.random.default_rng(seed).uniform(-1, 1, points.shape))
        surface = SweptSurface.of(moved, [[0.0, 0.0, 1.0]] * len(x), speeds)
        found.append(upstream(surface, np.array([300.0, 0.0, 0.0])))
    for line in found:
        assert line.ratios == pytest.approx(found[0].ratios, abs=1e-6)
        assert line.places[:, 1] == pytest.approx(0.0, abs=1e-4)
