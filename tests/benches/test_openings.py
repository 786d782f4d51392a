"""Wrong mouths and exits, each with its true area in closed form (plane geometry, DERIVED).

How a machine can be wrong while `inlet.area` or `exit.area` passes, and what sees it:

- a mouth or an exit built smaller than drawn, on one side only, off centre, leaning: seen, the
  solids count and the planes are the builder's;
- something stands in the plane (a screen, a spinner, an engine): seen, beside it the rest counts;
- a plug at the seed, a mouth that is not there, a plane ahead of the mouth, a slot in the wall:
  no figure, and that fails;
- one mouth under two names counts twice: seen, that fails;
- the least exit lies ahead of the rim: seen in the planes that are published, not between them;
- struts part an exit into several: the one round the seed alone counts, which is too little;
- no exit, no mouth: nothing is measured, and the judge says so;
- something stands ahead of the mouth or behind the rim, a cone closes on the rim aslant: NOT SEEN
  here; `inlet.way` and `exit.way` look for it (test_airway);
- a mouth in the shadow of a part, in slow air, facing aft: NOT SEEN by any check.
"""

import math

import pytest
from measurements.conftest import bodied
from one_look import opening_measurer
from surveyed_models import surveyed

from geomgen.kernel.brep.primitives import box, cylinder, revolved, tilted
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis, Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.measurements.cooling_air.opening import exits, inlets, ratio
from geomgen.sizing.target import Target
from geomgen.verdicts.judge import judge

X = (1.0, 0.0, 0.0)
MOUTH, RIM, CORE = math.pi * 40.0**2, 70.0, 30.0
# The segment of a mouth beyond 11 mm from its middle.
CAP = 40.0**2 * math.acos(11.0 / 40.0) - 11.0 * math.sqrt(40.0**2 - 11.0**2)
RING = math.pi * (RIM**2 - CORE**2)
IDS = ("inlet.area", "exit.area", "exit.to_inlet_ratio")
TARGETS = [
    Target("inlet.area", "mouths", "at least", "mm2", low=0.99 * 2 * MOUTH),
    Target("exit.area", "exit", "at least", "mm2", low=0.99 * RING),
    Target("exit.to_inlet_ratio", "ratio", "at least", "1", low=0.99 * RING / (2 * MOUTH)),
]


def pipe(start, length, inner, outer, y=0.0, z=0.0):
    rod, hole = (cylinder((start, y, z), X, r, length) for r in (outer, inner))
    return cut(rod, [hole], "pipe", "bore")


def turned_plane(at, lean=0.0):
    turn = math.radians(lean)
    return Plane(at, (math.cos(turn), 0.0, -math.sin(turn)))


def mouth(side, lean=0.0):
    seed = (5.0, 300.0 * (1 if side == "right" else -1), 0.0)
    where = Opening(f"scoop_{side}", turned_plane(seed, lean), seed, 90.0, 0.3)
    return Passage(f"scoop_{side}", where, (), (150.0, seed[1], 0.0))


def machine(**other) -> Model:
    """Return two mouths of 40 mm radius, an exit that is a ring, and whatever is wrong."""
    parts = {
        "scoop_right": pipe(0, 100, 40.0, 45.0, 300.0),
        "scoop_left": pipe(0, 100, 40.0, 45.0, -300.0),
        "exit": pipe(200, 100, RIM, 75.0),
        "tail_fairing": cylinder((200, 0, 0), X, CORE, 100.0),
        **other,
    }
    parts = {name: solid for name, solid in parts.items() if solid is not None}
    seeds = [(x, 50.0, 0.0) for x in (220.0, 260.0, 299.0)]
    rims = [Opening(f"exit at STA {s[0]}", Plane(s, X), s, 140.0) for s in seeds]
    families = {name: name.split("_")[0] for name in parts}
    return Model(
        parts=parts, families=families, passages=[mouth("right"), mouth("left")], exits=rims
    )


def checks(model: Model) -> dict:
    bodies = bodied(model.parts)
    look = opening_measurer(model, bodies)
    found = [*inlets(model, look), *exits(model, look)]
    return {c.id: c for c in judge([*found, *ratio(found)], TARGETS)}


def test_a_right_machine_passes_with_the_areas_it_has() -> None:
    found = checks(machine())
    assert [found[i].verdict for i in IDS] == ["pass"] * 3
    assert found["inlet.area"].measured == pytest.approx(2 * MOUTH, rel=1e-7)
    assert found["exit.area"].measured == pytest.approx(RING, rel=1e-7)


def test_the_survey_measures_the_same() -> None:
    found, direct = surveyed(machine()), checks(machine())
    for id_ in IDS:
        assert found[id_].value == pytest.approx(direct[id_].measured, rel=1e-12)
    assert found["duct.throat_area.scoop_left"].value == pytest.approx(MOUTH, rel=1e-7)


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize(
    ("wrong", "area"),
    [
        ("small", math.pi * 36.0**2),
        ("bar", MOUTH - CAP),
        ("rod", math.pi * (40.0**2 - 9.0**2)),
    ],
)
def test_one_mouth_that_takes_in_less_fails(side, wrong, area) -> None:
    """Smaller, with a rod in it, or with a bar across: the piece round the seed alone counts."""
    y = 300.0 if side == "right" else -300.0
    scoop = pipe(0, 100, 36.0 if wrong == "small" else 40.0, 45.0, y)
    more = {
        "small": {},
        "bar": {"bar": box((0, y - 42.0, 11.0), (10, y + 42.0, 19.0))},
        "rod": {"rod": cylinder((0, y + 20.0, 0), X, 9.0, 50.0)},
    }[wrong]
    found = checks(machine(**{f"scoop_{side}": scoop}, **more))["inlet.area"]
    assert found.verdict == "fail"
    assert found.measured == pytest.approx(MOUTH + area, rel=1e-5)


def test_a_mouth_that_leans_has_its_ellipse() -> None:
    model = machine(scoop_right=tilted(pipe(-20, 120, 40.0, 45.0, 300.0), (50.0, 300.0, 0.0), 8.0))
    found = checks(model)["inlet.area"]
    # The plane stands upright: the pipe's section in it is an ellipse.
    assert found.measured == pytest.approx(MOUTH + MOUTH / math.cos(math.radians(8.0)), rel=1e-7)


@pytest.mark.parametrize(
    "wrong",
    [
        {"plug": cylinder((0, 300, 0), X, 20.0, 20.0)},
        {"scoop_left": None},
        {"scoop_left": pipe(50, 100, 40.0, 45.0, -300.0)},
        {
            "scoop_right": cut(
                pipe(0, 100, 40.0, 45.0, 300.0),
                [box((-1, 330, -1), (50, 350, 1))],
                "scoop",
                "slot",
            )
        },
    ],
    ids=["plug", "not there", "behind its plane", "slot"],
)
def test_a_mouth_without_a_figure_fails_with_its_sum_and_the_ratio(wrong) -> None:
    found = checks(machine(**wrong))
    assert (found["inlet.area"].verdict, found["inlet.area"].measured) == ("fail", None)
    assert found["exit.to_inlet_ratio"].verdict == "fail"


def test_one_mouth_under_two_names_is_not_counted_twice() -> None:
    model = machine(scoop_left=None)
    again = mouth("right")
    model.passages = [again, Passage("scoop_left", again.mouth, (), again.into_bay)]
    found = checks(model)["inlet.area"]
    assert found.verdict == "fail"
    assert "same opening" in found.note


@pytest.mark.parametrize(
    ("wrong", "area"),
    [
        ({"tail_fairing": cylinder((200, 0, 0), X, 40.0, 100.0)}, math.pi * (RIM**2 - 40.0**2)),
        ({"engine": cylinder((210, 0, 0), X, 45.0, 20.0)}, math.pi * (RIM**2 - 45.0**2)),
        ({"tail_fairing": cylinder((200, 0, 8.0), X, 35.0, 100.0)}, math.pi * (RIM**2 - 35.0**2)),
        ({"exit": pipe(200, 100, 62.0, 75.0)}, math.pi * (62.0**2 - CORE**2)),
        ({"rod": cylinder((200, -50.0, 0), X, 12.0, 200.0)}, RING - math.pi * 144.0),
    ],
    ids=["thick", "engine ahead", "thick and off centre", "narrow rim", "rod"],
)
def test_an_exit_that_lets_out_less_fails(wrong, area) -> None:
    found = checks(machine(**wrong))["exit.area"]
    assert found.verdict == "fail"
    assert found.measured == pytest.approx(area, rel=1e-6)


def test_struts_across_an_exit_leave_less_than_there_is() -> None:
    """Two walls of 4 mm: a half ring counts, less half of each wall."""
    walls = [box((200, -72, -2), (300, -28, 2)), box((200, 28, -2), (300, 72, 2))]
    model = machine(pylon_a=walls[0], pylon_b=walls[1])
    model.exits = [
        Opening(o.name, Plane((o.seed[0], 0.0, 50.0), X), (o.seed[0], 0.0, 50.0), o.reach)
        for o in model.exits
    ]
    found = checks(model)["exit.area"]
    half = RING / 2 - 2 * 2.0 * (RIM - CORE)
    assert found.verdict == "fail"
    assert found.measured == pytest.approx(half, rel=2e-3)


def test_without_exit_or_mouth_nothing_passes() -> None:
    model = machine()
    model.exits, model.passages = [], []
    found = checks(model)
    assert {found[i].verdict for i in IDS} == {"not_measured"}


def test_a_cone_that_closes_on_the_rim_is_not_seen_and_the_words_say_so() -> None:
    """A rim of 70 mm behind a bell, a cone inside: least is the cone between them, not the ring."""
    cone = revolved([(300.0, 0.0), (300.0, 30.0), (345.0, 75.0), (345.0, 0.0)], Axis((0, 0, 0), X))
    found = checks(machine(tail_fairing=None, spinner=cone))
    assert found["exit.area"].verdict == "pass"
    assert "exit.way" in found["exit.area"].method
