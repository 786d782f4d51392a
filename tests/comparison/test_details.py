"""Sections at the places of the largest distances: closed forms."""

import pytest

from geomgen.comparison.details import Settings, details
from geomgen.comparison.shape_changes import PartChange, State, shape_changes
from geomgen.drafting.record import FORMER, NEW
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.meshing.proven import mesh

LARGE = Settings(10, (0.0, 0.0), (2000.0, 2000.0))
OLD = mesh(box((0, 0, 0), (300.0, 40.0, 20.0)), 0.1)
NEW_ONE = mesh(box((0, 0, 0), (300.0, 44.0, 20.0)), 0.1)


def change(part="beam"):
    former, new = (
        {part: State(key, lambda m=m: m, 0.0)} for key, m in (("a", OLD), ("b", NEW_ONE))
    )
    (found,) = shape_changes(former, new)
    return found


def test_the_two_outlines_stand_as_far_apart_as_the_scale_says():
    """Closed form: 4 mm apart, drawn 2:1 on paper, 80 mm of a drawing at 1:10."""
    (found,) = details({"beam": OLD}, {"beam": NEW_ONE}, [change()], LARGE)
    reach = {}
    for layer in (FORMER, NEW):
        points = [p for path in found.drawing.paths if path.layer == layer for p in path.points]
        xs = [x for x, _ in points]
        reach[layer] = min(xs) if min(xs) > 1 else max(xs)
    assert abs(reach[NEW] - reach[FORMER]) == pytest.approx(80.0, abs=1e-6)
    assert found.drawing.labels[0].text == "A beam"
    assert found.drawing.labels[-1].text.endswith("2:1")
    assert found.drawing.labels[1].text.startswith("4.00 +/- ")


def test_a_zone_without_room_holds_no_section():
    tight = Settings(10, (0.0, 0.0), (300.0, 300.0))
    assert details({"beam": OLD}, {"beam": NEW_ONE}, [change()], tight) == ()


def test_one_of_two_hands_is_enough_when_both_changed_alike():
    both = [change("fin_right"), change("fin_left")]
    meshes = [{c.part: m for c in both} for m in (OLD, NEW_ONE)]
    assert [d.part for d in details(*meshes, both, LARGE)] == ["fin_right"]


def test_a_part_that_came_has_no_section():
    assert details({}, {"beam": OLD}, [PartChange("beam", "added")], LARGE) == ()
