"""What a name stands for among figures and varied keys, and what is weighed."""

from pathlib import Path

import made_outcomes
import pytest

from geomgen.pipeline.sweep_figures import axes_of, best_of, chosen_axes
from geomgen.pipeline.sweep_plan import Question, plan_of
from geomgen.studies.variant_row import Outcome
from geomgen.verdicts.check import Limits

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
THICK = ("firewall.thickness=0.4 mm,0.5 mm,0.6 mm",)


def rows(**figures):
    """Return three outcomes with figures of three values each."""
    return [
        Outcome(
            "built",
            tuple(
                made_outcomes.check(id_.replace("__", "."), values[i], Limits("none"), "none")
                for id_, values in figures.items()
            ),
        )
        for i in range(3)
    ]


def test_a_key_and_a_figure_of_one_name_are_two_axes() -> None:
    plan = plan_of(Question(CONFIG, THICK, axes="firewall.thickness,set firewall.thickness"))
    axes = axes_of(plan, rows(firewall__thickness=(0.39, 0.49, 0.59)))
    assert axes["firewall.thickness"].values == (0.39, 0.49, 0.59)
    assert axes["set firewall.thickness"].values == (0.4, 0.5, 0.6)
    assert chosen_axes(plan, axes) == ("firewall.thickness", "set firewall.thickness")


def test_of_a_family_all_members_are_weighed() -> None:
    """The first is best on the left, the second on the right, the third on neither."""
    plan = plan_of(Question(CONFIG, THICK, best="duct.turn_angle=low"))
    outcomes = rows(duct__turn_angle__left=(1.0, 2.0, 2.0), duct__turn_angle__right=(2.0, 1.0, 2.0))
    best = best_of(plan, outcomes)
    assert best.senses == {"duct.turn_angle.left": "low", "duct.turn_angle.right": "low"}
    assert best.numbers == (1, 2)


@pytest.mark.parametrize("more", [{"best": "firewall.mass=low,inlet.area=high"}])
def test_a_figure_that_no_variant_has_is_said(more) -> None:
    best = best_of(plan_of(Question(CONFIG, THICK, **more)), rows(firewall__mass=(1.0, 2.0, 3.0)))
    assert best.absent == ("inlet.area",)
    assert best.numbers == (1,)
