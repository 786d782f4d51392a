"""Losses: what is not known is refused, and a passage names each of its own."""

import pytest

from geomgen.air.cooling import losses
from geomgen.errors import ParameterError


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: losses.turn(200.0), "turn"),
        (lambda: losses.turn(float("nan")), "turn"),
        (lambda: losses.entry(-0.1), "lip"),
        (lambda: losses.sudden_growth(1.5), "ratio"),
        (lambda: losses.growth(0.5, -1.0), "angle"),
    ],
)
def test_what_is_not_known_is_refused(ask, words):
    with pytest.raises(ParameterError, match=f"no loss is known for this {words}"):
        ask()


def test_sharper_and_further_turns_lose_more():
    turns = [losses.turn(a) for a in (0.0, 10.0, 45.0, 90.0, 120.0, 180.0)]
    assert turns == sorted(turns)
    assert turns[0] == 0
    tight = [losses.turn(90.0, r) for r in (0.5, 0.75, 1.0, 2.0, 9.0)]
    assert tight == sorted(tight, reverse=True)


def test_a_passage_by_hand():
    """Throat 0.8 of the mouth, growing to 1.2 of it, into a bay of ten mouths."""
    way = losses.passage(1e4, angle=45.0, throat=8e3, end=1.2e4, spread=60.0, bay=1e5)
    assert [loss.factor for loss in way] == pytest.approx([0.1, 0.34, (1 / 3) ** 2, 0.88**2])
    assert [loss.area for loss in way] == [8e3, 8e3, 8e3, 1.2e4]
    assert all(loss.source for loss in way)


def test_a_throat_wider_than_the_mouth_is_the_mouth():
    way = losses.passage(1e4, angle=0.0, throat=2e4, end=1e4, spread=0.0, bay=1e4)
    assert [loss.factor for loss in way] == [0.0, 0.0, 0.0, 0.0]
