"""What is aimed at: values always, limits while there are enough freed keys."""

from plain_solving import free

from geomgen.solving.search.level import level_of
from geomgen.solving.search.log import SearchProblem
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
