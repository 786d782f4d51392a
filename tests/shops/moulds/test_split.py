"""Splits against closed forms."""

import numpy as np
import pytest
from few_cases import few
from shops.moulds.plain_moulds import LENGTH, RADIUS, cylinder_pod, with_mould
from shops.moulds.test_bodies import plain_wing, tip

from geomgen.errors import GeometryError
from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.shops.moulds.bodies import mould_body
from geomgen.shops.moulds.split import Split, half_space, halves, slab, split_of


@pytest.mark.parametrize(("split", "axis"), [("centre plane", 1), ("maximum breadth", 2)])
def test_halves_of_a_cylinder(saltmarsh, split, axis):
    p, mould = with_mould(cylinder_pod(saltmarsh), split=split)
    first, second = halves(p, mould, 0.0)
    for half, way in ((first, 1), (second, -1)):
        assert volume(half.solid).value == pytest.approx(np.pi / 2 * RADIUS**2 * LENGTH, rel=1e-8)
        middle = centroid(half.solid)[axis]
        assert middle == pytest.approx(way * 4 * RADIUS / (3 * np.pi), rel=1e-6)
        assert half.pull[axis] == way


def test_a_rising_breadth_line_parts_a_body_alike(saltmarsh):
    # Sections are circles about a rising axis, so each half is half of each (closed form).
    p, mould = with_mould(cylinder_pod(saltmarsh, rise=0.2), split="maximum breadth")
    upper, lower = halves(p, mould, 0.0)
    wanted = np.pi / 2 * RADIUS**2 * LENGTH
    assert volume(upper.solid).value == pytest.approx(wanted, rel=1e-8)
    assert volume(lower.solid).value == pytest.approx(wanted, rel=1e-8)
    assert split_of(p, mould, 0.0, 60.0).strips


def test_a_level_breadth_line_makes_a_plane_split(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh), split="maximum breadth")
    assert split_of(p, mould, 0.0, 60.0).strips == ()


def test_a_symmetrical_tip_parts_into_equal_halves(saltmarsh):
    p, mould = tip(plain_wing(saltmarsh))
    upper, lower = halves(p, mould, 0.0)
    assert volume(upper.solid).value == pytest.approx(volume(lower.solid).value, rel=1e-6)
    assert centroid(upper.solid)[2] > saltmarsh.wing.waterline > centroid(lower.solid)[2]


@pytest.mark.parametrize("split", few(["centre plane", "maximum breadth"], 1))
def test_a_cheek_scoop_parts_in_the_height_of_its_middle(saltmarsh, split):
    p, mould = with_mould(saltmarsh, part="scoop_cheek", split=split)
    box = bounding_box(mould_body(p, mould))
    assert split_of(p, mould, 0.0, 60.0).origin[2] == pytest.approx(box.centre[2], abs=1e-6)


def test_halves_of_a_scoop_add_up_and_lie_on_their_sides(saltmarsh):
    p, mould = with_mould(saltmarsh, part="scoop_cheek")
    upper, lower = halves(p, mould, 0.0)
    whole = volume(mould_body(p, mould)).value
    assert volume(upper.solid).value + volume(lower.solid).value == pytest.approx(whole, rel=1e-7)
    assert bounding_box(upper.solid).low[2] == pytest.approx(bounding_box(lower.solid).high[2])


def test_a_split_that_misses_the_body_is_refused(saltmarsh, monkeypatch):
    from geomgen.shops.moulds import split as mould_split

    p, mould = with_mould(saltmarsh, part="scoop_cheek")
    monkeypatch.setattr(
        mould_split, "split_of", lambda *_: Split((0.0, 0.0, 5000.0), (0.0, 0.0, 1.0))
    )
    with pytest.raises(GeometryError) as error:
        halves(p, mould, 0.0)
    assert error.value.look_at == ["handoff.moulds.0.split"]


def test_a_slab_holds_the_area_of_its_plan_times_its_thickness(saltmarsh):
    p, mould = with_mould(cylinder_pod(saltmarsh, rise=0.2), split="maximum breadth")
    made = slab(split_of(p, mould, 0.0, 60.0).strips, (0.0, 0.0, -12.0), "pod")
    past = 60.0 + 20.0
    wanted = (LENGTH + 2 * past) * (2 * RADIUS + 2 * past) * 12.0
    assert volume(made).value == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize("normal", [(1.0, 0.0, 0.0), (0.0, 0.6, 0.8)])
def test_a_half_space_lies_behind_its_plane(normal):
    made = half_space(Split((1.0, 2.0, 3.0), normal), 10.0)
    middle = np.array(centroid(made)) - [1.0, 2.0, 3.0]
    assert volume(made).value == pytest.approx(1000.0)
    assert middle == pytest.approx(-5.0 * np.array(normal), abs=1e-9)
