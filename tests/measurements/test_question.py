"""Questions wait for what they need, see nothing that they did not name, and keep every digit."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.measurements.question import (
    Given,
    MeasurementQuestion,
    Questionnaire,
    from_text,
    text_of,
)

finite = st.floats(allow_nan=False)
plain = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | finite | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=8,
)


@given(plain)
def test_an_answer_comes_back_equal(answer) -> None:
    assert from_text(text_of(answer)) == answer


def test_infinity_and_nothing_come_back() -> None:
    low, high, none = from_text(text_of([-math.inf, math.inf, math.nan]))
    assert (low, high) == (-math.inf, math.inf)
    assert math.isnan(none)


def asked_at_once(question, needed, done) -> None:
    done(question.ask(Given(answers=needed)))


def test_a_question_that_is_not_due_is_not_asked() -> None:
    def never(given):
        raise AssertionError("asked all the same")

    first = MeasurementQuestion("first", lambda given: 3)
    second = MeasurementQuestion(
        "second", never, after=("first",), due=lambda answers: answers["first"] > 5
    )
    third = MeasurementQuestion("third", lambda given: given.answers["second"], after=("second",))
    found = Questionnaire([third, second, first], asked_at_once)
    assert found.answers == {"first": 3, "second": None, "third": None}


def test_a_long_chain_of_questions_that_are_not_due_comes_to_its_end() -> None:
    """As of the pairs of leg and rib of a machine with many ribs: none of them due."""
    one = MeasurementQuestion("0", lambda given: 1)
    chain = [
        MeasurementQuestion(str(i), len, first=(str(i - 1),), due=lambda answers: False)
        for i in range(1, 1500)
    ]
    found = Questionnaire([*chain, one], asked_at_once).answers
    assert len(found) == 1500
    assert found["1499"] is None


def test_two_questions_of_one_name_are_refused_before_any_is_asked() -> None:
    """Else the one would be told the other's answer."""

    def never(question, needed, done):
        raise AssertionError("asked all the same")

    gaps = [MeasurementQuestion("gap", lambda given, n=n: n) for n in (1, 2)]
    with pytest.raises(RuntimeError, match="one name: gap"):
        Questionnaire(gaps, never)


def test_what_only_decides_whether_it_is_due_is_not_seen() -> None:
    """An answer may be kept although what was asked before it turned out otherwise."""
    terms = [MeasurementQuestion(name, lambda given, n=n: n) for n, name in enumerate("abc")]
    seen = MeasurementQuestion(
        "seen",
        lambda given: dict(given.answers),
        after=("a",),
        first=("b", "c"),
        due=lambda answers: sum(answers.values()) == 3,
    )
    assert Questionnaire([seen, *terms], asked_at_once).answers["seen"] == {"a": 0}


def test_answers_that_come_late_and_in_any_order(monkeypatch) -> None:
    """The sum of 1 to 4 (closed form), whichever of its terms is told last."""
    terms = [MeasurementQuestion(str(i), lambda given, i=i: i) for i in range(1, 5)]
    whole = MeasurementQuestion(
        "sum", lambda given: sum(given.answers.values()), after=tuple(q.name for q in terms)
    )
    for first in range(4):
        later = []
        found = Questionnaire([whole, *terms], lambda *row, later=later: later.append(row))
        later.insert(0, later.pop(first))
        while later:
            question, needed, done = later.pop()
            done(question.ask(Given(answers=needed)))
        assert found.answers["sum"] == 10


def test_what_was_not_named_can_not_be_seen() -> None:
    with pytest.raises(KeyError):
        Questionnaire([MeasurementQuestion("a", lambda given: given.answers["b"])], asked_at_once)
