"""New files on the disk: what is written, what is refused, and that nothing is left behind."""

from pathlib import Path

import pytest

from geomgen.errors import FileWriteError, ParameterError
from geomgen.files import disk
from geomgen.parameters import load
from geomgen.starting.fresh_text import fresh_text
from geomgen.workflows.building import new
from geomgen.workflows.building.new import begin, begin_from, names_for, place_for


def test_a_file_as_chosen(tmp_path) -> None:
    place = tmp_path / "bird.toml"
    begun = begin(place, {"wing": "mid", "shops": "none"}, "bird", "A bird")
    p = load(place)
    assert (p.name, p.title, p.handoff) == ("bird", "A bird", None)
    assert begun.file == place
    assert begun.chosen["wing"] == "mid"
    assert begun.chosen["gear"] == "tricycle"
    assert [path.name for path in tmp_path.iterdir()] == ["bird.toml"]


def test_a_refused_choice_leaves_nothing(tmp_path) -> None:
    with pytest.raises(ParameterError, match="low, mid, shoulder, pylon, parasol"):
        begin(tmp_path / "a.toml", {"wing": "high"}, "a", "A")
    assert list(tmp_path.iterdir()) == []


def test_places_that_will_not_do(tmp_path) -> None:
    (tmp_path / "a.toml").write_text("mine")
    (tmp_path / "b.toml").mkdir()
    (tmp_path / "c.toml").symlink_to(tmp_path / "nowhere")
    for name, word in (
        ("a.toml", "--replace"),
        ("b.toml", "a folder of that name"),
        ("c.toml", "it is there already"),
        ("none/d.toml", "no such folder"),
        ("a.toml/e.toml", "a.toml is a file, no folder"),
    ):
        with pytest.raises(FileWriteError, match=word):
            place_for(str(tmp_path / name), replace=False)
    assert place_for(str(tmp_path / "a.toml"), replace=True) == tmp_path / "a.toml"


def test_a_file_that_came_meanwhile_stays(tmp_path) -> None:
    place = place_for(str(tmp_path / "a.toml"), replace=False)
    place.write_text("mine")
    with pytest.raises(FileWriteError, match="it is there already"):
        begin(place, {}, "a", "A")
    assert place.read_text() == "mine"


def test_names_come_from_the_file_s_own(tmp_path) -> None:
    assert names_for(tmp_path / "My Bird.toml", None, None) == (
        "my-bird",
        "My bird twin-boom pusher",
    )
    assert names_for(Path("x.toml"), "bird_2", "Two") == ("bird_2", "Two")
    for name, title, option in (("Bird", None, "--name"), (None, "a\nb", "--title")):
        with pytest.raises(ParameterError, match=option):
            names_for(Path("x.toml"), name, title)


def test_a_copy_of_an_example_has_what_it_reads_beside_it(tmp_path) -> None:
    begun = begin_from(tmp_path / "mine.toml", "saltmarsh", "mine", None)
    assert [path.name for path in begun.beside] == ["curlew.dat"]
    p = load(tmp_path / "mine.toml")
    assert p.name == "mine"
    assert p.title == "Saltmarsh shore-bird counter"
    assert "file:curlew.dat" in p.aerofoils
    begin_from(tmp_path / "second.toml", "tight", "second", "Second")
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        *("curlew.dat", "mine.toml", "saltmarsh.toml", "second.toml"),
    ]


def test_another_file_that_the_copy_would_need_stays(tmp_path) -> None:
    (tmp_path / "saltmarsh.toml").write_text("mine")
    with pytest.raises(FileWriteError, match="another file of that name"):
        begin_from(tmp_path / "mine.toml", "tight", "mine", None, replace=True)
    assert [path.name for path in tmp_path.iterdir()] == ["saltmarsh.toml"]
    assert (tmp_path / "saltmarsh.toml").read_text() == "mine"


def test_a_copy_must_not_stand_where_what_it_reads_does(tmp_path) -> None:
    with pytest.raises(FileWriteError, match="reads a file of that name"):
        begin_from(tmp_path / "saltmarsh.toml", "tight", "mine", None)
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_left_of_a_copy_that_fails(tmp_path, monkeypatch) -> None:
    whole = disk.write_bytes

    def full(path: Path, data: bytes, told: Path | None = None) -> None:
        if "mine" in path.name:
            raise FileWriteError("the disk is full", path=path)
        whole(path, data, told)

    monkeypatch.setattr(disk, "write_bytes", full)
    with pytest.raises(FileWriteError, match="full"):
        begin_from(tmp_path / "mine.toml", "saltmarsh", "mine", None)
    assert list(tmp_path.iterdir()) == []


def test_a_text_that_would_not_load_never_replaces_a_file(tmp_path, monkeypatch) -> None:
    place = tmp_path / "a.toml"
    begin(place, {}, "a", "A")
    kept = place.read_bytes()
    monkeypatch.setattr(new, "fresh_text", lambda choices: fresh_text(choices).replace("mm", "ft"))
    with pytest.raises(ParameterError):
        begin(place, {}, "a", "A", replace=True)
    assert place.read_bytes() == kept
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]
