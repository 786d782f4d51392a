"""Machines whose neutral point is known from a vortex lattice, and ways to get it wrong.

How an estimate can be wrong while it looks right, and what sees it:

- the surface in front is the tail (`test_a_canard_...`): refused, as is a tail beside the wing;
- the two are called by each other's names: the second wing is doubted;
- a tail that counts with the wrong sign, without the wing's downwash, or with twice of it
  (`test_ways_to_be_wrong_...`): further off than the band of the lattice's;
- half breadths for breadths, a radius for a diameter: a quarter of the moment of a body whose
  moment is known from its volume;
- one half of a wing or tail in place of the whole: not measured (`measurements/test_planform.py`);
- a tail that could not be measured: no estimate (`balance/test_neutral_point.py`);
- what is not seen: a propeller that turns, flaps, an elevator that floats, fins, what is not drawn.
"""

import random

import pytest
from balanced_shapes import pod, surface, tail, wing
from meshed_bodies import body
from reference.test_wing_area import flat_wing
from surveyed_models import model_of
from vortex_lattice import Flat, lattice, turns

from geomgen.balance.stability.neutral_point import SPREADS, TAILPLANE, neutral_point
from geomgen.balance.stability.wing_flow import WingFlow, lift_slope
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.solids.properties import volume
from geomgen.measurements.planform_questions import PLANFORMS
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered

# How near lattice and estimate are, in mean chords [1]: own choice, less than half of the band.
NEAR = 0.025
WING = Flat(8000.0, 1500.0, 900.0)
TAIL = Flat(2400.0, 600.0, 600.0, edge=5000.0, height=-150.0)


def estimated(front, behind, strips=None):
    """Return the estimate for flat surfaces by their dimensions."""
    rows = [wing(front.span, front.root, front.tip, edge=front.edge, sweep=front.sweep)]
    rows.append(tail(behind.span, behind.root, behind.tip, behind.edge, height=behind.height))
    return neutral_point([*rows, strips or pod()])


def by_chance(seed):
    """Return a wing and a tail as light pushers have them."""
    chance = random.Random(seed)
    root = chance.uniform(1000.0, 1600.0)
    front = Flat(
        chance.uniform(5.5, 9.0) * root, root, chance.uniform(0.55, 1.0) * root,
        sweep=chance.uniform(-100.0, 300.0),
    )  # fmt: skip
    chord = chance.uniform(0.35, 0.55) * root
    behind = Flat(
        chance.uniform(2.6, 4.5) * chord, chord, chord,
        edge=chance.uniform(2.2, 4.0) * root,
        height=chance.choice((-1, 1)) * chance.uniform(120.0, 700.0),
    )  # fmt: skip
    return front, behind


@pytest.mark.parametrize(
    "seed", [*range(6), *(pytest.param(n, marks=pytest.mark.long) for n in range(6, 60))]
)
def test_machines_by_chance_have_it_where_a_lattice_has_it(seed) -> None:
    front, behind = by_chance(seed)
    point, why = estimated(front, behind)
    assert point is not None, why
    each, station = lattice(front, behind, spans=30)
    assert point.band[0] < station < point.band[1]
    assert point.station == pytest.approx(station, abs=NEAR * point.chord)
    (alone,), _ = lattice(behind, spans=30)
    spread = SPREADS["downwash"]
    assert spread.low < (1.0 - each[1] / alone) / point.downwash < spread.high
    assert point.contributions[0].lift == pytest.approx(each[0], rel=0.05)


@pytest.mark.parametrize("taper", [0.5, 0.75, 1.0])
@pytest.mark.parametrize("height", [0.0, -500.0])
def test_the_air_ahead_of_a_wing_rises_as_a_lattice_says(taper, height) -> None:
    """Where the pod's nose is, in the wing's plane and under a wing on a pylon."""
    flat = Flat(8000.0, 1200.0, 1200.0 * taper)
    (lift,), _ = lattice(flat, spans=41)
    area = flat.span * (flat.root + flat.tip) / 2
    flow = WingFlow(lift / area, flat.span**2 / area, flat.span, flat.root / 4, 0.0)
    ahead = [(-x, 0.0, height) for x in (300.0, 600.0, 1200.0, 2400.0)]
    for (x, _, z), due in zip(ahead, turns(ahead, flat, spans=41), strict=True):
        assert due > 1.0
        # Nearest to a rectangular wing it is most too large, which is the safe side.
        assert 0.9 < (flow.turn_at(x, z) - 1.0) / (due - 1.0) < 1.3


def test_ways_to_be_wrong_with_the_tail_lie_outside_of_the_band() -> None:
    point, _ = estimated(WING, TAIL)
    (_, behind), station = lattice(WING, TAIL)
    quarter = point.leading_edge + point.chord / 4
    alone = lift_slope(TAIL.span / TAIL.root) * TAIL.span * TAIL.root
    whole = point.contributions[0].lift
    arm = TAIL.edge + TAIL.root / 4 - quarter
    assert alone > behind

    def at(tail_lift, sign=1.0):
        return quarter + sign * tail_lift * arm / (whole + tail_lift)

    low, high = point.band
    assert low < station < high
    assert low < at(alone * (1 - point.downwash)) < high
    for wrong in (
        at(alone),
        at(alone * (1 + point.downwash)),
        at(alone * (1 - 2 * point.downwash)),
        at(alone * (1 - point.downwash), sign=-1.0),
        quarter,
    ):
        assert not low <= wrong <= high


def test_a_canard_is_refused_and_so_is_a_tail_beside_the_wing() -> None:
    """By a lattice a canard's lies ahead of the wing's own centre, a tail's behind it."""
    rows = [wing(edge=5000.0), tail(edge=500.0), pod()]
    point, why = neutral_point(rows)
    assert point is None
    assert "ahead of the wing's trailing edge" in why
    _, station = lattice(
        Flat(8000.0, 1500.0, 900.0, edge=5000.0), Flat(2400.0, 600.0, 600.0, 500.0)
    )
    assert station < 5000.0 + 375.0 - 150.0
    for edge in (-300.0, 0.0, 1000.0, 1250.0):
        point, why = neutral_point([wing(), tail(edge=edge), pod()])
        assert point is None
        assert "behind the wing" in why


def test_a_canard_called_by_the_other_names_is_doubted() -> None:
    """The small surface in front called wing, the large one behind it tailplane."""
    rows = [wing(2400.0, 600.0, 600.0), pod()]
    rows.append(surface(TAILPLANE, 8000.0, 1500.0, 900.0, edge=5000.0))
    point, _ = neutral_point(rows)
    assert any("a second wing" in doubt for doubt in point.doubts)


# From solids ----------------------------------------------------------------------------------


def measured(parts):
    """Return what the survey's own questions say of solids."""
    model = model_of(parts)
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    given = Given(bodies={name: body(solid) for name, solid in parts.items()})
    answers = {q.name: from_text(text_of(q.ask(given))) for q in PLANFORMS.ask(model, boxes)}
    return PLANFORMS.say(Answered(model, list(parts), answers))


def solids(back=3000.0, radius=300.0):
    ends = ((-4000.0, 150.0, 900.0), (0.0, 0.0, 1500.0), (4000.0, 150.0, 900.0))
    return {
        "pod": cylinder((-2000.0, 0.0, -900.0), (1.0, 0.0, 0.0), radius, back + 2000.0),
        "wing": flat_wing(list(ends)),
        "tailplane": flat_wing([(y, 5000.0, 600.0) for y in (-1200.0, 1200.0)], -150.0),
    }


def test_built_and_measured_it_is_the_lattices() -> None:
    """A thin pod counts for next to nothing."""
    parts = solids(radius=5.0)
    point, why = neutral_point(measured(parts))
    assert point is not None, why
    _, station = lattice(WING, TAIL)
    assert point.station == pytest.approx(station, abs=NEAR * point.chord)
    assert point.doubts == ()


def test_half_the_breadth_is_a_quarter_of_the_moment() -> None:
    """A pod that ends far ahead of the wing: 2 V (DERIVED), the volume by the kernel."""
    parts = solids()
    parts["pod"] = cylinder((-40e3, 0.0, 0.0), (1.0, 0.0, 0.0), 300.0, 3000.0)
    rows = measured(parts)
    lift = sum(c.lift for c in neutral_point(rows)[0].contributions)
    moves = neutral_point(rows)[0].contributions[-1].moves
    assert -moves * lift == pytest.approx(2 * volume(parts["pod"]).value, rel=0.005)
    halved = {n: v / 2 if n.startswith("breadth") else v for n, v in rows[-1].further}
    breadths = [v for n, v in halved.items() if n.startswith("breadth")]
    narrow = [*rows[:-1], pod(halved["front"], halved["back"], breadths)]
    assert neutral_point(narrow)[0].contributions[-1].moves == pytest.approx(moves / 4, rel=1e-9)


def test_each_part_built_elsewhere_is_seen() -> None:
    """A tail 300 mm further aft, a nose 600 mm longer: each moves the point its own way."""
    was, _ = neutral_point(measured(solids()))
    aft, long = solids(), solids()
    aft["tailplane"] = flat_wing([(y, 5300.0, 600.0) for y in (-1200.0, 1200.0)], -150.0)
    long["pod"] = cylinder((-2600.0, 0.0, -900.0), (1.0, 0.0, 0.0), 300.0, 5600.0)
    assert neutral_point(measured(aft))[0].station > was.station + 10.0
    assert neutral_point(measured(long))[0].station < was.station - 3.0
