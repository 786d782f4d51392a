"""What a name stands for among figures and varied keys, and what is weighed."""

from dataclasses import replace
from pathlib import Path

import made_outcomes
import pytest

from geomgen.studies.row import VariantOutcome
from geomgen.sweeping.figures import FigureAxis, axes_of, best_of, chosen_axes
from geomgen.sweeping.plan import SweepQuestion, plan_of
from geomgen.verdicts.check import Limits

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
THICK = ("firewall.thickness=0.4 mm,0.5 mm,0.6 mm",)


def rows(**figures):
    """Return three outcomes with figures of three values each."""
    return [
        VariantOutcome(
            "built",
            tuple(
                made_outcomes.check(id_.replace("__", "."), values[i], Limits("none"), "none")
                for id_, values in figures.items()
            ),
        )
        for i in range(3)
    ]


def test_a_key_and_a_figure_of_one_name_are_two_axes() -> None:
    plan = plan_of(SweepQuestion(CONFIG, THICK, axes="firewall.thickness,set firewall.thickness"))
    axes = axes_of(plan, rows(firewall__thickness=(0.39, 0.49, 0.59)))
    assert axes["firewall.thickness"].values == (0.39, 0.49, 0.59)
    assert axes["set firewall.thickness"].values == (0.4, 0.5, 0.6)
    assert chosen_axes(plan, axes) == ("firewall.thickness", "set firewall.thickness")


def test_of_a_family_all_members_are_weighed() -> None:
    """The first is best on the left, the second on the right, the third on neither."""
    plan = plan_of(SweepQuestion(CONFIG, THICK, best="duct.turn_angle=low"))
    outcomes = rows(duct__turn_angle__left=(1.0, 2.0, 2.0), duct__turn_angle__right=(2.0, 1.0, 2.0))
    best = best_of(plan, outcomes)
    assert best.senses == {"duct.turn_angle.left": "low", "duct.turn_angle.right": "low"}
    assert best.numbers == (1, 2)


@pytest.mark.parametrize("more", [{"best": "firewall.mass=low,inlet.area=high"}])
def test_a_figure_that_no_variant_has_is_said(more) -> None:
    best = best_of(
        plan_of(SweepQuestion(CONFIG, THICK, **more)), rows(firewall__mass=(1.0, 2.0, 3.0))
    )
    assert best.absent == ("inlet.area",)
    assert best.numbers == (1,)


def judged(bounds, **figures):
    """Return three outcomes with figures to keep low, each with its error bound."""
    return [
        VariantOutcome(
            "built",
            tuple(
                replace(check, comparison="at most", error_bound=bound)
                for check, bound in zip(outcome.checks, bounds, strict=True)
            ),
        )
        for outcome in rows(**figures)
    ]


def test_what_can_not_be_measured_apart_is_not_weighed():
    """The gap's differences are smaller than its error bound: noise must not choose."""
    outcomes = judged(
        (1e-6, 1e-3),
        firewall__mass=(1.0, 1.0, 2.0),
        firewall__edge_gap=(0.30680002, 0.30680001, 0.3068),
    )
    plan = plan_of(SweepQuestion(CONFIG, THICK, best="firewall.mass=low,firewall.edge_gap=low"))
    assert best_of(plan, outcomes).numbers == (1, 2)
    assert not axes_of(plan, outcomes)["firewall.edge_gap"].differs


def test_noise_and_twins_are_not_shown_first():
    outcomes = judged(
        (1e-6, 1e-6, 1e-3),
        firewall__thickness=(0.4 + 1e-13, 0.5, 0.6 - 1e-13),
        firewall__mass=(1.0, 1.2, 1.4),
        firewall__edge_gap=(0.30680002, 0.30680001, 0.3068),
    )
    plan = plan_of(SweepQuestion(CONFIG, THICK))
    assert chosen_axes(plan, axes_of(plan, outcomes)) == ("firewall.thickness", "firewall.mass")


def test_there_are_two_axes_even_when_nothing_differs():
    plan = plan_of(SweepQuestion(CONFIG, ("firewall.thickness=0.4 mm,0.5 mm,0.6 mm",)))
    axes = axes_of(plan, rows(firewall__mass=(1.0, 1.0, 1.0), firewall__area=(5.0, 5.0, 5.0)))
    assert chosen_axes(plan, axes) == ("set firewall.thickness", "firewall.mass")


def test_levels_never_join_what_is_further_apart_than_the_bound():
    """Many steps, each smaller than the bound, are no one level together."""
    axis = FigureAxis("a", "", "deg", tuple(0.06 * i for i in range(100)), bound=0.1)
    levels = axis.levels()
    assert len(set(levels)) == 50
    assert all(0 <= v - low <= 0.1 for v, low in zip(axis.values, levels, strict=True))


def test_masses_and_margins_at_odds_are_weighed_and_the_files_are_not():
    """Mass rises, the gap falls with it, a second face of the gap moves along, the mesh wanders."""
    outcomes = judged(
        (1e-6, 1e-6, 1e-6, 1e-6),
        firewall__mass=(1.0, 1.2, 1.4),
        firewall__edge_gap=(0.30, 0.20, 0.10),
        firewall__slit=(0.60, 0.40, 0.20),
        mesh__deviation=(0.09, 0.03, 0.06),
    )
    plan = plan_of(SweepQuestion(CONFIG, THICK))
    best = best_of(plan, outcomes)
    # Of the two faces of the gap the first stands for both: they change by the same share.
    assert set(best.senses) == {"firewall.mass", "firewall.edge_gap"}
    assert best.numbers == (1, 2, 3)
    assert set(chosen_axes(plan, axes_of(plan, outcomes))[:2]) == set(best.senses)


@pytest.mark.parametrize("name", ["mass__flown", "mass__engine", "parts__interference"])
def test_what_is_in_order_or_not_is_weighed_only_where_it_is_asked_for(name):
    """It changes most by far; nothing is gained by more of it."""
    outcomes = judged(
        (1e-6,) * 3,
        firewall__mass=(1.0, 1.2, 1.4),
        firewall__edge_gap=(0.3, 0.2, 0.1),
        **{name: (0.0, 5.0, 1.0)},
    )
    best = best_of(plan_of(SweepQuestion(CONFIG, THICK)), outcomes)
    assert set(best.senses) == {"firewall.mass", "firewall.edge_gap"}
    asked = name.replace("__", ".")
    best = best_of(plan_of(SweepQuestion(CONFIG, THICK, best=f"{asked}=low")), outcomes)
    assert (best.senses, best.numbers) == ({asked: "low"}, (1,))


def test_a_load_on_a_tyre_is_no_mass():
    """It changes most, in kilograms; the mass is named before it all the same."""
    outcomes = [
        replace(o, checks=tuple(replace(c, unit="kg") for c in o.checks))
        for o in judged(
            (1e-6,) * 2, gear__tyre_load=(9.0, 5.0, 1.0), firewall__mass=(1.0, 1.2, 1.4)
        )
    ]
    best = best_of(plan_of(SweepQuestion(CONFIG, THICK)), outcomes)
    assert list(best.senses) == ["firewall.mass", "gear.tyre_load"]


def test_a_mass_without_a_limit_is_weighed_too():
    outcomes = [
        replace(o, checks=(replace(o.checks[0], unit="kg"), *o.checks[1:]))
        for o in rows(firewall__mass=(1.0, 2.0, 3.0))
    ]
    best = best_of(plan_of(SweepQuestion(CONFIG, THICK)), outcomes)
    assert best.senses == {"firewall.mass": "low"}
    assert best.numbers == (1,)


def test_what_gets_better_together_is_no_trade():
    outcomes = judged(
        (1e-6, 1e-6), firewall__mass=(1.0, 1.2, 1.4), firewall__edge_gap=(0.1, 0.2, 0.3)
    )
    best = best_of(plan_of(SweepQuestion(CONFIG, THICK)), outcomes)
    assert len(best.senses) == 1
    assert best.numbers == (1,)


class Walked(tuple):
    """Values that count how often they are gone through."""

    def __iter__(self):
        self.walks = getattr(self, "walks", 0) + 1
        return super().__iter__()


def test_values_are_gone_through_as_often_however_many_there_are() -> None:
    counts = []
    for many in (10, 1000):
        values = Walked(float(i % 7) for i in range(many))
        axis = FigureAxis("a", "", "mm", values, "low", judged=True, bound=0.5)
        assert axis.counts
        assert axis.moves_with(FigureAxis("b", "", "mm", tuple(values), "low"))
        assert set(axis.levels()) == {float(i) for i in range(7)}
        counts.append(values.walks)
    assert counts[0] == counts[1]
