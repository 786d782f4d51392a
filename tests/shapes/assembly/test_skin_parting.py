"""The skin parted where the outer wing comes off: names, hands, closed forms, refusals."""

from functools import cache

import numpy as np
import pytest
from joined_spars import PLAIN, SLOPED, jointed
from spar_wings import HALF

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import box, slab
from geomgen.kernel.lofting.halves import doubled
from geomgen.kernel.plain import Axis
from geomgen.kernel.solids.booleans import cut, cut_pieces
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.properties import centroid, kernel_box, volume
from geomgen.shapes import lifting
from geomgen.shapes.assembly.places import _gaps, places
from geomgen.shapes.assembly.skin_parting import skins_apart
from geomgen.shapes.assembly.steps import steps
from geomgen.shapes.piece import NamedSolid


@cache
def bar():
    """Return a wing of one rectangular section, and the half of it."""
    half = box((1280.0, 0.0, 1250.0), (2480.0, HALF, 1450.0))
    return NamedSolid("wing", "wing", doubled(half, "wing"), (0.8, 0.8, 0.8), half)


@cache
def parted():
    p = jointed({"skin_gap": "2 mm"})
    return p, bar(), skins_apart(p, "wing", [bar()])


def test_two_parts_on_a_side_lose_the_gap_alone():
    lose_the_gap_alone(bar(), parted()[2])


@pytest.mark.long
@pytest.mark.parametrize("overrides", [PLAIN, SLOPED])
def test_so_do_wings_swept_and_raised(overrides):
    p = jointed({"skin_gap": "2 mm"}, overrides)
    lose_the_gap_alone(lifting.wing(p), skins_apart(p, "wing", [lifting.wing(p)]))


def lose_the_gap_alone(whole, made):
    """Hold each part to its share of the span, of panels whose sections are all alike.

    Source: Cavalieri's principle (DERIVED here).
    """
    assert [one.name for one in made] == ["wing_centre", "wing_outer_right", "wing_outer_left"]
    every = volume(whole.solid).value
    shares = [volume(one.solid).value / every for one in made]
    outer = (HALF - 2501.0) / (2 * HALF)
    assert shares == pytest.approx([2 * 2499.0 / (2 * HALF), outer, outer], rel=1e-7)
    box_ = {one.name: kernel_box(one.solid) for one in made}
    assert box_["wing_centre"].high[1] == pytest.approx(2499.0, abs=1e-4)
    assert box_["wing_centre"].low[1] == pytest.approx(-2499.0, abs=1e-4)
    assert box_["wing_outer_right"].low[1] == pytest.approx(2501.0, abs=1e-4)
    right, left = made[1].solid, made[2].solid
    assert centroid(left) == pytest.approx(np.array(centroid(right)) * [1, -1, 1], abs=1e-6)
    assert closest(made[0].solid, right).distance == pytest.approx(2.0, abs=1e-3)


def test_only_outer_parts_have_another_colour_and_the_first_says_what_was_made():
    _, whole, made = parted()
    assert made[0].colour == whole.colour != made[1].colour == made[2].colour
    (note,) = made[0].notes
    assert "makes 3 parts of its skin, 2 mm apart: wing_centre, wing_outer_right" in note
    assert made[1].notes == made[2].notes == ()
    assert all(one.family == "wing" for one in made)


def test_a_gap_left_out_is_that_of_the_ribs_and_is_stated_for_the_skin():
    p = jointed({"gap": "3 mm"})
    assert ("wing", "wing", 3.0) in _gaps(p)
    # It is no joint of others: what is glued to something else is not joined over so far.
    assert places(p).joint_gap < 2.0
    made = skins_apart(p, "wing", [bar()])
    assert kernel_box(made[1].solid).low[1] == pytest.approx(2501.5, abs=1e-4)


def test_the_step_is_the_last_of_its_skin():
    plan = [step for step in steps(jointed()) if step.name.startswith("wing")]
    assert [step.last for step in plan] == [False] * (len(plan) - 1) + [True]
    assert plan[-1].name == "wing parted"
    assert plan[-1].needs == (plan[-2].name,)
    bare = jointed().model_copy(update={"spars": (), "ribs": ()})
    assert not any(step.name.endswith("parted") for step in steps(bare))


def halves_of(whole):
    """Return a wing cut through at the centre plane, as the pod does it, both hands."""
    middle = slab(Axis((1800.0, 0.0, 1350.0), (0.0, 1.0, 0.0)), -300.0, 300.0, 3000.0)
    right = max(cut_pieces(whole.solid, [middle], "wing", "test"), key=lambda s: centroid(s)[1])
    one = NamedSolid("wing_right", "wing", right)
    return [one, one.on_the_left()]


def test_a_wing_in_halves_has_inner_and_outer_parts():
    p, whole, _ = parted()
    made = skins_apart(p, "wing", halves_of(whole))
    names = [f"wing_{part}_{hand}" for hand in ("right", "left") for part in ("inner", "outer")]
    assert [one.name for one in made] == names
    lengths = [volume(one.solid).value / volume(whole.solid).value * 2 * HALF for one in made]
    assert lengths == pytest.approx([2199.0, 1999.0] * 2, rel=1e-7)


def test_a_wing_known_as_a_whole_alone_is_parted_on_both_sides():
    p, whole, made = parted()
    again = skins_apart(p, "wing", [whole.trimmed(whole.solid)])
    assert [one.name for one in again] == [one.name for one in made]
    for one, other in zip(again, made, strict=True):
        assert volume(one.solid).value == pytest.approx(volume(other.solid).value, rel=1e-9)


def test_a_joint_where_the_skin_is_open_already_only_widens_the_opening():
    p, whole, _ = parted()
    open_ = slab(Axis((1800.0, 2500.0, 1350.0), (0.0, 1.0, 0.0)), 0.0, 80.0, 3000.0)
    pieces = sorted(cut_pieces(whole.half, [open_], "wing", "test"), key=lambda s: centroid(s)[1])
    inner = NamedSolid("wing_centre", "wing", whole.solid, half=pieces[0])
    outer = NamedSolid("wing_outer_right", "wing", pieces[1])
    made = skins_apart(p, "wing", [inner, outer, outer.on_the_left()])
    assert [one.name for one in made] == ["wing_centre", "wing_outer_right", "wing_outer_left"]
    assert kernel_box(made[0].solid).high[1] == pytest.approx(2499.0, abs=1e-4)
    assert kernel_box(made[0].solid).low[1] == pytest.approx(-2499.0, abs=1e-4)
    assert made[1].solid is outer.solid


def test_slivers_are_refused_with_the_key():
    p, whole, _ = parted()
    end = slab(Axis((1800.0, 2510.0, 1350.0), (0.0, 1.0, 0.0)), 0.0, 3000.0, 6000.0)
    short = NamedSolid("wing_right", "wing", cut(whole.half, [end], "wing", "test"))
    with pytest.raises(GeometryError, match=r"9.0 mm long there.*move the joint") as told:
        skins_apart(p, "wing", [short])
    assert told.value.look_at == ["spars.main.wing_joint.at"]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_fin_parts_level_on_both_hands(hand):
    p = jointed({"at": "600 mm", "skin_gap": "2 mm"}, of="fin")
    low, level = p.fins.waterline, p.fins.waterline + 600.0
    fin = NamedSolid("fin_right", "fin", box((4000.0, 880.0, low), (4600.0, 920.0, low + 1200.0)))
    made = {one.name: one for one in skins_apart(p, "fin", [fin, fin.on_the_left()])}
    assert set(made) == {
        f"fin_{part}_{h}" for part in ("lower", "upper") for h in ("right", "left")
    }
    assert kernel_box(made[f"fin_lower_{hand}"].solid).high[2] == pytest.approx(
        level - 1.0, abs=1e-4
    )
    assert kernel_box(made[f"fin_upper_{hand}"].solid).low[2] == pytest.approx(
        level + 1.0, abs=1e-4
    )
    for one in made.values():
        assert centroid(one.solid)[1] == pytest.approx(900.0 * (1 if "right" in one.name else -1))
