"""Several freed keys at once, against systems with known solutions."""

import pytest
from plain_solving import free, machine

from geomgen.sizing.target import Target
from geomgen.solving.search.level import level_of
from geomgen.solving.search.log import Log, SearchProblem
from geomgen.solving.search.several_keys import many
from geomgen.solving.search.until import KnownFigure, untils_of

NAMES = ("inlet.area", "exit.area", "firewall.area")
TARGETS = [Target(name, "", "at least", "mm2", low=1.0) for name in NAMES]


def log(values, formulas, present, keys: int) -> Log:
    texts = [f"{name}={value} mm^2" for name, value in zip(NAMES, values, strict=False)]
    asked = untils_of(texts, [KnownFigure(name, "mm2", "at least") for name in NAMES])
    frees = [free(10, 100, present[0]), free(10, 100, present[1], 1), free(2, 20, 5, 2)][:keys]
    figures = dict(zip(NAMES, formulas, strict=False))
    question = SearchProblem(tuple(frees), asked, evaluations=80)
    return Log(question, machine(TARGETS, figures, (*present, 5.0)[:keys]))


def test_two_crossed_parabolas() -> None:
    """h^2 + w = 2550 and h + w^2 = 2550 meet at h = w = 50 (closed form)."""
    figures = (lambda h, w: h * h + w, lambda h, w: h + w * w)
    here = log((2550, 2550), figures, (20.0, 80.0), 2)
    (found,) = many(here, level_of(here.asked))
    assert found == pytest.approx((50.0, 50.0), abs=0.02)


def test_three_keys() -> None:
    """h w = 1200, h t = 240, w t = 320: h = 30, w = 40, t = 8 (closed form)."""
    figures = (lambda h, w, t: h * w, lambda h, w, t: h * t, lambda h, w, t: w * t)
    here = log((1200, 240, 320), figures, (50.0, 50.0), 3)
    (found,) = many(here, level_of(here.asked))
    assert found == pytest.approx((30.0, 40.0, 8.0), abs=0.05)


def test_more_asked_than_freed_gives_the_least_squares() -> None:
    """h = 40 and h = 60, told against their aims: least at h = 600 / 13 (closed form)."""
    asked = untils_of(
        ["inlet.area=4000 mm^2", "exit.area=6000 mm^2"],
        [KnownFigure(name, "mm2", "at least") for name in NAMES],
    )
    figures = {name: lambda h: 100 * h for name in NAMES[:2]}
    here = Log(SearchProblem((free(10, 100, 80),), asked), machine(TARGETS, figures, (80,)))
    (found,) = many(here, level_of(here.asked))
    assert found[0] == pytest.approx(600 / 13, abs=0.1)


def test_a_trap_is_left_by_another_start() -> None:
    """From the present values the way down ends in a hollow; the answer lies elsewhere."""

    def hollow(h: float, w: float) -> float:
        return 1000 + 40 * abs(h - 30) if h < 55 else 1000 + abs(h - 80) * 72 - 900

    here = log((100, 900), (hollow, lambda h, w: 15 * w), (28.0, 50.0), 2)
    (found,) = many(here, level_of(here.asked))
    assert found == pytest.approx((80.0, 60.0), abs=0.5)
