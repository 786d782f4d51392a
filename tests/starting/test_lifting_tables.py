from math import radians, tan

import pytest
from covering_choices import rows

ROWS = list(rows(("wing", "tail", "gear", "units")))


def edge(sections, at: float, first: float) -> float:
    """Leading edge of a two-section surface at a share of its way, by its quarter-chord line."""
    low, high = sections
    chord = low.chord + at * (high.chord - low.chord)
    away = getattr(high, "height", 0.0) - getattr(low, "height", 0.0)
    return first + low.chord / 4 + at * away * tan(radians(high.sweep)) - chord / 4


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(row.values()))
def test_the_tail_ends_on_what_holds_it(fresh, row) -> None:
    p = fresh(**row)
    tail, boom = p.tailplane, p.booms.stations[-1]
    root, tip = tail.sections
    assert tip.buttock_line == pytest.approx(p.booms.buttock_line)
    height = tail.waterline + tip.buttock_line * tan(radians(tip.dihedral))
    if row["tail"] == "high":
        at = (tail.waterline - p.fins.waterline) / p.fins.sections[1].height
        ahead = edge(p.fins.sections, at, p.fins.leading_edge)
        long = p.fins.sections[0].chord + at * (p.fins.sections[1].chord - p.fins.sections[0].chord)
        assert 0.7 < at < 1.0
        assert ahead < tail.leading_edge
        assert tail.leading_edge + root.chord < ahead + long
    else:
        assert height == pytest.approx(boom.waterline, abs=4.0)
        assert tail.leading_edge + root.chord < boom.station
        assert p.booms.stations[-2].station < tail.leading_edge
    assert (p.fins is None) == (row["tail"] == "inverted-v")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(row.values()))
def test_fins_stand_on_the_level_end_of_the_booms(fresh, row) -> None:
    p = fresh(**row)
    if p.fins is None:
        return
    assert p.fins.buttock_line == p.booms.buttock_line
    assert p.booms.stations[-2].station <= p.fins.leading_edge + 5
    assert p.fins.leading_edge + p.fins.sections[0].chord < p.booms.stations[-1].station
    assert p.fins.waterline == pytest.approx(p.booms.stations[-1].waterline, abs=0.1)


def test_a_wing_is_joined_to_what_it_meets(fresh) -> None:
    def pairs(**chosen):
        return {(joint.trim, joint.to) for joint in fresh(**chosen).joints}

    assert ("pod", "wing") in pairs(wing="mid")
    for over in ("pylon", "parasol"):
        assert {("pylon", "pod"), ("pylon", "wing")} <= pairs(wing=over)
    assert not {"pylon"} & {family for pair in pairs(wing="low") for family in pair}
    assert ("tailplane", "fin") in pairs(tail="high")
    assert ("fin", "boom") not in pairs(tail="inverted-v")


@pytest.mark.parametrize("wing", ["pylon", "parasol"])
def test_the_pylon_ends_inside_pod_and_wing(fresh, wing) -> None:
    p = fresh(wing=wing)
    over = [s.crown for s in p.pod.stations if p.pylon.leading_edge - 600 < s.station < 2400]
    assert p.pylon.waterline_low < min(over)
    assert 0 < p.pylon.waterline_high - p.wing.waterline < 0.05 * p.wing.sections[0].chord
