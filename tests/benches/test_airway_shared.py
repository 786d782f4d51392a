"""Wrong ways of the air from several mouths, each with its true least area in closed form.

How a machine can overheat although each mouth by itself has its air:

- ducts that join in one that is narrower than both together: seen;
- one firewall's hole for all mouths: seen;
- of three mouths two share a narrow place: seen, the third counts by itself;
- a narrow place that mouths share behind the end of their passages where there is no fan: NOT SEEN,
  and the note says so;
- how the fan parts its draught between mouths, and fans of unlike size: NOT SEEN.
"""

from dataclasses import replace

import pytest
from airway_bodies import AFT, LONG, THROAT, WALL, WIDE, figures, machine, passage, pod

from geomgen.kernel.brep.primitives import box
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.way_shared import ID
from geomgen.measurements.survey.whole import survey

INNER = WIDE - WALL
A, B, C = "scoop_a", "scoop_b", "scoop_c"


def mouths(*places, fans=False):
    """Return the passages of mouths at some places across, and the hull that has them."""
    made = [passage(f"scoop_{'abc'[k]}", y) for k, y in enumerate(places)]
    if fans:
        made = [
            replace(p, fan=Plane((300.0, y, 0.0), AFT)) for p, y in zip(made, places, strict=True)
        ]
    return made, pod([(y, 0.0) for y in places])


def wall(x, low, high, *holes, thick=4.0):
    """Return a plate across the bay at a station, with holes (y, z, width, height)."""
    sheet = box((x, low, -INNER - 1), (x + thick, high, INNER + 1))
    knives = [
        box((x - 1, y - w / 2, z - h / 2), (x + thick + 1, y + w / 2, z + h / 2))
        for y, z, w, h in holes
    ]
    return cut(sheet, knives, "wall", "bench") if knives else sheet


def septum(y, end=LONG):
    """Return a plate along the bay that parts it from the front wall to a station."""
    return box((WALL - 1, y - 2, -INNER - 1), (end, y + 2, INNER + 1))


def all_ways(made, hull, **parts):
    return figures(made, hull=hull, only="scoop", **parts)


@pytest.mark.parametrize(
    ("wide", "high"),
    [pytest.param(*row, marks=pytest.mark.long) for row in ((100.0, 96.0), (60.0, 140.0))],
)
def test_one_hole_for_two_mouths_has_to_serve_both(wide, high):
    """Each mouth by itself finds the hole large enough: 8000 mm2 are less than the hole."""
    found = all_ways(*mouths(-80.0, 80.0), frame=wall(150, -200, 200, (0, 0, wide, high)))
    assert found[ID].value == pytest.approx(wide * high, abs=found[ID].error_bound)
    assert found[ID].error_bound < 0.01 * wide * high
    assert "scoop_a and scoop_b share a narrow place, narrowed by frame" in found[ID].note
    assert not found[ID].broken
    for name in (A, B):
        alone = found[f"{ID}.{name}"]
        assert alone.value >= 0.999 * THROAT
        assert f"once for all in {ID}" in alone.method


@pytest.mark.long
def test_what_is_hardly_too_narrow_for_both_is_seen_off_the_middle_too():
    """A thin plate, its hole beside the middle: the stream stands aslant to it there."""
    found = all_ways(*mouths(-80.0, 80.0), frame=wall(150, -200, 200, (25, 10, 150, 98), thick=2.0))
    assert found[ID].value == pytest.approx(150 * 98, rel=1e-3)


def test_two_ducts_that_join_in_a_narrow_one():
    block = cut(
        box((WALL - 1, -INNER - 1, -INNER - 1), (260, INNER + 1, INNER + 1)),
        [
            box((WALL - 2, -130, -40), (120, -30, 40)),
            box((WALL - 2, 30, -40), (120, 130, 40)),
            box((90, -130, -60), (160, 130, 60)),
            box((150, -60, -40), (261, 60, 40)),
        ],
        "ducts",
        "bench",
    )
    found = all_ways(*mouths(-80.0, 80.0), frame=block)
    assert found[ID].value == pytest.approx(120 * 80, rel=1e-3)


def test_what_is_wide_enough_for_both_leaves_the_sum():
    found = all_ways(*mouths(-80.0, 80.0), frame=wall(150, -200, 200, (0, 0, 300, 200)))
    each = [found[f"{ID}.{name}"] for name in (A, B)]
    assert found[ID].value == sum(way.value for way in each)
    assert found[ID].error_bound == sum(way.error_bound for way in each)
    assert "where the ways meet there is room for all" in found[ID].note


@pytest.mark.parametrize(
    "fans",
    [pytest.param(True, marks=pytest.mark.long), pytest.param(False, marks=pytest.mark.long)],
)
def test_two_ways_that_stay_apart_are_the_sum_of_both(fans):
    """Behind truly separate bays, with a fan each or one that draws from both."""
    made, hull = mouths(-80.0, 80.0, fans=fans)
    found = all_ways(made, hull, frame_a=septum(0.0), frame_b=wall(150, 0, 200, (80, 0, 60, 50)))
    assert found[ID].value == pytest.approx(THROAT + 60 * 50, rel=2e-3)
    assert "the ways meet nowhere before the fan" in found[ID].note


@pytest.mark.parametrize("order", [(0, 1, 2), pytest.param((2, 0, 1), marks=pytest.mark.long)])
def test_two_of_three_share_a_narrow_place(order):
    places = (-130.0, 0.0, 130.0)
    made, hull = mouths(*places, fans=True)
    found = all_ways(
        [made[k] for k in order],
        hull,
        frame_a=septum(65.0),
        frame_b=wall(150, -200, 65, (-60, 0, 100, 96)),
    )
    assert found[ID].value == pytest.approx(100 * 96 + THROAT, rel=2e-3)
    assert "scoop_a and scoop_b share a narrow place" in found[ID].note


@pytest.mark.long
def test_three_share_one_hole_and_two_of_them_another():
    """All three pass a hole of 20 000, two of them one of 12 000 before: 12 000 + 8000 at most."""
    made, hull = mouths(-130.0, 0.0, 130.0)
    both = {
        "frame_a": septum(65.0, 200.0),
        "frame_b": wall(100, -200, 65, (-65, 0, 120, 100)),
    }
    wide = all_ways(made, hull, **both, frame_c=wall(220, -200, 200, (0, 0, 220, 100)))
    assert wide[ID].value == pytest.approx(120 * 100 + THROAT, rel=2e-3)
    narrow = all_ways(made, hull, **both, frame_c=wall(220, -200, 200, (0, 0, 180, 100)))
    assert narrow[ID].value == pytest.approx(180 * 100, rel=1e-3)
    assert "scoop_a and scoop_b and scoop_c share" in narrow[ID].note


@pytest.mark.long
def test_what_narrows_one_side_only_is_taken_from_the_sum():
    plate = wall(60, -200, 0, (-80, 0, 60, 50))
    found = all_ways(*mouths(-80.0, 80.0), frame_a=septum(0.0, 100.0), frame_b=plate)
    assert found[ID].value == pytest.approx(60 * 50 + THROAT, rel=2e-3)


def test_a_mouth_that_is_shut_leaves_the_other_and_fails():
    found = all_ways(*mouths(-80.0, 80.0), frame_a=septum(0.0, 100.0), frame_b=wall(60, -200, 0))
    assert found[f"{ID}.{A}"].broken
    assert found[ID].broken
    assert found[ID].value == pytest.approx(THROAT, rel=2e-3)


@pytest.mark.long
def test_with_all_mouths_shut_nothing_is_left():
    found = all_ways(*mouths(-80.0, 80.0), frame=wall(60, -200, 200))
    assert found[ID].broken
    assert found[ID].value == 0.0


@pytest.mark.long
def test_without_a_fan_it_says_where_the_ways_end():
    made = [passage(name, y, fan=False) for name, y in ((A, -80.0), (B, 80.0))]
    found = all_ways(made, pod(((-80.0, 0.0), (80.0, 0.0))))
    assert found[ID].value == pytest.approx(2 * THROAT, rel=1e-2)
    assert "in the bay" in found[ID].note


@pytest.mark.long
def test_one_mouth_has_no_share():
    assert ID not in figures(only="scoop")


@pytest.mark.long
def test_the_planes_figure_stands_in_the_sum():
    made, hull = mouths(-80.0, 80.0)
    model, meshes = machine(made, None, hull, {"frame": wall(150, -200, 200, (0, 0, 100, 96))})
    found = {m.id: m for m in survey(model, meshes)}
    assert found[f"{ID}.{A}"].value == pytest.approx(THROAT, rel=1e-6)
    assert found[ID].value == pytest.approx(9600, rel=1e-4)
