"""Which dimensions a machine gets, against the numbers that it was made from (closed form)."""

import math

import pytest
from aircraft_drawings.plain_machine import MEASURES, machine

from geomgen.aircraft_drawings.measures import Measures
from geomgen.aircraft_drawings.views import LOOKS
from geomgen.aircraft_drawings.wanted import wanted_in
from geomgen.drafting.record import Dimension
from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.plain import GlazedSkin, Ground, Plane
from geomgen.kernel.visibility.hidden_lines import Scene


def figures(model):
    m = Measures(model, Scene(model.parts, (model.swept,)))
    every = [one for view, look in LOOKS.items() for one in wanted_in(view, look, m)]
    return {w.name: Dimension(w.a, w.b, w.a, w.angle).measured for w in every}


def test_every_figure():
    assert figures(machine()) == pytest.approx(MEASURES, abs=0.05)


@pytest.mark.parametrize(
    ("family", "gone"),
    [
        ("wheel", {"wheel base", "track", "height over the ground"}),
        ("prop_disc", {"swept diameter", "trailing edge to disc"}),
        ("wing", {"trailing edge to disc"}),
        ("boom", {"boom spacing"}),
        ("tailplane", {"tailplane span"}),
        ("firewall", {"firewall station"}),
        ("pod", {"pod length", "pod height", "pod breadth"}),
    ],
)
def test_what_is_not_there_is_left_out(family, gone):
    assert set(figures(machine(family))) == set(MEASURES) - gone


def test_booms_and_wing_in_several_parts_have_the_measures_of_whole_ones():
    """Booms that a wing cut in two, a wing that the pod interrupts: the figures stay."""
    model = machine()
    for hand, y in (("left", -800.0), ("right", 800.0)):
        del model.parts[f"boom_{hand}"]
        for name, x, length in (("aft", 2300.0, 2600.0), ("fore", 900.0, 400.0)):
            boom = cylinder((x, y - 20.0 * (name == "fore"), 1300.0), (1, 0, 0), 45.0, length)
            model.parts[f"boom_{name}_{hand}"] = boom
            model.families[f"boom_{name}_{hand}"] = "boom"
        ends = sorted((math.copysign(300.0, y), math.copysign(4000.0, y)))
        model.parts[f"wing_{hand}"] = box((1300.0, ends[0], 1250.0), (2300.0, ends[1], 1350.0))
        model.families[f"wing_{hand}"] = "wing"
    del model.parts["wing"]
    assert figures(model) == pytest.approx(MEASURES, abs=0.05)


def test_height_over_a_leaning_ground_is_square_to_it():
    """Closed form: the fin's upper leading corner along the normal of the ground."""
    model = machine()
    turn = math.radians(6.0)
    normal = (-math.sin(turn), 0.0, math.cos(turn))
    model.grounds = [Ground("static", Plane((1900.0, 0.0, 20.0), normal))]
    due = (4300.0 - 1900.0) * normal[0] + (1900.0 - 20.0) * normal[2]
    assert figures(model)["height over the ground"] == pytest.approx(due, abs=0.05)


def test_an_opening_is_said_with_the_pod_s_height_and_glazing_belongs_to_it():
    """A pod of 100 high, 60 of which were cut away amidships; a block for the glazing."""
    low, roof = box((0.0, -50.0, 0.0), (300.0, 50.0, 40.0)), ((100.0, -50.0, 40.0), (200.0, 50.0))
    glazing = box(roof[0], (*roof[1], 100.0))
    lost = GlazedSkin((), ())

    def height(parts):
        model = Model(parts, {name: name for name in parts}, glazed_skin=lost)
        m = Measures(model, Scene(model.parts))
        every = wanted_in("side", LOOKS["side"], m)
        (found,) = [one for one in every if one.name == "pod height"]
        return found.prefix.strip(), Dimension(found.a, found.b, found.a, found.angle).measured

    assert height({"pod": low}) == ("POD HEIGHT AS CUT", pytest.approx(40.0))
    assert height({"pod": low, "canopy": glazing}) == ("POD HEIGHT", pytest.approx(100.0))
