"""Whether a body that goes straight away meets another: known answers, and sweeps by a library."""

import numpy as np
import pytest

from geomgen.kernel.interference.depth import triangles_of
from geomgen.kernel.second_library import second_library
from geomgen.kernel.visibility.straight_way import TOUCH, boxes_clear, met_on_the_way

UP, DOWN = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)
AXES = [tuple(map(float, sign * row)) for row in np.eye(3) for sign in (1.0, -1.0)]


def block(low, high):
    size = np.subtract(high, low)
    return second_library().Manifold.cube([float(s) for s in size]).translate(list(low))


def pin(radius, low, high, facets=0):
    return (
        second_library()
        .Manifold.cylinder(high - low, radius, radius, facets)
        .translate([0.0, 0.0, low])
    )


def free(moved, other):
    """Return the ways of the axes along which a body goes free."""
    one, two = (triangles_of(solid)[0] for solid in (moved, other))
    return {way for way in AXES if met_on_the_way(one, two, way) is None}


def test_a_pin_leaves_its_hole_along_its_axis_only():
    plate = block((-30, -30, 0), (30, 30, 20)) - pin(5.0, -1.0, 21.0, 64)
    assert free(pin(4.8, 1.0, 19.0, 64), plate) == {UP, DOWN}


def test_a_pin_in_a_blind_hole_leaves_it_on_one_side_only():
    plate = block((-30, -30, 0), (30, 30, 20)) - pin(5.0, 5.0, 21.0, 64)
    assert free(pin(5.0, 5.0, 19.0, 64), plate) == {UP}


def test_a_box_in_a_box_goes_out_where_it_is_open():
    tray = block((0, 0, 0), (100, 80, 60)) - block((3, 3, 3), (97, 77, 61))
    thing, lid = block((10, 10, 3), (50, 50, 40)), block((0, 0, 60), (100, 80, 64))
    assert free(thing, tray) == {UP}
    assert free(thing, lid) == set(AXES) - {UP}


def test_a_hook_goes_free_on_its_open_side_only():
    """A hook round a bar between two flanges: along the bar it is barred, and by a wall at all."""
    bar = (
        block((0, -100, 0), (10, 100, 10))
        + block((-20, -104, -20), (20, -100, 20))
        + block((-20, 100, -20), (20, 104, 20))
    )
    hook = (
        block((-5, 0, 10.5), (15, 8, 15))
        + block((10.5, 0, -5), (15, 8, 15))
        + block((-5, 0, -5), (15, 8, -0.5))
    )
    assert free(hook, bar) == {(1.0, 0.0, 0.0)}
    assert free(hook, bar + block((30, -104, -20), (34, 104, 20))) == set()


@pytest.mark.parametrize(("thick", "meets"), [(0.3, True), (3.0, True), (TOUCH / 2, False)])
def test_a_thin_sheet_bars_with_its_edge_and_contact_does_not(thick, meets):
    """What is thinner than any sheet counts as contact: parts whose meshes graze each other."""
    sheet = block((20, -50, -thick), (25, 50, 0))
    thing = block((0, -10, -10), (10, 10, 10))
    graze = block((20, -50, 10 - thick), (25, 50, 30))
    assert ((1.0, 0.0, 0.0) not in free(thing, sheet)) is meets
    assert ((1.0, 0.0, 0.0) not in free(thing, graze)) is meets


def test_parts_that_lie_on_each_other_go_apart():
    """Sunk by what two meshes may be off together, they still go."""
    assert free(block((0, 0, 10 - 0.2), (10, 10, 20)), block((-5, -5, 0), (15, 15, 10))) == set(
        AXES
    ) - {DOWN}


def test_the_place_is_on_what_is_met():
    one = triangles_of(block((0, 0, 0), (10, 10, 10)))[0]
    other = triangles_of(block((4, 4, 50), (6, 6, 60)))[0]
    x, y, z = met_on_the_way(one, other, UP)
    assert 4.0 <= x <= 6.0
    assert 4.0 <= y <= 6.0
    assert z == pytest.approx(60.0)


def test_many_fine_triangles_and_a_slit_between_them():
    """A blade goes through a slit in a fine mesh; twice as thick it does not."""
    library = second_library()
    ball = library.Manifold.sphere(40.0, 96) - block((-50, -1, -50), (50, 1, 50))
    blade = block((-20, -0.8, 60), (20, 0.8, 80))
    thick = block((-20, -1.6, 60), (20, 1.6, 80))
    assert DOWN in free(blade, ball)
    assert DOWN not in free(thick, ball)


def test_faces_of_very_narrow_triangles_bar_as_broad_ones_do():
    """The fan of a disc of 700 facets, none as wide as what counts as contact."""
    disc = pin(20.0, 0.0, 10.0, 700).rotate([0.0, 0.0, 7.3]).translate([0.013, 0.007, 0.0])
    post = pin(1.0, 20.0, 30.0, 300).translate([17.1, 0.3, 0.0])
    for one, other, way in ((disc, post, UP), (post, disc, DOWN)):
        assert way not in free(one, other)


def bodies(seed):
    """Return two bodies that share no space, the first convex, and its rounder inside."""
    rng = np.random.default_rng(seed)
    turn = [float(a) for a in rng.uniform(0.0, 360.0, 3)]
    size = rng.uniform(4.0, 20.0, 3)
    library = second_library()
    one = library.Manifold.cube([float(s) for s in size], True).rotate(turn)
    less = library.Manifold.cube([float(s - 2 * TOUCH) for s in size], True).rotate(turn)
    lobes = [
        library.Manifold.sphere(float(r), 16).translate([float(c) for c in at])
        for r, at in zip(rng.uniform(3.0, 9.0, 4), rng.uniform(-30.0, 30.0, (4, 3)), strict=True)
    ]
    other = library.Manifold.batch_boolean(lobes, library.OpType.Add) - one
    way = rng.normal(size=3)
    return one, less, other, way / np.linalg.norm(way)


def test_it_agrees_with_the_sweep_of_a_convex_body():
    """The hull of a convex body and of itself far away is its sweep: manifold3d's, not ours."""
    library, met = second_library(), 0
    for seed in range(60):
        one, less, other, way = bodies(seed)
        far = [float(c) for c in 200.0 * way]
        swept, core = (
            library.Manifold.batch_hull([body, body.translate(far)]) for body in (one, less)
        )
        found = met_on_the_way(
            triangles_of(one)[0], triangles_of(other)[0], tuple(float(c) for c in way)
        )
        if found is None:
            assert (core ^ other).volume() < 1e-6, seed
        else:
            met += 1
            assert (swept ^ other).volume() > 1e-6, seed
    assert 15 < met < 55


def test_it_is_the_same_seen_from_the_other_body():
    for seed in range(10):
        one, _, other, way = bodies(seed)
        a, b = (triangles_of(body)[0] for body in (one, other))
        there = met_on_the_way(a, b, tuple(map(float, way)))
        back = met_on_the_way(b, a, tuple(map(float, -way)))
        assert (there is None) == (back is None)


def test_boxes_tell_of_none_that_it_goes_free_where_it_meets() -> None:
    """A block round another, near all the edges of its box, along axes and a slanting way."""
    one, rest = block((0, 0, 0), (4, 4, 4)), block((0, 0, 0), (4, 4, 4))
    told = 0
    for way in (*AXES, (0.6, 0.0, 0.8), (-0.36, 0.48, 0.8)):
        for shift in np.array(np.meshgrid(*[(-9.0, -4.3, 0.0, 3.7, 4.3)] * 3)).reshape(3, -1).T:
            other = rest.translate(list(shift))
            pair = [triangles_of(body)[0] for body in (one, other)]
            ends = [np.array([c.min(axis=(0, 1)), c.max(axis=(0, 1))]) for c in pair]
            if boxes_clear(*ends, way):
                told += 1
                assert met_on_the_way(*pair, way) is None
    assert told > 300
