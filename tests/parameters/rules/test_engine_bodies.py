"""Bodies of the engine that stand apart are refused with the way that joins them: it is gone."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.solids.distance import closest
from geomgen.parameters.rules.engine_bodies import EngineBody, bodies_of, gap
from geomgen.shapes.engine import engine

MUFFLER = "engine.cylinders.muffler"
SIZES = st.floats(2.0, 60.0)
PLACES = st.floats(-150.0, 150.0)
BODIES = st.builds(
    lambda at, half, axis, radius: EngineBody(
        (), "x", at, tuple(half[k] if axis in (None, k) else radius for k in range(3)), axis
    ),
    st.tuples(PLACES, PLACES, PLACES),
    st.tuples(SIZES, SIZES, SIZES),
    st.sampled_from([None, 0, 1, 2]),
    SIZES,
)


def refusals(saltmarsh, *overrides):
    with pytest.raises(ParameterError) as caught:
        saltmarsh(*overrides)
    return list(getattr(caught.value, "errors", [caught.value]))


def test_a_body_along_one_axis_is_told_what_to_write(saltmarsh) -> None:
    """Closed form: the muffler's top, 45 mm above its middle, meets the crankcase at WL 690."""
    (error,) = refusals(saltmarsh, f"{MUFFLER}.waterline=500 mm")
    assert error.key == "engine.cylinders.3.waterline"
    assert "'muffler' stands apart from the rest of the engine" in error.problem
    assert "nearest to engine.boxes.0 'crankcase'" in error.problem
    assert (error.written, error.allowed) == ("500 mm", "more than 645 mm")
    assert "move it more than 145 mm up" in error.advice
    assert engine(saltmarsh(f"{MUFFLER}.waterline=646 mm")).name == "engine"


def test_a_body_askew_is_told_both_ways_and_joins_by_them(saltmarsh) -> None:
    (error,) = refusals(saltmarsh, f"{MUFFLER}.station=2032 mm")
    assert "more than 123.701 mm aft and 22.089 mm up" in error.advice
    moved = (f"{MUFFLER}.station={2032 + 124.2} mm", f"{MUFFLER}.waterline={660 + 22.3} mm")
    assert engine(saltmarsh(*moved)).name == "engine"


def test_two_bodies_that_hang_together_go_together(saltmarsh) -> None:
    (error,) = refusals(
        saltmarsh, "engine.cylinders.1.waterline=1.6 m", "engine.cylinders.2.waterline=1.6 m",
        "engine.cylinders.2.station=2400 mm",
    )  # fmt: skip
    assert "with the 1 that it carries" in error.advice


@pytest.mark.parametrize("where", ["engine.boxes.1.station=2700 mm", f"{MUFFLER}.waterline=2 m"])
def test_of_many_bodies_the_stray_one_is_named(saltmarsh, where) -> None:
    (error,) = refusals(saltmarsh, where)
    assert error.key == where.split("=")[0].replace("muffler", "3")


@given(BODIES, BODIES)
def test_the_gap_is_that_of_the_solids(a, b) -> None:
    """Against the kernel's own distance; what may meet is left to the kernel."""
    far = closest(solid(a), solid(b)).distance
    way = gap(a, b)
    if way is None:
        assert far < 0.05
    else:
        assert hypot(*way) == pytest.approx(far, abs=2e-3)


def solid(body: EngineBody):
    low = tuple(m - h for m, h in zip(body.middle, body.half, strict=True))
    high = tuple(m + h for m, h in zip(body.middle, body.half, strict=True))
    if body.axis is None:
        return box(low, high)
    start = tuple(low[k] if k == body.axis else body.middle[k] for k in range(3))
    way = tuple(float(k == body.axis) for k in range(3))
    radius = body.half[(body.axis + 1) % 3]
    return cylinder(start, way, radius, 2 * body.half[body.axis])


def test_the_bodies_of_the_example_are_as_they_are_built(saltmarsh) -> None:
    p = saltmarsh()
    made = bodies_of(p)
    assert len(made) == len(p.engine.boxes) + len(p.engine.cylinders)
    assert made[0].volume == pytest.approx(270 * 190 * 180)
