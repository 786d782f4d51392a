"""Which variants are measured exactly, against studies in which all of them are."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_outcomes import AIR, OFF, check, first_of

from geomgen.studies.row import VariantOutcome
from geomgen.sweeping.exactly_due import due_exactly
from geomgen.sweeping.figures import best_of
from geomgen.sweeping.plan import SweepQuestion, plan_of
from geomgen.verdicts.check import Limits

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
MANY = 8
BEST = "firewall.mass=low,prop.radial_clearance=high"
LIGHT, WIDE = Limits("at most 5 kg", None, 5.0), Limits("at least 20 mm", 20.0, None)
COOL = Limits("at most 62 K", None, 62.0)


@cache
def plan(**more):
    vary = (f"firewall.thickness=0.4 mm:0.6 mm:{MANY}",)
    return plan_of(SweepQuestion(CONFIG, vary, **more))


def exactly(mass, gap, heat):
    """Return an exact outcome of a mass [kg], a gap [mm] and what the air is heated by [K]."""
    checks = (
        check("firewall.mass", mass, LIGHT, "at most", "kg"),
        check("prop.radial_clearance", gap, WIDE, "at least"),
        check(AIR, heat, COOL, "at most", "K"),
    )
    return VariantOutcome("built", tuple(replace(c, error_bound=1e-6) for c in checks))


def followed(asked, exact, offs):
    """Return the outcomes at the end of a study that begins with first answers."""
    found = [first_of(one.checks, off) for one, off in zip(exact, offs, strict=True)]
    rounds = 0
    while due := due_exactly(asked, found):
        assert not any(found[place].exact for place in due)
        rounds += 1
        found = [exact[i] if i in due else one for i, one in enumerate(found)]
    assert rounds <= len(exact)
    return found


FIGURES = st.tuples(
    st.integers(1, 12).map(lambda n: n / 2.0),
    st.integers(180, 260).map(lambda n: n / 10.0),
    st.sampled_from([50.0, 61.0, 63.0]),
)
OFFS = st.floats(-OFF, OFF)


@given(
    st.lists(FIGURES, min_size=MANY, max_size=MANY),
    st.lists(OFFS, min_size=MANY, max_size=MANY),
    st.sampled_from([{"best": BEST}, {"best": f"{BEST},{AIR}=low"}, {}]),
)
def test_what_is_said_is_what_exact_figures_of_all_say(figures, offs, asked):
    exact = [exactly(*each) for each in figures]
    found = followed(plan(**asked), exact, offs)
    for one, whole in zip(found, exact, strict=True):
        final = [c for c in one.checks if c.id not in one.waits]
        verdicts = {c.id: c.verdict for c in whole.checks}
        assert all(c.verdict == verdicts[c.id] for c in final)
        assert one.exact or not one.passed
        assert one.undecided or one.passed == whole.passed
        assert not set(one.failing) - set(whole.failing)
        told = {c.id for c in one.checks if c.measured is not None}
        assert one.failing or one.exact or not told & set(one.waiting), "one near a limit is open"
    assert any(o.passed for o in found) == any(o.passed for o in exact)
    if asked:
        assert best_of(plan(**asked), found).numbers == best_of(plan(**asked), exact).numbers


def test_only_what_decides_is_measured_exactly():
    """One is best in both; two lie clearly behind it, two fail clearly, three are near a limit."""
    exact = [
        exactly(1.0, 30.0, 50.0),
        *(exactly(mass, 25.0, 50.0) for mass in (2.0, 3.0)),
        *(exactly(1.0, gap, 50.0) for gap in (15.0, 16.0)),
        *(exactly(4.0, gap, 50.0) for gap in (19.8, 20.2, 20.3)),
    ]
    found = followed(plan(best=BEST), exact, [0.1] * MANY)
    assert [one.exact for one in found] == [True, False, False, False, False, True, True, True]
    assert [one.undecided for one in found] == [i in (1, 2) for i in range(MANY)]
    assert best_of(plan(best=BEST), found).numbers == (1,)


def test_what_can_not_be_told_apart_is_measured_exactly():
    """Further in by less than both bounds: either may be the better one."""
    exact = [exactly(1.0, 30.0 + 0.1 * i, 50.0) for i in range(MANY)]
    found = followed(plan(best=BEST), exact, [0.4 - 0.1 * i for i in range(MANY)])
    assert all(one.exact for one in found)
    assert best_of(plan(best=BEST), found).numbers == (MANY,)


def test_masses_within_their_bands_are_equal_here_too():
    """Known to half a kilogram, exactly or not: the heavier one is as good, and due as well."""
    masses = (1.0, 1.2, *[4.0] * (MANY - 2))
    exact = [exactly(mass, 30.0, 50.0) for mass in masses]
    exact = [
        replace(
            o, checks=tuple(replace(c, error_bound=OFF) if c.unit == "kg" else c for c in o.checks)
        )
        for o in exact
    ]
    first = [first_of(o.checks, 0.0) for o in exact]
    assert due_exactly(plan(best="firewall.mass=low"), [exact[0], *first[1:]]) == (1,)
    assert due_exactly(plan(best="firewall.mass=low"), [*exact[:2], *first[2:]]) == ()
    assert best_of(plan(best="firewall.mass=low"), exact).numbers == (1, 2)


def test_a_figure_that_is_asked_for_does_not_wait():
    """Shown, it is due of all; weighed, of those that may be chosen."""
    exact = [exactly(1.0 + i, 30.0 if i < 3 else 15.0, 50.0) for i in range(MANY)]
    shown = followed(plan(axes=f"firewall.mass,{AIR}"), exact, [0.0] * MANY)
    assert all(one.exact for one in shown)
    weighed = followed(plan(best=f"{AIR}=low"), exact, [0.0] * MANY)
    assert [one.exact for one in weighed] == [i < 3 for i in range(MANY)]


@pytest.mark.parametrize("passing", [None, 2, 5])
def test_where_nothing_is_weighed_one_that_passes_is_looked_for(passing):
    exact = [exactly(1.0, 30.0, 50.0 if i == passing else 63.0) for i in range(MANY)]
    found = followed(plan(), exact, [0.0] * MANY)
    assert sum(one.exact for one in found) == (4 if passing == 2 else MANY)
    assert any(one.passed for one in found) == (passing is not None)


def test_what_came_to_nothing_is_tried_exactly():
    lost = [VariantOutcome("crashed", exact=False), *[exactly(1.0, 30.0, 50.0)] * (MANY - 1)]
    assert due_exactly(plan(), lost) == (0,)
    assert due_exactly(plan(), [replace(lost[0], exact=True), *lost[1:]]) == ()
