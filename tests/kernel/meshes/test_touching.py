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
