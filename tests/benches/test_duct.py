"""Passages that are wrong, each with its turn and its least area in closed form (DERIVED).

How a machine can be wrong while `duct.turn_angle` passes, and what sees it:

- the fan stands aside, above, looks another way, leans, stands ahead of the passage's end: seen;
- one side only turns more: seen, each passage has its own figure;
- the scoop is not where its planes are: seen, the turn goes by the centroids of what is open;
- the passage winds to and fro: seen where a plane stands in each bend; between planes NOT SEEN;
- no fan: no figure, and the judge says that nothing was measured;
- a mouth that does not face the stream, air that swirls round an engine on its way: NOT SEEN, the
  air is taken to come in square to the mouth and to go straight from place to place;
- a passage that is shut, leaks or ends in the cabin has no turn: seen, fails (test_duct of the
  measurements).
"""

import math

import numpy as np
import pytest
from few_cases import few
from measurements.conftest import bodied
from one_look import ducts
from surveyed_models import surveyed

from geomgen.kernel.brep.primitives import box, cylinder
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Opening, Passage, Plane
from geomgen.kernel.solids.booleans import cut
from geomgen.sizing.target import Target
from geomgen.verdicts.judge import judge

X = (1.0, 0.0, 0.0)
FAN = Plane((500.0, 0.0, 0.0), X)
LIMIT = Target("duct.turn_angle.*", "turn", "at most", "deg", high=60.0)
THROAT = Target("duct.throat_area.*", "throat", "at least", "mm2", low=0.95 * math.pi * 900.0)


def pipe(side=1, z=0.0, bore=30.0):
    rod, hole = (cylinder((0, 150.0 * side, z), X, r, 100.0) for r in (40.0, bore))
    return cut(rod, [hole], "scoop", "bore")


def pod():
    """Return a bay behind the scoops, open towards them and aft."""
    inner = box((105, -295, -195), (701, 295, 195))
    ways = [cylinder((99, y, 0), X, 30.0, 10.0) for y in (150.0, -150.0)]
    return cut(box((100, -300, -200), (700, 300, 200)), [inner, *ways], "pod", "bay")


def passage(side, fan, **planes) -> Passage:
    name = "scoop_right" if side > 0 else "scoop_left"
    y = 150.0 * side
    seeds = [(x, y, 0.0) for x in (5.0, 60.0, 95.0)]
    first, *more = [Opening(name, Plane(s, X), s, 60.0) for s in seeds]
    return Passage(name, first, tuple(more), (200.0, y, 0.0), fan)


def machine(fan=FAN, fan_left=None, **other) -> Model:
    parts = {"pod": pod(), "scoop_right": pipe(1), "scoop_left": pipe(-1), **other}
    families = {name: name.split("_")[0] for name in parts}
    ways = [passage(1, fan), passage(-1, fan_left or fan)]
    return Model(parts=parts, families=families, passages=ways)


def checks(model):
    return {c.id: c for c in judge(ducts(model, bodied(model.parts)), [LIMIT, THROAT])}


def turn(model, side="right"):
    return checks(model)[f"duct.turn_angle.scoop_{side}"]


def bends(places, first, last):
    """Return the sum of the turns [deg] of a way through places, from and into directions."""
    ways = [np.array(first), *np.diff(np.array(places, dtype=float), axis=0), np.array(last)]
    units = [w / np.linalg.norm(w) for w in ways]
    return sum(
        math.degrees(math.acos(np.clip(a @ b, -1, 1)))
        for a, b in zip(units[:-1], units[1:], strict=True)
    )


def along(side, *more, z=0.0):
    y = 150.0 * side
    return [(5, y, z), (60, y, z), (95, y, z), (200, y, 0), *more]


@pytest.mark.parametrize("side", ["right", "left"])
def test_a_straight_way_into_a_fan_in_the_middle(side) -> None:
    found = turn(machine(), side)
    assert found.measured == pytest.approx(2 * math.degrees(math.atan2(150.0, 300.0)), abs=1e-6)
    assert found.verdict == "pass"


@pytest.mark.parametrize(
    ("at", "normal"),
    few(
        [
            ((500.0, 0.0, 160.0), X),
            ((500.0, 0.0, -160.0), X),
            ((300.0, 0.0, 0.0), X),
            ((150.0, 0.0, 0.0), X),
            ((500.0, 0.0, 0.0), (-1.0, 0.0, 0.0)),
            ((500.0, 0.0, 0.0), (0.6, 0.0, 0.8)),
            ((400.0, -100.0, 0.0), (0.0, 1.0, 0.0)),
        ],
        *(0, 3, 4, 5),
        rows=True,
    ),
    ids=["above", "below", "near", "ahead", "looks aft", "leans", "across"],
)
def test_a_fan_that_stands_or_looks_wrongly_fails(at, normal) -> None:
    found = turn(machine(Plane(at, normal)))
    due = bends(along(1, at), X, normal)
    assert due > 60.0
    assert found.measured == pytest.approx(due, abs=0.1)
    assert found.verdict == "fail"


def test_one_side_alone_that_turns_too_much_fails_alone() -> None:
    model = machine(fan_left=Plane((220.0, 0.0, 0.0), X))
    assert turn(model, "right").verdict == "pass"
    assert turn(model, "left").verdict == "fail"


def test_a_scoop_that_is_not_where_its_planes_are_turns_as_it_is_built() -> None:
    """12 mm too high: the air has to come down 12 mm behind it, and nobody moved the planes."""
    found = turn(machine(scoop_right=pipe(1, z=12.0)))
    due = bends(along(1, FAN.origin, z=12.0), X, X)
    # The last plane stands in the scoop too: the way down begins there.
    assert found.measured == pytest.approx(due, abs=0.1)


def test_a_passage_that_winds_is_seen_where_planes_stand_in_its_bends() -> None:
    """Three short pipes, 10 mm off to one side and to the other."""
    offs = (0.0, 10.0, -10.0)
    pieces, at = {}, (0.0, 40.0, 80.0)
    for k, off in enumerate(offs):
        block = box((at[k], 90.0, -60.0), (at[k] + (40.0 if k < 2 else 20.0), 210.0, 60.0))
        bore = cylinder((at[k] - 1, 150.0 + off, 0), X, 30.0, 45.0)
        pieces["scoop_right" if k == 0 else f"scoop_{k}"] = cut(block, [bore], "scoop", "bore")
    model = machine(**pieces)
    places = [(x, 150.0 + off, 0.0) for x, off in zip((5, 60, 95), offs, strict=True)]
    due = bends([*places, (200, 150, 0), FAN.origin], X, X)
    found = turn(model)
    assert found.measured == pytest.approx(due, abs=0.1)
    assert found.verdict == "fail"


def test_without_a_fan_nothing_is_measured() -> None:
    model = machine()
    model.passages = [passage(1, None), passage(-1, None)]
    found = {c.id: c for c in judge(ducts(model, bodied(model.parts)), [LIMIT])}
    assert found["duct.turn_angle"].verdict == "not_measured"


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("at", few([8.0, 40.0, 78.0], 1))
def test_a_narrow_place_anywhere_in_one_passage_fails_on_that_side(side, at) -> None:
    """A collar of 12 mm length: also where no plane stands in it."""
    y = 150.0 * side
    collar = cut(
        cylinder((at, y, 0), X, 31.0, 12.0), [cylinder((0, y, 0), X, 27.0, 100.0)], "c", "bore"
    )
    found = checks(machine(collar=collar))
    names = ("scoop_right", "scoop_left")
    here, there = names if side > 0 else names[::-1]
    narrow = found[f"duct.throat_area.{here}"]
    assert narrow.verdict == "fail"
    assert abs(narrow.measured - math.pi * 27.0**2) <= narrow.error_bound
    assert found[f"duct.throat_area.{there}"].verdict == "pass"


@pytest.mark.long
def test_the_survey_measures_the_same() -> None:
    model = machine()
    found = surveyed(model)
    for id_, check in checks(model).items():
        assert found[id_].value == pytest.approx(check.measured, rel=1e-12)
        assert found[id_].error_bound == pytest.approx(check.error_bound, rel=1e-9)
