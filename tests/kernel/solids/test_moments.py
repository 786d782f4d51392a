"""What two rules of integrating differ by goes into the bound, or refuses the body."""

from dataclasses import replace

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.solids import moments
from geomgen.kernel.solids.moments import body_moments


@pytest.fixture
def off(monkeypatch):
    """Have one rule's volume off by a share of it."""
    exact = moments.volume

    def by(share):
        def told(solid):
            found = exact(solid)
            return replace(found, value=found.value * (1.0 + share))

        monkeypatch.setattr(moments, "volume", told)

    return by


SMALL, LARGE = (box((0.0, 0.0, 0.0), (size, 40.0, 3.0)) for size in (200.0, 4000.0))


def test_a_small_body_may_be_off_by_a_larger_share_and_its_bound_says_so(off):
    off(3e-4)
    found = body_moments(SMALL)
    assert found.size == pytest.approx(24000.0 * 1.0003)
    assert found.error == pytest.approx(24000.0 * 3e-4, rel=1e-6)
    with pytest.raises(GeometryError, match="two ways to integrate it differ"):
        body_moments(LARGE)


def test_beyond_a_share_of_any_body_nothing_is_told(off):
    off(2e-3)
    with pytest.raises(GeometryError, match="two ways to integrate it differ"):
        body_moments(SMALL)
