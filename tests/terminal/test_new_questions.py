from io import StringIO

import pytest

from geomgen.errors import ParameterError
from geomgen.starting.choices import GEAR, OPTIONS, SHOPS, WING
from geomgen.terminal.new_questions import Questions, asked


def answers(text: str, options=OPTIONS) -> tuple[dict[str, str], str]:
    shown = StringIO()
    return asked(options, Questions(StringIO(text), shown)), shown.getvalue()


def test_enter_takes_the_defaults() -> None:
    found, shown = answers("\n" * len(OPTIONS))
    assert found == {option.name: option.default for option in OPTIONS}
    for option in OPTIONS:
        assert f"{option.name} [{option.default}]: " in shown
        assert all(words in shown for words in option.values.values())


def test_a_wrong_answer_is_told_what_is_allowed_and_asked_again() -> None:
    found, shown = answers("biplane\n mid \n", (WING,))
    assert found["wing"] == "mid"
    assert "allowed: low, mid, shoulder, pylon, parasol" in shown
    assert shown.count("wing [pylon]: ") == 2


def test_several_at_once() -> None:
    assert answers("sheet, foam\n", (SHOPS,))[0] == {"shops": "sheet, foam"}


@pytest.mark.parametrize("text", ["", "tailw"])
def test_an_end_of_input_is_no_answer(text) -> None:
    with pytest.raises(ParameterError, match="nothing was written") as caught:
        answers(text, (GEAR,))
    assert caught.value.exit_code == 2
