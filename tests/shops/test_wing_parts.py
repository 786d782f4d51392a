"""The finished wing in several parts: which reaches the tip, where there is none of it."""

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.kernel.solids.properties import volume
from geomgen.shops.wing_parts import bare_spans, outermost, whole_wing


def slab(low: float, high: float):
    return box((0.0, low, 0.0), (1000.0, high, 100.0))


def wing() -> Model:
    """Return a centre section of 700 mm each side and outer panels from 800 to 4000 mm."""
    parts = {
        "wing_centre": slab(-700.0, 700.0),
        "wing_outer_right": slab(800.0, 4000.0),
        "wing_outer_left": slab(-4000.0, -800.0),
        "boom_right": slab(710.0, 790.0),
    }
    families = {name: name.split("_")[0] for name in parts}
    return Model(parts=parts, families=families)


def test_all_parts_of_the_wing_and_no_other() -> None:
    assert volume(whole_wing(wing())).value == pytest.approx((1400 + 6400) * 1e5, rel=1e-9)


def test_a_wing_in_one_part_is_that_part() -> None:
    solid = slab(-10.0, 10.0)
    assert whole_wing(Model(parts={"wing": solid})).IsSame(solid)


def test_the_tip_is_on_the_outer_panel_on_the_right() -> None:
    assert outermost(wing()) == "wing_outer_right"


@pytest.mark.parametrize("side", [1, -1])
def test_where_there_is_none_of_it(side: int) -> None:
    whole = whole_wing(wing())
    assert bare_spans(whole, side, 0.0, 600.0) == []
    (span,) = bare_spans(whole, side, 0.0, 2000.0)
    assert span == pytest.approx((700.0, 800.0), abs=1e-3)
    assert bare_spans(whole, side, 720.0, 780.0) == [(720.0, 780.0)]


def test_a_set_without_a_wing_is_refused() -> None:
    with pytest.raises(GeometryError, match="no wing"):
        whole_wing(Model(parts={"pod": slab(-1.0, 1.0)}))
