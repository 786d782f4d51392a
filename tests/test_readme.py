"""The README: short, its commands are those that there are, and what it names is there."""

import re
import shlex
from pathlib import Path

import pytest
from command_lines import command_lines

from geomgen.cli import COMMANDS, parser

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
MOST_WORDS = 1500
BLOCKS = re.findall(r"^```(?:sh|python|toml)?\n(.*?)^```", README, re.M | re.S)
ROWS = re.findall(r"^\| `geomgen ([^`]+)` \|", README, re.M)
IN_BLOCKS = [words for block in BLOCKS for words in command_lines(block)]
IN_TABLE = [shlex.split(row.replace("[", "").replace("]", "")) for row in ROWS]


def test_it_is_short() -> None:
    assert len(README.split()) < MOST_WORDS


def test_command_lines_are_found() -> None:
    assert command_lines(
        "$ geomgen size a.toml && .venv/bin/geomgen check \\\n  'b c.toml'  # so"
    ) == [
        *(["size", "a.toml"], ["check", "b c.toml"]),
    ]
    assert command_lines("pip install geomgenius && ls") == []
    assert {words[0] for words in IN_BLOCKS} >= {"build", "check", "new"}


@pytest.mark.parametrize("words", IN_BLOCKS + IN_TABLE, ids=" ".join)
def test_each_command_line_parses(words) -> None:
    given = parser().parse_args(words)
    assert given.command == words[0]


@pytest.mark.parametrize("words", [["chek", "a.toml"], ["check", "a.toml", "--sett", "a=1"]])
def test_a_wrong_one_does_not(words, capsys) -> None:
    with pytest.raises(SystemExit) as left:
        parser().parse_args(words)
    assert left.value.code == 2
    assert capsys.readouterr().err


def test_the_table_names_every_command_and_no_other() -> None:
    names = [command.__name__.rpartition(".")[2] for command in COMMANDS]
    assert sorted(words[0] for words in IN_TABLE) == sorted(names)


def test_what_it_shows_and_links_to_is_there() -> None:
    named = re.findall(r"\]\(([^)]+)\)", README)
    assert len(named) >= 5
    assert [name for name in named if not (ROOT / name).is_file()] == []
