"""A journal after kills: what a file system leaves of an append (a torn last line)."""

import json
import os

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geomgen.errors import FileWriteError
from geomgen.studies.journal import journal, key_of_variant
from geomgen.studies.row import VariantOutcome


def outcome(status="built", words=""):
    return VariantOutcome(status, message=words, seconds=1.5)


def test_what_was_written_is_known_the_next_time(tmp_path):
    path = tmp_path / "deeper" / "study.jsonl"
    with journal(path) as book:
        book.add("a", outcome())
        book.add("b", outcome("not built", "the walls meet"))
    with journal(path) as book:
        assert book.known == {"a": outcome(), "b": outcome("not built", "the walls meet")}


@settings(max_examples=40)
@given(cut=st.integers(0, 400))
def test_a_torn_end_is_ignored_and_written_over(tmp_path_factory, cut):
    path = tmp_path_factory.mktemp("torn") / "study.jsonl"
    with journal(path) as book:
        for key in "abc":
            book.add(key, outcome(words="ü <&> \n two lines"))
    whole = path.read_bytes()
    cut = min(cut, len(whole))
    path.write_bytes(whole[:cut])
    lines = whole[:cut].count(b"\n")
    with journal(path) as book:
        assert list(book.known) == list("abc")[:lines]
        book.add("z", outcome())
    with journal(path) as book:
        assert list(book.known) == [*list("abc")[:lines], "z"]
    assert all(json.loads(line) for line in path.read_bytes().splitlines())


@pytest.mark.parametrize("line", [b"{}\n", b"nonsense\n", b"[1]\n", b"\xff\xfe\n", b'{"key":1}\n'])
def test_strange_lines_count_as_not_there(tmp_path, line):
    path = tmp_path / "study.jsonl"
    path.write_bytes(line)
    with journal(path) as book:
        assert book.known == {}


def test_what_may_end_otherwise_is_done_again(tmp_path):
    path = tmp_path / "study.jsonl"
    with journal(path) as book:
        for status in ("timed out", "crashed", "fault"):
            book.add(status, outcome(status))
    with journal(path) as book:
        assert book.known == {}


def test_two_runs_do_not_share_a_journal(tmp_path):
    path = tmp_path / "study.jsonl"
    with journal(path), pytest.raises(FileWriteError, match="another run"), journal(path):
        pass
    with journal(path):
        pass


def test_no_folder_no_journal(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(FileWriteError) as refused, journal(tmp_path / "file" / "study.jsonl"):
        pass
    assert refused.value.exit_code == 4


def test_a_full_disk_is_told(tmp_path, monkeypatch):
    with journal(tmp_path / "study.jsonl") as book:
        monkeypatch.setattr(os, "write", lambda *_: (_ for _ in ()).throw(OSError(28, "no space")))
        with pytest.raises(FileWriteError, match="no space"):
            book.add("a", outcome())


def test_the_key_depends_on_all_that_decides():
    keys = {
        key_of_variant("ab", {"geomgen": "1", "numpy": "2"}),
        key_of_variant("ac", {"geomgen": "1", "numpy": "2"}),
        key_of_variant("ab", {"geomgen": "1", "numpy": "3"}),
        key_of_variant("ab", {"geomgen": "1"}),
    }
    assert len(keys) == 4
