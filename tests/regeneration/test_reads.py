"""A view hands on what the records hold, and whatever was read decides on the fingerprint."""

import pytest
from hypothesis import given, settings
from strategies import read_paths

from geomgen.regeneration.reads import Reads, text_at, viewed


def test_a_view_answers_as_the_records_do(saltmarsh) -> None:
    reads = Reads()
    view = viewed(saltmarsh, reads)
    assert view.pod.wall == saltmarsh.pod.wall
    assert [s.station for s in view.pod.stations] == [s.station for s in saltmarsh.pod.stations]
    assert view.pod.stations[-1].crown == saltmarsh.pod.stations[-1].crown
    assert [s.chord for s in view.wing.sections[1:]] == [1200.0, 900.0]
    assert view.aerofoils["file:curlew.dat"] == saltmarsh.aerofoils["file:curlew.dat"]
    assert len(view.scoops) == 1
    assert bool(view.gear)
    assert view.drawings.stations == saltmarsh.drawings.stations


def test_what_was_read_is_noted_and_nothing_else(saltmarsh) -> None:
    reads = Reads()
    view = viewed(saltmarsh, reads)
    assert view.exit.tail_fairing.bore == 50.0
    assert reads.seen == {
        ("?",): "Parameters",
        ("exit", "?"): "Exit",
        ("exit", "tail_fairing", "?"): "TailFairing",
        ("exit", "tail_fairing", "bore"): "50.0",
    }


def test_what_is_not_there_is_noted_too(saltmarsh) -> None:
    """A table that comes in later must count as a change."""
    bare = saltmarsh.model_copy(update={"spinner": None})
    reads = Reads()
    assert viewed(bare, reads).spinner is None
    (path,) = [path for path in reads.paths() if path == ("spinner",)]
    assert reads.seen[path] == text_at(bare, path) == "None"
    assert text_at(saltmarsh, path) != "None"


def test_a_row_more_or_less_is_noted(saltmarsh) -> None:
    reads = Reads()
    list(viewed(saltmarsh, reads).booms.stations)
    shorter = saltmarsh.booms.model_copy(update={"stations": saltmarsh.booms.stations[:-1]})
    other = saltmarsh.model_copy(update={"booms": shorter})
    changed = [path for path in reads.paths() if text_at(other, path) != reads.seen[path]]
    assert ("booms", "stations", "#") in changed


def test_a_method_can_not_be_read_through_a_view(saltmarsh) -> None:
    """What it reads would not be noted."""
    with pytest.raises(AttributeError, match="plain"):
        viewed(saltmarsh, Reads()).plain()


@given(read_paths())
@settings(deadline=None)
def test_any_read_is_found_again_under_its_path(saltmarsh, path) -> None:
    """The text noted while reading is the text that is looked up before reading."""
    reads = Reads()
    at = viewed(saltmarsh, reads)
    for key in path:
        at = getattr(at, key) if isinstance(key, str) else at[key]
    assert reads.seen
    assert {key: text_at(saltmarsh, key) for key in reads.seen} == reads.seen
