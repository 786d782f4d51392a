"""Legs: where they end, what they keep clear of, how they are cut back, and their mirror image."""

import numpy as np
import pytest
from few_cases import few
from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Trsf

from geomgen.errors import GeometryError
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.brep.primitives import wheel as tyre
from geomgen.kernel.solids.booleans import common, cut_pieces
from geomgen.kernel.solids.distance import closest
from geomgen.kernel.solids.properties import bounding_box, centroid, volume
from geomgen.kernel.solids.validity import validity
from geomgen.shapes.assembly.cutters import cutters
from geomgen.shapes.assembly.steps import steps
from geomgen.shapes.gear import wheels
from geomgen.shapes.leg import legs, struts, whole_leg

MAIN, NOSE = "gear.wheels.main.leg", "gear.wheels.nose.leg"


def built(p) -> dict:
    return {piece.name: piece for piece in legs(p, lambda family: cutters(p, family))}


@pytest.fixture(scope="module")
def saltmarsh_legs(saltmarsh):
    return built(saltmarsh)


def test_each_wheel_of_the_examples_has_its_leg(saltmarsh_legs, variant) -> None:
    assert list(saltmarsh_legs) == ["leg_main_right", "leg_main_left", "leg_nose"]
    hayfield = built(variant(config="hayfield"))
    assert list(hayfield) == [f"leg_{n}_{s}" for n in ("main", "tail") for s in ("right", "left")]
    for piece in [*saltmarsh_legs.values(), *hayfield.values()]:
        assert piece.family == "leg"
        assert piece.notes == ()
        assert validity(piece.solid).problems == ()


def test_a_file_without_legs_has_none_and_a_wheel_may_do_without(variant) -> None:
    p = variant()
    few = [w.model_copy(update={"leg": None}) if w.role == "main" else w for w in p.gear.wheels]
    p = p.model_copy(update={"gear": p.gear.model_copy(update={"wheels": tuple(few)})})
    assert list(built(p)) == ["leg_nose"]
    assert [(s.wheel, s.leg) for s in struts(p)] == [
        ("wheel_main_right", ""), ("wheel_main_left", ""), ("wheel_nose", "leg_nose"),
    ]  # fmt: skip
    assert legs(p.model_copy(update={"gear": None}), lambda _: []) == []
    assert "legs" in [step.name for step in steps(p)]


def test_a_leg_touches_its_hub_and_shares_nothing_with_it(saltmarsh, saltmarsh_legs) -> None:
    for w in wheels(saltmarsh):
        leg = saltmarsh_legs[w.name.replace("wheel", "leg")]
        assert closest(leg.solid, w.solid).distance == pytest.approx(0.0, abs=1e-6)
        assert common(leg.solid, w.solid, "leg", "hub") == []


@pytest.mark.parametrize("gap", few([4.0, 12.0, 40.0], 0, 2))
@pytest.mark.parametrize("name", ["main", "nose"])
def test_a_leg_stands_off_the_tyre_by_its_gap(variant, name, gap) -> None:
    """All of it but axle and hub: a tyre with a hole where the axle is comes no nearer."""
    p = variant(f"gear.wheels.{name}.leg.tyre_gap={gap} mm")
    (w,) = (w for w in p.gear.wheels if w.name == name)
    solid = tyre((w.station, w.buttock_line, w.waterline), w.diameter, w.width)
    beside = whole_leg(w, w.leg, "leg")
    axle = w.leg.axle_diameter
    start = (w.station, w.buttock_line - 400.0, w.waterline)
    # The blades of a fork end in a square as wide as the axle is thick.
    hub = cylinder(start, (0.0, 1.0, 0.0), axle, 800.0)
    tread = cut_pieces(solid, [hub], "tyre", "hub")
    rest = cut_pieces(beside, [hub], "leg", "hub")
    least = min(closest(a, b).distance for a in tread for b in rest)
    assert least == pytest.approx(gap, abs=1.0) or least > gap
    assert least >= gap - 1e-6


def test_the_left_leg_is_the_mirror_image(saltmarsh_legs) -> None:
    """By the kernel's mirror alone: the two share all they have; unmirrored they share nothing."""
    right, left = (saltmarsh_legs[f"leg_main_{side}"].solid for side in ("right", "left"))
    mirror = gp_Trsf()
    mirror.SetMirror(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(0, 1, 0)))
    image = BRepBuilderAPI_Transform(right, mirror, True).Shape()
    assert volume(left).value == pytest.approx(volume(right).value, rel=1e-9)
    at, there = centroid(left), centroid(right)
    assert at == pytest.approx((there[0], -there[1], there[2]), abs=1e-6)
    assert closest(image, left).distance == 0.0
    a, b = bounding_box(image), bounding_box(left)
    assert np.allclose([a.low, a.high], [b.low, b.high], atol=1e-6)
    assert common(right, left, "leg", "mirror") == []
    assert centroid(right)[1] > 200.0


def test_the_root_is_cut_back_to_the_skin_with_its_gap(variant) -> None:
    p = variant(f"{NOSE}.gap=2 mm")
    leg = built(p)["leg_nose"].solid
    (knife,) = (c.knife(0.0, bounding_box(leg)) for c in cutters(p, "pod"))
    assert closest(leg, knife).distance == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize(("family", "at"), [
    ("boom", ("1850 mm", "780 mm", "1333 mm")), ("wing", ("1600 mm", "800 mm", "1350 mm")),
])  # fmt: skip
def test_a_leg_roots_in_boom_or_wing(variant, family, at) -> None:
    keys = zip(("station", "buttock_line", "waterline"), at, strict=True)
    p = variant(f"{MAIN}.rooted_in={family}", *(f"{MAIN}.{key}={text}" for key, text in keys),
                f"{MAIN}.fork=true")  # fmt: skip
    leg = built(p)["leg_main_right"]
    assert leg.notes == ()
    knives = [c.knife(0.0, bounding_box(leg.solid)) for c in cutters(p, family)]
    assert min(closest(leg.solid, k).distance for k in knives) == pytest.approx(0.3, abs=0.05)


def test_a_root_that_does_not_reach_is_left_and_said(variant) -> None:
    p = variant(f"{NOSE}.waterline=420 mm")
    leg = built(p)["leg_nose"]
    assert "its root does not reach the pod (gear.wheels.1.leg)" in leg.notes[0]
    (w,) = (w for w in p.gear.wheels if w.name == "nose")
    assert volume(leg.solid).value == volume(whole_leg(w, w.leg, "leg")).value


@pytest.mark.parametrize(("changes", "words"), [
    ((f"{NOSE}.waterline=1.3 m",), "the pod cuts it into 2"),
    ((f"{MAIN}.rooted_in=boom", f"{MAIN}.buttock_line=780 mm", f"{MAIN}.station=1850 mm",
      f"{MAIN}.waterline=1.6 m", f"{MAIN}.fork=true"), "the boom cuts it into 2"),
    (("gear.wheels.nose.waterline=600 mm", f"{NOSE}.waterline=860 mm",
      "gear.wheels.nose.diameter=200 mm", "gear.wheels.nose.station=600 mm",
      f"{NOSE}.station=600 mm"), "the whole leg lies inside the pod"),
])  # fmt: skip
def test_a_leg_right_through_what_it_roots_in_is_refused(variant, changes, words) -> None:
    with pytest.raises(GeometryError, match=words) as caught:
        built(variant(*changes))
    assert "Let its root end a little inside the skin" in str(caught.value)
    assert caught.value.part.startswith("leg_")


def test_struts_say_how_far_the_axles_go_up(saltmarsh) -> None:
    right, left, nose = struts(saltmarsh)
    assert dict(right.rises) == {
        "standing": 40.0, "1.5 times the load": 60.0, "strut bottomed": 100.0,
    }  # fmt: skip
    assert (right.root, right.axle) == ((1735.0, 150.0, 485.0), (1850.0, 750.0, 10.0))
    assert (left.root, left.axle) == ((1735.0, -150.0, 485.0), (1850.0, -750.0, 10.0))
    assert (nose.leg, nose.wheel, nose.rooted_in) == ("leg_nose", "wheel_nose", "pod")
    assert nose.travel == 60.0
