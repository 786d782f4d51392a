import pytest
from covering_choices import every_value

from geomgen.starting.choices import WING, choices_of
from geomgen.starting.proportions import Proportions


def proportions(**chosen: str) -> Proportions:
    return Proportions(choices_of("mine", "Mine", chosen))


@pytest.mark.parametrize("wing", every_value(WING))
def test_a_wing_through_the_pod_leaves_the_engine_bay_alone(wing) -> None:
    q = proportions(wing=wing)
    if q.choices.through:
        assert q.trailing_edge < q.firewall - 100
    assert q.trailing_edge < q.pod_length


def test_places_of_the_wing_stand_in_their_order() -> None:
    heights = [proportions(wing=wing).wing_waterline for wing in every_value(WING)]
    assert heights == sorted(heights)


def test_booms_stand_clear_of_the_blade_tips_by_the_rule() -> None:
    # 14 CFR 23.925(d): an inch, besides half of the widest boom and what the engine shakes.
    q = proportions(units="imperial")
    assert q.boom_line - 50 - (q.diameter / 2 + q.shake) > 25.4


def test_the_ground_clearance_is_that_of_rule_set_and_gear() -> None:
    assert proportions(gear="tailwheel", units="metric").ground_rule == 230.0
    assert proportions(gear="tricycle", units="imperial").ground_rule == pytest.approx(7 * 25.4)
