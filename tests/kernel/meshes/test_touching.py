"""How much of a mesh lies within reach of others, where meshes may be off; closed forms."""

import numpy as np
import pytest

from geomgen.kernel.meshes.search import MeshSearch
from geomgen.kernel.meshes.touching import touching

FLAT = np.array([[[0.0, 0.0, 0.0], [0.5, 0.0, 0.0], [0.0, 0.5, 0.0]]])


@pytest.mark.parametrize(("apart", "doubtful"), [(2.0, 0.125), (4.0, 0.0)])
def test_what_may_be_within_reach_by_what_meshes_are_off_is_in_the_bound(apart, doubtful):
    """Closed form: 2 mm apart and off by 1.5 mm it may be within 1 mm; 4 mm apart it can't be."""
    found = touching(FLAT, [MeshSearch(FLAT + np.array([0.0, 0.0, apart]))], [1.0], blur=1.5)
    assert found.area == 0.0
    assert found.error == pytest.approx(doubtful, abs=1e-12)


def test_slivers_beside_and_across_another_mesh_count_to_what_is_within_reach() -> None:
    """Closed form: of 1,020 strips of 400 mm those 20 mm at the end lie within 1 mm of a block."""
    y = np.arange(510) * 0.1
    fore = [[[0.0, a, 0.0], [400.0, a, 0.0], [400.0, a + 0.1, 0.0]] for a in y]
    aft = [[[0.0, a, 0.0], [400.0, a + 0.1, 0.0], [0.0, a + 0.1, 0.0]] for a in y]
    plate = np.array([[[380.0, -9.0, -0.5], [500.0, -9.0, -0.5], [380.0, 300.0, -0.5]]])
    plate = np.concatenate([plate, plate + np.array([0.0, 0.0, -50.0])])
    strips, exact = np.array([*fore, *aft]), 20.0 * 51.0
    for blur in (0.0, 0.1):
        found = touching(strips, [MeshSearch(plate)], [1.0], 5.0, blur)
        assert abs(found.area - exact) <= found.error
        assert found.error < 2.0 * exact


@pytest.mark.parametrize(("blur", "most"), [(0.0, 94_000), (0.1, 70_000)])
def test_of_what_is_cut_again_in_any_case_no_place_is_asked(monkeypatch, blur, most) -> None:
    """Of 1,600 strips of 3 m that a block of 40 mm crosses few have to be asked at each cut."""
    y = np.arange(1600) * 0.1
    strips = np.array([[[0.0, a, 0.0], [3000.0, a, 0.0], [3000.0, a + 0.1, 0.0]] for a in y])
    block = np.array([[[400.0, -9.0, 1.05], [440.0, -9.0, 1.05], [400.0, 300.0, 1.05]]])
    asked, ask = [], MeshSearch.nearest_within

    def counted(self, points, reach):
        asked.append(len(points))
        return ask(self, points, reach)

    monkeypatch.setattr(MeshSearch, "nearest_within", counted)
    found = touching(strips, [MeshSearch(block)], [1.0], 25.0, blur)
    assert found.area == 0.0
    assert sum(asked) < most


def test_meshes_that_are_farther_than_another_change_nothing() -> None:
    near, far = FLAT + np.array([0.0, 0.0, 0.2]), FLAT + np.array([0.0, 0.0, 0.6])
    alone = touching(FLAT, [MeshSearch(near)], [0.5])
    for others, reaches in (([near, far], [0.5, 0.5]), ([far, near], [0.7, 0.5])):
        both = touching(FLAT, [MeshSearch(each) for each in others], reaches)
        assert both.area == pytest.approx(alone.area) == pytest.approx(0.125)


@pytest.mark.parametrize("blur", [0.0, 0.1])
def test_of_a_large_mesh_no_more_is_searched_than_may_be_near(monkeypatch, blur) -> None:
    """A floor of 200 by 200 squares of 10 mm, on which a plate of 40 mm stands."""
    at = np.stack(np.meshgrid(np.arange(200.0), np.arange(200.0), [0.0]), axis=-1).reshape(-1, 1, 3)
    halves = np.array([[[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[1, 0, 0], [1, 1, 0], [0, 1, 0]]])
    floor = 10.0 * np.concatenate([at + half for half in halves])
    plate = 80.0 * FLAT + np.array([900.0, 900.0, 0.2])
    searched, ask = [], MeshSearch.nearest_within

    def counted(self, points, reach):
        searched.append(len(self.corners))
        return ask(self, points, reach)

    monkeypatch.setattr(MeshSearch, "nearest_within", counted)
    found = touching(plate, [MeshSearch(floor)], [0.5], blur=blur)
    assert found.area == pytest.approx(800.0)
    assert 0 < max(searched) < 0.01 * len(floor)
    assert (
        touching(plate + np.array([0.0, 0.0, 900.0]), [MeshSearch(floor)], [0.5], blur=blur).area
        == 0.0
    )
