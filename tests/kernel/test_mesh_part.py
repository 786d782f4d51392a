"""A body known by its mesh alone: moments, halves, bytes, what lies inside."""

import numpy as np
import pytest

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box, cylinder, mirrored
from geomgen.kernel.brep.shape_bytes import shape_bytes, solid_from
from geomgen.kernel.lofting.halves import capped, doubled
from geomgen.kernel.mesh_part import ExactDueError, MeshPart
from geomgen.kernel.solids.moments import body_moments, skin_moments
from geomgen.kernel.trimming.mesh_cut import divided


@pytest.fixture(scope="module")
def trough():
    """A half block, capped in the centre plane, with a round trough along it."""
    block = box((0.0, 0.0, 0.0), (100.0, 60.0, 40.0))
    return divided(block, [cylinder((-9.0, 0.0, 40.0), (1.0, 0, 0), 20.0, 130.0)], "b", 0.05)[0][0]


def test_moments_agree_with_the_exact_ones_within_their_bounds(trough):
    from geomgen.kernel.solids.booleans import cut

    block = box((0.0, 0.0, 0.0), (100.0, 60.0, 40.0))
    exact = cut(block, [cylinder((-9.0, 0.0, 40.0), (1.0, 0, 0), 20.0, 130.0)], "b", "cut")
    for moments in (body_moments, skin_moments):
        rough, true = moments(trough), moments(exact)
        assert 0.0 < abs(rough.size - true.size) <= rough.error < 0.02 * true.size
        assert rough.centre == pytest.approx(true.centre, abs=0.05)
        assert rough.spread == pytest.approx(true.spread, rel=0.01, abs=1e-4 * max(true.spread))


def test_doubled_half_has_no_cap_and_twice_the_volume(trough):
    whole = doubled(trough, "b")
    assert capped(trough)
    assert not capped(whole)
    assert whole.volume == pytest.approx(2 * trough.volume, rel=1e-9)
    assert whole.centre[1] == pytest.approx(0.0, abs=1e-9)
    assert str(whole.hull.status()).endswith("NoError")


def test_bytes_mirror_and_box(trough):
    again = solid_from(shape_bytes(trough))
    assert shape_bytes(again) == shape_bytes(trough)
    assert len(again.rims) == len(trough.rims)
    every = [(part, *part.wholes, *part.knives) for part in (again, trough)]
    for one, two in zip(*every, strict=True):
        assert np.array_equal(one.vertices, two.vertices)
        assert np.array_equal(one.triangles, two.triangles)
        assert one.triangles.dtype == two.triangles.dtype
    other = mirrored(trough)
    assert other.volume == pytest.approx(trough.volume)
    assert other.centre[1] == -trough.centre[1]
    low = loose_box(trough).low
    assert low[0] == pytest.approx(-trough.deviation)


def test_point_inside_outside_and_beside_the_skin(trough):
    assert trough.holds((50.0, 50.0, 20.0))
    assert not trough.holds((50.0, 5.0, 35.0))
    with pytest.raises(ExactDueError):
        trough.holds((50.0, 60.0 - 0.01, 20.0))


def test_rims_count_at_places_within_their_reach_and_nowhere_else() -> None:
    """Closed form: rims of 2 mm along x at 0 and 100 mm, whose lines are off by 5 and by 3 mm."""
    rims = np.array([[[-1.0, 0, 0], [1.0, 0, 0]], [[99.0, 0, 0], [101.0, 0, 0]]])
    corners = np.array([[0.0, 0, 0], [9.0, 0, 0], [0, 9.0, 0], [0, 0, 9.0]])
    sides = np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]])
    part = MeshPart(corners, sides, 0.5, rims, np.array([5.0, 3.0]))
    at = np.array([[0.0, 6.4, 0.0], [0.0, 6.6, 0.0], [100.0, 0.0, -4.4], [50.0, 0.0, 0.0]])
    assert part.off_at(at).tolist() == [5.0, 0.5, 3.0, 0.5]
    for each, off in zip(at, part.off_at(at), strict=True):
        assert part.off_at(each[None]).tolist() == [off]
    assert part.off_at(at[:0]).shape == (0,)
