"""What is aimed at: values always, limits while there are enough freed keys."""

import pytest
from plain_solving import first_looks, free, machine

from geomgen.sizing.target import Target
from geomgen.solving.search.level import level_of
from geomgen.solving.search.log import Log, SearchProblem
from geomgen.solving.search.until import KnownFigure, untils_of

KNOWN = [KnownFigure(n, "mm2", "at least") for n in ("inlet.area", "exit.area")]


def firm(*texts: str, keys: int = 1, least: bool = False) -> list[str]:
    asked = SearchProblem(
        tuple(free(30, 90, 50, n) for n in range(keys)), untils_of(texts, KNOWN), least
    )
    return [until.text for until in level_of(asked).firm]


def test_aims() -> None:
    both = ("inlet.area=target", "exit.area=target")
    assert firm("inlet.area=target") == ["inlet.area=target"]
    assert firm("inlet.area>=1 cm^2") == []
    assert firm(*both) == []
    assert firm(*both, keys=2) == list(both)
    assert firm("inlet.area=target", least=True) == []
    assert firm("inlet.area=1 cm^2", "exit.area=target") == ["inlet.area=1 cm^2"]


def test_a_value_inside_limits_is_aimed_at_and_not_the_limits() -> None:
    """With two keys there is room for two aims, but not for two of one figure."""
    asked = ("inlet.area=1 cm^2", "inlet.area=target")
    assert firm(*asked, keys=2) == ["inlet.area=1 cm^2"]


@pytest.mark.parametrize(
    ("asked", "height", "side", "clear"),
    [
        # Asked for 9000 mm^2 of 100 h, known to 5 mm^2: told apart from 10 on, how far from 50 on.
        ("inlet.area=90 cm^2", 90.09, False, False),
        ("inlet.area=90 cm^2", 90.2, True, False),
        ("inlet.area=90 cm^2", 89.8, True, False),
        ("inlet.area=90 cm^2", 90.6, True, True),
        # 5 mm^2 inside of it are aimed at; what is met needs no more than that.
        ("inlet.area>=90 cm^2", 90.12, False, False),
        ("inlet.area>=90 cm^2", 90.2, True, True),
        ("inlet.area>=90 cm^2", 89.9, True, False),
        ("inlet.area>=90 cm^2", 89.5, True, True),
    ],
)
def test_what_a_first_answer_tells(asked: str, height: float, side: bool, clear: bool) -> None:
    target = Target("inlet.area", "", "at least", "mm2", low=9000.0)
    problem = SearchProblem((free(30, 120, 50),), untils_of([asked], KNOWN))
    figures = {"inlet.area": lambda h: 100 * h}
    log = Log(problem, machine([target], figures))
    log.first = first_looks([target], figures, bound=5.0)
    log.former()
    point, level = log.look([height], lambda p: True), level_of(problem)
    assert (level.side_sure(point), level.clear(point)) == (side, clear)
    exact = log.at([height])
    assert level.doubts(exact) == [0.0]
    assert level.doubts(point) == [pytest.approx(10.0 / 9000.0, rel=1e-3)]
