"""The joint and the sheet of canopies on a round tube: built as asked, and built wrong."""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import pytest
from asking import bodies_of
from canopied_tubes import GAP, LEVEL, SHORT, SLOPING, THICK, glazing, lines, narrowing, rest
from surveyed_models import model_of

from geomgen.kernel.brep.primitives import box, moved
from geomgen.kernel.interference.meeting import meeting
from geomgen.kernel.mesh_part import ExactDueError
from geomgen.kernel.plain import Glass
from geomgen.kernel.solids.booleans import divide
from geomgen.measurements.pilot.glazing_fit import GLAZING_FIT, joint_gaps
from geomgen.measurements.question import Given, from_text, text_of
from geomgen.measurements.subject import Answered
from geomgen.shapes.assembly import canopy as shape
from geomgen.sizing.pilot_targets import PILOT_CHECKS
from geomgen.verdicts.judge import judge

HOLE = (500.0, -100.0, 1100.0), (800.0, 100.0, 1300.0)


@cache
def body_named(key):
    """Return the body of a canopy or pod that several tests look at."""
    kind, *how = key
    if kind == "pod":
        return bodies_of(model_of({"pod": rest(*how).solid}))["pod"]
    return bodies_of(model_of({"canopy": glazing(*how).solid}))["canopy"]


@cache
def holed_body(low, high):
    """Return the body of a canopy without what lies in a box [mm]."""
    left, _ = divide(glazing().solid, [box(low, high)], "canopy", "test")
    (only,) = left
    return bodies_of(model_of({"canopy": only}))["canopy"]


def checks(canopy, pod):
    """Return the checks of a canopy that was asked for with `GAP` and `THICK`, by id."""
    model = replace(
        model_of({"pod": pod.solid, "canopy": canopy.solid}),
        families={"pod": "pod", "canopy": "canopy"},
    )
    bodies = {"pod": pod, "canopy": canopy}
    answers = {
        q.name: from_text(text_of(q.ask(Given({n: bodies[n].solid for n in q.solids}, bodies))))
        for q in GLAZING_FIT.ask(model, dict.fromkeys(bodies))
    }
    found = GLAZING_FIT.say(Answered(model, ["pod", "canopy"], answers))
    table = SimpleNamespace(built_as="glazing", gap=GAP, thickness=THICK)
    p = SimpleNamespace(canopy=table)
    (declared,) = [each for each in PILOT_CHECKS if "canopy.area" in each.words]
    return {check.id: check for check in judge(found, list(declared.targets(p)))}


@pytest.mark.parametrize("edge", [SLOPING, pytest.param(LEVEL, marks=pytest.mark.long)])
def test_as_asked_it_passes(edge):
    found = checks(body_named(("canopy", edge)), body_named(("pod", edge)))
    assert {check.verdict for check in found.values()} == {"pass"}
    for which in ("least", "widest"):
        assert found[f"canopy.gap.{which}"].measured == pytest.approx(GAP, abs=2e-3)
        (x, y, z), (a, b, c) = found[f"canopy.gap.{which}"].points
        apart = ((x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2) ** 0.5
        assert apart == pytest.approx(GAP, abs=2e-3)


@pytest.mark.parametrize(
    ("how", "failing"),
    [
        # Gap ignored, or much too wide; thickness doubled.
        ((LEVEL, 1e-3, THICK), {"canopy.gap.least", "canopy.gap.widest"}),
        pytest.param(
            (LEVEL, 2.5, THICK), {"canopy.gap.least", "canopy.gap.widest"}, marks=pytest.mark.long
        ),
        pytest.param((LEVEL, GAP, 2 * THICK), {"canopy.thickness"}, marks=pytest.mark.long),
    ],
)
def test_built_wrong_it_fails(how, failing):
    found = checks(body_named(("canopy", *how)), body_named(("pod", LEVEL)))
    assert {id_ for id_, check in found.items() if check.verdict == "fail"} == failing


@pytest.mark.long
@pytest.mark.parametrize("by", [(0.5, 0.0, 0.0), (0.0, 0.0, 0.5), (0.0, 0.0, -0.5)])
def test_shifted_one_side_is_too_wide_or_too_near(by):
    solid = moved(glazing().solid, by)
    made = bodies_of(model_of({"canopy": solid}))["canopy"]
    found = checks(made, body_named(("pod", LEVEL)))
    assert "fail" in {found[f"canopy.gap.{which}"].verdict for which in ("least", "widest")}


@pytest.mark.long
def test_on_the_wrong_side_of_the_sill_it_shares_space_with_the_pod(monkeypatch):
    """The knife's inside taken for its outside: gap and thickness are as asked, but it is seen."""
    divided = shape._divided
    monkeypatch.setattr(shape, "_divided", lambda *given: divided(*given)[::-1])
    wrong = shape.glazing(lines(), LEVEL, GAP, THICK)
    made = bodies_of(model_of({"canopy": wrong.solid}))["canopy"]
    assert meeting(made, body_named(("pod", LEVEL))).depth > 1.0


@pytest.mark.parametrize(
    ("low", "high"),
    [
        # A hole in its crown; a strip that is missing all along one sill.
        HOLE,
        ((0.0, 0.0, 900.0), (1500.0, 400.0, 1120.0)),
    ],
)
def test_glass_that_is_missing_is_a_gap_too_wide(low, high):
    """Edges that no pod stands against within reach: most of the others have the gap asked for."""
    found = checks(holed_body(low, high), body_named(("pod", LEVEL)))
    assert found["canopy.gap.widest"].verdict == "fail"
    assert found["canopy.gap.widest"].measured > 60.0


def test_the_rim_of_a_sheet_thicker_than_the_wall_meets_no_skin_farther_on():
    """Below the wall, the way square to the aft edge runs on to the inside of the narrowing pod."""
    pod = bodies_of(model_of({"pod": rest(SHORT, narrowing).solid}))["pod"]
    glass = glazing(SHORT, GAP, 5.0, narrowing).solid
    found = joint_gaps(bodies_of(model_of({"canopy": glass}))["canopy"], [pod])
    for which in ("least", "widest"):
        assert found[which][:2] == [pytest.approx(GAP, abs=2e-3), 2e-3]
    met, count = found["met"]
    assert met < count


def test_what_hangs_on_where_its_places_are_waits_for_the_final_mesh():
    whole, pod = body_named(("canopy", LEVEL)), body_named(("pod", LEVEL))
    holed = holed_body(*HOLE)
    assert joint_gaps(replace(whole, rough=True), [pod]) == joint_gaps(whole, [pod])
    with pytest.raises(ExactDueError):
        joint_gaps(replace(holed, rough=True), [pod])


def test_without_a_canopy_nothing_is_asked():
    assert list(GLAZING_FIT.ask(model_of({}), {"pod": None})) == []


def test_a_canopy_that_stands_over_no_pod_is_not_measured():
    """A pod far below: the gap can't be told, which passes nothing."""
    far = bodies_of(model_of({"pod": moved(rest().solid, (0.0, 0.0, -2000.0))}))["pod"]
    found = checks(body_named(("canopy", LEVEL)), far)
    assert found["canopy.gap.least"].verdict == "not_measured"
    assert found["canopy.gap.widest"].verdict == "not_measured"


def test_the_edge_of_the_glazing_is_square_to_that_of_the_opening():
    assert Glass(0.0, 300.0, 0.0, 400.0).inside(3.0) == Glass(3.0, 297.0, 9.0, 401.0)
