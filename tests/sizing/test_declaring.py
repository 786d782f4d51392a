"""Checks as they are declared: each once, with words, its figures behind the limits."""

import pytest

from geomgen.sizing.targets import DECLARED, figures, targets


def test_no_check_is_told_twice() -> None:
    ids = [id_ for one in DECLARED for row in one.words for id_ in row.split(", ")]
    assert len(set(ids)) == len(ids)


def test_each_is_told_in_sentences() -> None:
    for one in DECLARED:
        for words in (*one.words.values(), one.group.words):
            assert not words or words.endswith(".")
            assert "  " not in words


@pytest.mark.parametrize("config", ["saltmarsh", "framed", "hayfield", "tight"])
def test_figures_to_read_stand_behind_the_limits_and_have_none(variant, config) -> None:
    p = variant(config=config)
    due, every = targets(p), figures(p)
    assert every[: len(due)] == due
    assert len({target.id for target in every}) == len(every)
    for target in every[len(due) :]:
        assert (target.severity, target.low, target.high) == ("info", None, None)


def test_what_has_no_limit_in_a_file_can_still_be_read(variant) -> None:
    """An area is judged where the file asks for one, and only read where it does not."""
    p = variant()
    bare = p.model_copy(update={"rules": p.rules.model_copy(update={"firewall_area": None})})
    for each, severity in ((p, "fail"), (bare, "info")):
        (area,) = [target for target in figures(each) if target.id == "firewall.area"]
        assert area.severity == severity
