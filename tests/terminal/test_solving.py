"""What a terminal shows of a search: tables within the width, moods by what they say."""

from types import SimpleNamespace

import pytest
from plain_solving import first_looks, free, machine, solved

from geomgen.sizing.target import Target
from geomgen.terminal.solving import answer_lines

AREA = Target("inlet.area", "mouths", "at least", "mm2", low=9000.0)
GAP = Target("prop.radial_clearance", "tips", "at least", "mm", low=25.0)


def result(until: str, limit: float = 95.0, strayed=(), **first):
    figures = {"inlet.area": lambda h: 170 * h, "prop.radial_clearance": lambda h: limit - h}
    evaluate = machine([AREA, GAP], figures, mass=lambda h: h / 100)
    look = first_looks([AREA, GAP], figures, **first) if first else None
    found = solved([free(30, 90, 50)], [until], [AREA, GAP], evaluate, first=look)
    file = "out/a-solved.toml" if found.met else None
    plan = SimpleNamespace(densities={})
    return SimpleNamespace(
        solved=found, file=file, seconds=1.0, plan=plan, saved=False, strayed=strayed
    )


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize(
    ("until", "limit"),
    [("inlet.area=target", 95), ("inlet.area=110 cm^2", 85), ("inlet.area=999 cm^2", 95)],
)
def test_no_line_is_wider_than_the_terminal(width: int, until: str, limit: float) -> None:
    lines = answer_lines(result(until, limit), width)
    assert max(len(text) for text, _ in lines) <= width


def test_former_and_new_stand_side_by_side() -> None:
    texts = [text for text, _ in answer_lines(result("inlet.area=target"))]
    assert any(text.split()[:5] == ["scoops.0.height", "50", "mm", "53", "mm"] for text in texts)
    assert any("85.0 cm^2" in text and text.endswith("met") for text in texts)
    assert any(text.startswith("0.500 kg -> 0.530 kg") for text in texts)
    assert any("written: out/a-solved.toml" in text for text in texts)


def test_styles_say_how_it_ended() -> None:
    good, bad = answer_lines(result("inlet.area=target")), answer_lines(result("inlet.area=1 m^2"))
    assert (good[0][1], bad[0][1]) == ("green", "bold red")
    assert any("nothing written" in text for text, _ in bad)


def test_a_turned_verdict_is_shown() -> None:
    lines = answer_lines(result("inlet.area=110 cm^2", 85))
    assert any("PASS -> FAIL" in text and style == "bold red" for text, style in lines)


def test_a_file_that_was_saved_meanwhile_is_said_also_when_quiet() -> None:
    found = result("inlet.area=target")
    for saved in (False, True):
        found.saved = saved
        texts = [text for text, _ in answer_lines(found, 80, quiet=True)]
        assert any("was changed during the search" in text for text in texts) is saved


def test_it_says_which_figures_are_exact_and_which_first_answers_strayed() -> None:
    """By first answers both bounds are looked at."""
    texts = [text for text, _ in answer_lines(result("inlet.area=110 cm^2", bound=1.0))]
    said = " ".join(" ".join(texts).split())
    assert "2 of them on the way by first answers; the answer's figures are exact" in said
    lines = answer_lines(result("inlet.area=110 cm^2", strayed=("height=30 mm: a fault",)))
    assert ("height=30 mm: a fault.", "yellow") in lines
    assert not any("by first answers" in text for text, _ in lines)
