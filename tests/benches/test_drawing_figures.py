"""Figures on the drawings of machines where a simple rule takes the wrong thing. Closed forms.

A drawing can carry a wrong figure and look right, where
- TRACK is that of wheels that are no mains: seen here (tailwheels, dual wheels);
- the pod is measured at the edge of the wing's cut-out: it is said (AS CUT), and beside it stands
  the breadth of the uncut solid, as its plug has it (UNCUT);
- its length leaves out the exit that is a part of its own: it is said (LESS EXIT);
- width and height of a mouth are swapped against the file's words: seen here, at any angle;
- wheels of an aircraft without any ground: with two pairs no track is given; a single pair is
  taken for the mains, which nothing tells.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from aircraft_drawings.plain_machine import MEASURES, machine

from geomgen.aircraft_drawings.bay_words import _extent
from geomgen.aircraft_drawings.measures import Measures
from geomgen.aircraft_drawings.views import LOOKS
from geomgen.aircraft_drawings.wanted import wanted_in
from geomgen.drafting.record import Dimension
from geomgen.kernel.brep.primitives import box, cylinder, wheel
from geomgen.kernel.plain import Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.kernel.solids.breadth import broadest
from geomgen.kernel.visibility.hidden_lines import Scene


def wanted(model):
    m = Measures(model, Scene(model.parts, (model.swept,)))
    return {w.name: w for view, look in LOOKS.items() for w in wanted_in(view, look, m)}


def figure(one) -> float:
    return Dimension(one.a, one.b, one.a, one.angle).measured


def pair(model, name: str, station: float, out: float):
    for hand, side in (("left", -1.0), ("right", 1.0)):
        model.parts[f"{name}_{hand}"] = wheel((station, side * out, 150.0), 200.0, 60.0)
        model.families[f"{name}_{hand}"] = "wheel"
    return model


@pytest.mark.parametrize(("station", "out"), [(4500.0, 900.0), (4500.0, 300.0), (1900.0, 1000.0)])
def test_track_is_that_of_the_mains(station, out) -> None:
    """Tailwheels further apart or nearer, outriggers abreast of the mains."""
    found = wanted(pair(machine(), "other", station, out))
    assert figure(found["track"]) == pytest.approx(MEASURES["track"], abs=0.05)
    assert found["track"].prefix == "TRACK "


def test_two_pairs_without_a_ground_have_no_track() -> None:
    model = pair(machine(), "other", 4500.0, 900.0)
    assert "track" in wanted(model)
    model.grounds = []
    assert "track" not in wanted(model)


def test_a_pod_that_is_measured_at_the_wings_cut_out_says_so() -> None:
    """A cone's widest ring, radius 300 at STA 400, cut away from STA 350 to 900 by a mid wing."""
    model = machine("wing")
    shape = box((350.0, -4000.0, 700.0), (900.0, 4000.0, 900.0))
    model.parts["wing"], model.families["wing"] = shape, "wing"
    gap = box((349.7, -4000.0, 699.7), (900.3, 4000.0, 900.3))
    model.parts["pod"] = cut(model.parts["pod"], [gap], "pod", "wing")
    found = wanted(model)
    assert found["pod breadth"].prefix == "POD BREADTH AS CUT "
    # At the slot's upper and lower lip the ring is as wide as its chord.
    assert figure(found["pod breadth"]) == pytest.approx(2 * math.sqrt(300**2 - 100.3**2), abs=0.1)
    assert found["pod height"].prefix == "POD HEIGHT "
    assert "pod breadth uncut" not in found
    # The whole cone, measured before it is cut: 600 mm at its widest ring.
    model.uncut = {"pod": broadest(machine().parts["pod"])}
    found = wanted(model)
    assert found["pod breadth uncut"].prefix == "POD BREADTH UNCUT "
    assert figure(found["pod breadth uncut"]) == pytest.approx(600.0, abs=1e-6)
    assert figure(found["pod breadth"]) < 600.0 - 30.0
    whole = machine()
    whole.uncut = model.uncut
    assert wanted(whole)["pod breadth"].prefix == "POD BREADTH "
    assert "pod breadth uncut" not in wanted(whole)


def test_a_pods_length_says_that_the_exit_is_not_in_it() -> None:
    model = machine()
    assert wanted(model)["pod length"].prefix == "POD LENGTH "
    model.parts["exit"] = cylinder((2800.0, 0.0, 800.0), (1, 0, 0), 150.0, 60.0)
    model.families["exit"] = "exit"
    found = wanted(model)["pod length"]
    assert found.prefix == "POD LENGTH LESS EXIT "
    assert figure(found) == pytest.approx(2800.0, abs=0.05)


@pytest.mark.parametrize("around", [-90.0, -60.0, 0.0, 12.0, 45.0, 90.0, 150.0])
@pytest.mark.parametrize(("width", "height"), [(110.0, 40.0), (40.0, 110.0)])
def test_a_mouths_width_runs_along_the_skin(around, width, height) -> None:
    """A rectangle round the hull at any angle, as the file's words have it."""
    a = math.radians(around)
    out, along = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
    seed = np.array([0.0, 800.0]) + 350.0 * out
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    rim = np.array([seed + i * width / 2 * along + j * height / 2 * out for i, j in signs])
    at = (2000.0, float(seed[0]), float(seed[1]))
    found = SimpleNamespace(
        where=SimpleNamespace(plane=Plane(at, (1.0, 0.0, 0.0)), seed=at),
        rings=[np.column_stack([np.full(4, 2000.0), rim])],
    )
    # The hull's middle a little off the centre that the angle was laid from.
    assert _extent(found, (1800.0, 0.0, 820.0)) == pytest.approx((width, height), abs=1e-6)
