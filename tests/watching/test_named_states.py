"""States of a file under names: plain files beside it, whose names are the same everywhere."""

import pytest

from geomgen.errors import ParameterError
from geomgen.watching.named_states import NamedStates


def test_states_are_files_beside_the_file_the_newest_last(tmp_path):
    states = NamedStates(tmp_path / "mine.toml")
    assert states.names() == []
    states.keep("b", b"1")
    states.keep("a 2.0", b"2")
    assert states.body("b") == b"1"
    assert (tmp_path / "mine.states" / "a 2.0.toml").read_bytes() == b"2"
    assert sorted(NamedStates(tmp_path / "mine.toml").names()) == ["a 2.0", "b"]


def test_a_name_that_is_taken_stays_what_it_was(tmp_path):
    states = NamedStates(tmp_path / "mine.toml")
    states.keep("nose", b"1")
    # Some systems hold both for the same name.
    for name in ("nose", "Nose"):
        with pytest.raises(ParameterError, match="already"):
            states.keep(name, b"2")
    assert states.body("nose") == b"1"


@pytest.mark.parametrize("name", ["", "..", "../mine", "a/b", "a\\b", " a", "a.", "a" * 41, "né"])
def test_what_could_lie_elsewhere_is_no_name(tmp_path, name):
    states = NamedStates(tmp_path / "mine.toml")
    for ask in (lambda: states.keep(name, b"1"), lambda: states.body(name)):
        with pytest.raises(ParameterError, match="not a name"):
            ask()
    assert list(tmp_path.iterdir()) == []


def test_a_state_that_is_not_there(tmp_path):
    with pytest.raises(ParameterError, match="there is no state b"):
        NamedStates(tmp_path / "mine.toml").body("b")
