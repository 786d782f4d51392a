"""Wrong ways to put the framed example together that the check must not pass.

What it does not see: parts that are turned or bent on their way, hands and tools, what is not
drawn, sheets thinner than what counts as contact met by their edge.
"""

from dataclasses import replace
from pathlib import Path

import pytest

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.plain import AssemblyPlan
from geomgen.measurements.fit.assembly_order import ASSEMBLY_ORDER
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.measurements.survey.whole import bodies_of
from geomgen.parameters import load
from geomgen.regeneration.regenerating import bodies

pytestmark = pytest.mark.long
FILE = Path(__file__).parents[2] / "configs" / "framed.toml"


@pytest.fixture(scope="module")
def machine():
    """Return the model of the framed example with its bodies and boxes."""
    made = bodies(load(FILE))
    model = made.model
    meshes = {name: (one.mesh, one.deviation) for name, one in made.meshes.items()}
    boxes = {name: loose_box(solid) for name, solid in model.parts.items()}
    return model, bodies_of(model, meshes), boxes


@pytest.fixture(scope="module")
def answers(machine):
    """Return the answers with the pod in halves; what is stated besides does not change them."""
    return ask(machine, machine[0].assembly)


def ask(machine, plan):
    model, solids, boxes = machine
    asked = ASSEMBLY_ORDER.ask(replace(model, parts={}, assembly=plan), boxes)
    return {q.name: q.ask(Given(bodies={n: solids[n] for n in q.bodies})) for q in asked}


def said(machine, answers, **changes):
    model = machine[0]
    plan = replace(model.assembly, **changes)
    (found,) = ASSEMBLY_ORDER.say(
        Answered(replace(model, assembly=plan), list(model.parts), answers)
    )
    return found


def test_it_goes_together_as_its_file_says(machine, answers):
    found = said(machine, answers)
    assert found.value == 0.0
    order = [name for name, _ in found.rows]
    last_half = max(order.index(f"pod, {side} half") for side in ("right", "left"))
    inside = ["tank_main", "engine", "firewall", "frame_nose", "frame_arch", "frame_leg"]
    assert max(map(order.index, inside)) < last_half
    assert order.index("canopy") > last_half
    assert len(order) == len(machine[0].parts)


def test_strips_in_their_notches_bar_frames_unless_they_are_bent_in(machine, answers):
    """A stringer follows the skin's bend: no straight way leads all of it into three notches."""
    found = said(machine, answers, in_place=("boom",))
    assert found.value >= 3.0
    assert "stringer_keel" in found.note.split("put in one after")[0]


def test_a_wing_that_is_closed_round_its_booms_bars_them(machine, answers):
    found = said(machine, answers, in_place=("stringer",))
    assert found.value == 1.0
    assert "wing_centre from above is barred by boom_right, boom_left" in found.note


def test_halves_that_are_closed_too_soon_bar_what_is_inside(machine, answers):
    found = said(machine, answers, order=("pod", "frame", "tank", "engine"))
    barred = found.note.split("put in one after")[0]
    for part in ("frame_nose", "frame_arch", "frame_leg", "tank_main"):
        assert f"{part} from" in barred


def test_a_pod_in_one_piece_bars_frames_and_tank(machine):
    plan = AssemblyPlan(None, (), machine[0].assembly.in_place)
    found = said(machine, ask(machine, plan), split=None)
    barred = found.note.split("put in one after")[0]
    for part in ("frame_arch", "frame_leg", "tank_main", "firewall"):
        assert f"{part} from" in barred
