"""Texts that would take for ever: refused at once, with the line."""

import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geomgen.errors import ParameterError
from geomgen.parameters import load, schema
from geomgen.parameters.file_text.nesting import DEEPEST, MOST_VALUES, check_nesting

CONFIGS = Path(__file__).parents[3] / "configs"
MANY = 100_000
HUGE = {
    "header": ("x = 1\n[" + ".".join(["a"] * MANY) + "]", "a key of more than", 2),
    "key": (".".join(["a"] * MANY) + " = 1", "a key of more than", 1),
    "quoted": ("\n\n" + " . ".join(['"a"'] * MANY) + " = 1", "a key of more than", 3),
    "inside": ("a = {" + ".".join(["a"] * MANY) + " = 1}", "a key of more than", 1),
    "lists": ("a = " + "[" * 400 + "]" * 400, "nested too deeply", 1),
    "tables": ("a = " + "{a = " * 400 + "1" + "}" * 400, "nested too deeply", 1),
    "open": ("a = " + "[" * MANY, "nested too deeply", 1),
    "items": ("a = [" + "1," * MANY + "]", "too many values", None),
    "rows": ("[[a]]\n" * MANY, "too many values", None),
    "keys": ("\n".join(f"k{i}=1" for i in range(MANY)), "too many values", None),
}


@pytest.mark.parametrize("case", HUGE)
def test_refused_at_once(tmp_path, case):
    text, words, line = HUGE[case]
    (tmp_path / "mine.toml").write_text(text)
    begun = time.process_time()
    with pytest.raises(ParameterError, match=words) as caught:
        load(tmp_path / "mine.toml")
    assert time.process_time() - begun < 5.0
    assert (caught.value.file, caught.value.line) == ("mine.toml", line)


SLOW = {
    "unknown keys": "\n".join(f"k{i} = 1" for i in range(MOST_VALUES)),
    "long title": 'title = "' + "x" * 900_000 + '"',
    "long value": '[pod]\nwall = "1' + " " * 900_000 + 'x"',
    "long place": '[firewall]\nstation = "a' + " - " * 300_000 + 'x"',
    "marks": 'a = "' + '\\"' * 450_000,
    "long marks": 'a = """' + 'x"' * 450_000,
    "digits": "[handoff.cores]\nticks = 0x" + "f" * 100_000,
    "blank": "\n" * 990_000,
    "folders": '[pylon]\nairfoil = "file:' + "a/" * 400_000 + 'x"',
}


@pytest.mark.parametrize("case", SLOW)
def test_what_is_long_is_answered(tmp_path, case):
    """Seconds, where minutes and hours would be a course that grows with the square."""
    (tmp_path / "mine.toml").write_text(SLOW[case])
    begun = time.process_time()
    with pytest.raises(ParameterError) as caught:
        load(tmp_path / "mine.toml")
    assert time.process_time() - begun < 15.0
    assert len(str(caught.value)) < 8000


def test_a_long_file_that_extends_a_long_file(tmp_path):
    many = MOST_VALUES - 10
    rows = "\n".join(f"k{i} = 1" for i in range(many))
    wrong = many + len(schema()["else"]["required"])
    (tmp_path / "base.toml").write_text(rows)
    (tmp_path / "mine.toml").write_text('extends = "base.toml"\n' + rows)
    begun = time.process_time()
    with pytest.raises(ParameterError, match=f"and {wrong - 25} more\n{wrong} things to put right"):
        load(tmp_path / "mine.toml")
    assert time.process_time() - begun < 15.0


@pytest.mark.parametrize("config", sorted(CONFIGS.glob("*.toml")), ids=lambda path: path.name)
def test_examples_are_far_from_it(config):
    text = config.read_text()
    check_nesting(text, config.name)
    assert text.count("=") < MOST_VALUES / 10


@pytest.mark.parametrize(
    "text",
    [
        'title = "' + "a." * 40 + '"',
        "# " + "a." * 40,
        "x = '''\n" + "a." * 40 + "\n[[[[[[[[[[[[[[[[[[[[[\n'''",
        "\n".join("a = 1.5" for _ in range(40)),
        "a = [" + ", ".join(["1.5"] * 40) + "]",
        ".".join("a" * DEEPEST) + " = 1",
        "a = " + "[" * DEEPEST + "]" * DEEPEST,
    ],
)
def test_what_is_not_deep_is_left_alone(text):
    check_nesting(text, "mine.toml")


@given(st.text("[]{}\".=,a1'\n #\\", max_size=60))
def test_what_a_reader_takes_and_is_shallow_passes(text):
    """Independent: the depth of what tomllib reads."""
    try:
        tables = tomllib.loads(text)
    except ValueError:
        return
    try:
        check_nesting(text, "mine.toml")
    except ParameterError:
        assert depth(tables) > DEEPEST


def depth(value):
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return 1 + max(map(depth, inner), default=0) if isinstance(value, dict | list) else 0
