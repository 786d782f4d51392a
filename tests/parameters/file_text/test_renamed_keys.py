"""Keys that had another name are refused with the new one, in a file and on the command line."""

import re
from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.file_text.renamed_keys import RENAMED, new_name
from geomgen.parameters.reading.refusal import keys_at

CONFIGS = Path(__file__).parents[3] / "configs"


@pytest.mark.parametrize("old", RENAMED)
def test_the_new_name_is_a_key_and_the_old_one_is_none(old):
    known = keys_at(old[:-1])
    assert RENAMED[old] in known
    assert old[-1] not in known


def old_files():
    """Yield saltmarsh with one key in its former name, the key and its line."""
    text = (CONFIGS / "saltmarsh.toml").read_text()
    for old, new in RENAMED.items():
        for hit in re.finditer(rf"^{new} = ", text, re.MULTILINE):
            table = re.findall(r"^\[+([a-z_.]+)\]", text[: hit.start()], re.MULTILINE)[-1]
            if table == ".".join(old[:-1]):
                wrong = f"{text[: hit.start()]}{old[-1]} = {text[hit.end() :]}"
                line = text[: hit.start()].count("\n") + 1
                yield pytest.param(wrong, old, new, line, id=".".join(old))
                break


FILES = list(old_files())


def test_most_of_them_stand_in_the_example():
    assert len(FILES) >= 12


@pytest.mark.parametrize(("text", "old", "new", "line"), FILES)
def test_an_old_file_is_told_key_line_and_new_name(text, old, new, line, tmp_path):
    (tmp_path / "old.toml").write_text(text)
    with pytest.raises(ParameterError) as caught:
        load(tmp_path / "old.toml")
    told = str(caught.value)
    assert "this key has another name now" in told
    assert f"write {new}" in told
    assert f"old.toml:{line}" in told or f"line {line}" in told
    assert old[-1] in told


def test_an_override_is_told_too():
    with pytest.raises(ParameterError, match="write clock_angle"):
        load(CONFIGS / "saltmarsh.toml", ["scoops.cheek.around=12 deg"])


@pytest.mark.parametrize("path", [("pod", "wall"), ("around",), ("scoops", 0, "width"), ("exit",)])
def test_other_keys_never_had_another_name(path):
    assert new_name(path) is None


def test_each_former_key_is_told_once(tmp_path):
    text = (CONFIGS / "saltmarsh.toml").read_text().replace("\naerofoil = ", "\nairfoil = ")
    (tmp_path / "old.toml").write_text(text)
    with pytest.raises(ParameterError) as caught:
        load(tmp_path / "old.toml")
    told = str(caught.value)
    assert told.count("this key has another name now") == text.count("\nairfoil = ")
    assert "missing" not in told
