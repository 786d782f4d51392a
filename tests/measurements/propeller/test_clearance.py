"""Radial clearance part by part: in the blades' range only, and outside the hole of the ring."""

from math import cos, radians, sin

import pytest
from asking import asked, propeller_figures

from geomgen.kernel.brep.primitives import box, cylinder, ring, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis

LINE = Axis((2000.0, 0.0, 800.0), (1.0, 0.0, 0.0))


def model(axis=LINE, **parts):
    every = {"prop_disc": ring(axis, -30.0, 30.0, 80.0, 650.0), **parts}
    return Model(parts=every, families={name: name for name in every}, thrust_line=axis)


def radially(name, solid, axis=LINE):
    """Return gap and place of one part by the question that `check` asks; None for none."""
    wanted = {"swept volume", f"radially to {name}"}
    found = asked(model(axis, **{name: solid}), keep=lambda question: question.name in wanted)
    return found[f"radially to {name}"] or None


def test_a_rod_that_comes_nearer_behind_the_blades_counts_where_they_turn() -> None:
    """A square-cut cone's nearest line in the range is at its edge (closed form, similar
    triangles): radius 60 at 1,900 mm, 20 at 2,100, so 34 at 2,030 where the gap is largest."""
    from geomgen.kernel.brep.primitives import revolved

    about = Axis((1900.0, 900.0, 800.0), (1.0, 0.0, 0.0))
    cone = revolved([(0.0, 0.0), (0.0, 60.0), (200.0, 20.0), (200.0, 0.0)], about)
    gap, point, _ = radially("cone", cone)
    # At the front of the range, 1,970 mm, its radius is 46.
    assert gap == pytest.approx(900.0 - 46.0 - 650.0, abs=1e-6)
    assert point[0] == pytest.approx(1970.0, abs=1e-6)


def test_what_is_out_of_the_range_is_not_there() -> None:
    assert radially("rod", cylinder((1000, 700, 800), (1, 0, 0), 10.0, 900.0)) is None


def test_what_stands_in_the_hole_is_hub() -> None:
    shaft = cylinder((1500, 0, 800), (1, 0, 0), 25.0, 1000.0)
    assert radially("shaft", shaft) is None


def test_what_reaches_out_of_the_hole_counts_from_its_rim() -> None:
    """A bar through the axis: inside the ring it begins at the hole's radius (closed form)."""
    bar = box((1990.0, -5.0, 800.0), (2010.0, 500.0, 810.0))
    gap, *_ = radially("bar", bar)
    assert gap == pytest.approx(80.0 - 650.0, abs=1e-6)


def test_a_leaning_disc_and_what_leans_with_it() -> None:
    """Turning everything about the blades' middle changes nothing (closed form)."""
    lean = radians(6.0)
    axis = Axis(LINE.origin, (cos(lean), 0.0, -sin(lean)))
    rod = tilted(cylinder((1000, 750, 800), (1, 0, 0), 40.0, 2000.0), LINE.origin, 6.0)
    gap, *_ = radially("rod", rod, axis)
    assert gap == pytest.approx(750.0 - 40.0 - 650.0, abs=1e-6)


def test_the_least_of_all_parts_is_the_record() -> None:
    rods = {f"rod_{y}": cylinder((1000, y, 800), (1, 0, 0), 10.0, 2000.0) for y in (900, 720, -800)}
    found = propeller_figures(model(**rods))["prop.radial_clearance"]
    assert (found.part, found.value) == ("rod_720", pytest.approx(60.0, abs=1e-6))
