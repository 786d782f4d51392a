"""Changes made in the page, held against the file as another reader (tomllib) sees it."""

import os
import tomllib

import pytest
from watched_aircraft import aircraft, edit

from geomgen.errors import FileWriteError, ParameterError
from geomgen.parameters import fingerprint, load
from geomgen.watching import writing as module
from geomgen.watching.file_editor import ParameterFileEditor


@pytest.fixture
def file(tmp_path):
    return aircraft(tmp_path)


def left(file):
    """Return what lies in the folder beside the file and its aerofoil."""
    return sorted(path.name for path in file.parent.iterdir())


def test_a_change_is_written_and_taken_back_byte_for_byte(file):
    editor, before, told = ParameterFileEditor(file), file.read_bytes(), []
    editor._changed = lambda: told.append(editor.last)
    os.chmod(file, 0o640)
    assert editor.change("pod.wall", 5)["written"] == "5 mm"
    assert tomllib.loads(file.read_text("utf-8"))["pod"]["wall"] == "5 mm"
    assert file.stat().st_mode & 0o777 == 0o640
    assert file.read_bytes() == before.replace(b'wall = "4 mm"', b'wall = "5 mm"')
    editor.change("scoops.0.height", 57.5)
    editor.undo()
    editor.undo()
    assert file.read_bytes() == before
    wall, height = "pod.wall: 4 mm → 5 mm", "scoops.0.height: 56 mm → 57.5 mm"
    assert told == [wall, height, wall, ""]
    with pytest.raises(ParameterError, match="nothing was changed"):
        editor.undo()
    assert left(file) == ["curlew.dat", "mine.toml"]


@pytest.mark.parametrize(
    ("key", "given", "words"),
    [
        ("pod.wall", 1000, "out of range"),
        ("pod.wall", True, "not a value for this field"),
        ("pod.wall", "1,5", "not a number"),
        ("pod.wall", "5 kg", "unit of a mass"),
        ("pod.wal", 5, "no such field"),
        ("__class__", 5, "no such field"),
        # Each by itself is within its limits: only the whole file tells.
        ("pod.stations.3.station", 5000, "stations"),
        ("scoops.0.lip_radius", 2.9, "lip_radius"),
    ],
)
def test_what_is_refused_is_not_written(file, key, given, words):
    before = file.read_bytes()
    with pytest.raises(ParameterError, match=words) as caught:
        ParameterFileEditor(file).change(key, given)
    assert file.read_bytes() == before
    assert left(file) == ["curlew.dat", "mine.toml"]
    told = str(caught.value)
    assert ".toml" not in told.replace("mine.toml", "")


def test_the_file_as_saved_in_the_meantime_is_kept(file, monkeypatch):
    """Somebody saves while the change is being checked: both changes are in the file."""
    saves = iter([lambda: edit(file, '"180 mm"', '"190 mm"')])

    def load_slowly(path, overrides):
        next(saves, lambda: None)()
        return load(path, overrides)

    monkeypatch.setattr(module, "load", load_slowly)
    ParameterFileEditor(file).change("pod.wall", 5)
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("5 mm", "190 mm")


def test_a_save_while_a_change_is_taken_back_is_kept(file, monkeypatch):
    """The change is taken back all the same, and only then forgotten."""
    editor = ParameterFileEditor(file)
    editor.change("rules.axial_clearance", 14)
    editor.change("pod.wall", 5)
    saves = iter([lambda: edit(file, '"180 mm"', '"190 mm"')])

    def load_slowly(path, overrides):
        next(saves, lambda: None)()
        return load(path, overrides)

    monkeypatch.setattr(module, "load", load_slowly)
    assert editor.undo()["undo"].startswith("rules.axial_clearance")
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("4 mm", "190 mm")


def test_a_file_that_never_rests_is_left_alone(file, monkeypatch):
    lengths = iter(range(181, 200))

    def load_slowly(path, overrides):
        length = next(lengths)
        edit(file, f'"{length - 1} mm"', f'"{length} mm"')
        return load(path, overrides)

    monkeypatch.setattr(module, "load", load_slowly)
    edit(file, 'length = "180 mm"', 'length = "180 mm" # rests not')
    with pytest.raises(FileWriteError, match="keeps changing"):
        ParameterFileEditor(file).change("pod.wall", 5)
    assert tomllib.loads(file.read_text("utf-8"))["pod"]["wall"] == "4 mm"


def test_undo_keeps_what_was_edited_since(file):
    editor = ParameterFileEditor(file)
    editor.change("pod.wall", 5)
    editor.change("rules.axial_clearance", 14)
    edit(file, '"180 mm"', '"190 mm"')
    editor.undo()
    editor.undo()
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("4 mm", "190 mm")


def test_what_was_left_out_is_left_out_again(file):
    """A default, written down, would have lost its source."""
    editor = ParameterFileEditor(file)
    before = load(file)
    editor.change("rules.axial_clearance", 14)
    edit(file, "# thickness of", "# width of")
    editor.undo()
    assert "axial_clearance" not in tomllib.loads(file.read_text("utf-8"))["rules"]
    assert fingerprint(load(file)) == fingerprint(before)


@pytest.mark.parametrize("key", ["pod.wall", "scoops.0.height", "rules.exit_to_inlet"])
def test_what_a_base_file_says_counts_again(tmp_path, key):
    aircraft(tmp_path, "base.toml")
    file = tmp_path / "mine.toml"
    file.write_text('extends = "base.toml"\nname = "mine"\n', encoding="utf-8")
    before, editor = load(file), ParameterFileEditor(file)
    field = next(field for field in editor.fields() if field.key == key)
    editor.change(key, field.number * 1.01)
    assert fingerprint(load(file)) != fingerprint(before)
    edit(file, 'name = "mine"', '# edited since\nname = "mine"')
    editor.undo()
    assert fingerprint(load(file)) == fingerprint(before)
    held = tomllib.loads(file.read_text("utf-8"))
    # A list that was copied for the change stays: it may have been edited since.
    assert held.get(field.table, {}) == {}
    assert ("scoops" in held) == key.startswith("scoops")


def test_a_base_file_is_never_written(tmp_path):
    base = aircraft(tmp_path, "base.toml")
    file = tmp_path / "mine.toml"
    file.write_text('extends = "base.toml"\nname = "mine"\n', encoding="utf-8")
    before = base.read_bytes()
    ParameterFileEditor(file).change("scoops.0.height", 57)
    assert base.read_bytes() == before
    assert load(file).scoops[0].height == 57.0
    assert load(file).scoops[0].width == load(base).scoops[0].width


def test_what_the_command_line_set_cannot_be_changed(file):
    with pytest.raises(ParameterError, match="command line"):
        ParameterFileEditor(file, ["pod.wall=5 mm"]).change("pod.wall", 6)


def test_a_link_stays_a_link(file, tmp_path):
    real = tmp_path / "real.toml"
    file.rename(real)
    file.symlink_to(real)
    ParameterFileEditor(file).change("pod.wall", 5)
    assert file.is_symlink()
    assert tomllib.loads(real.read_text("utf-8"))["pod"]["wall"] == "5 mm"


@pytest.mark.parametrize("exchanged", [True, False])
def test_what_a_link_points_to_is_replaced_where_it_lies(file, tmp_path, monkeypatch, exchanged):
    """A file can't be moved from one disk to another in one step."""
    away = tmp_path / "away"
    away.mkdir()
    file.rename(away / "real.toml")
    file.symlink_to(away / "real.toml")
    owner, name = (module, "swapped") if exchanged else (module.os, "replace")
    put, folders = getattr(owner, name), []

    def seen(source, target):
        folders.append((os.path.dirname(source), os.path.dirname(target)))
        return put(source, target)

    if not exchanged:
        monkeypatch.setattr(module, "swapped", lambda *_: False)
    monkeypatch.setattr(owner, name, seen)
    ParameterFileEditor(file).change("pod.wall", 5)
    assert folders == [(str(away), str(away))]
    assert load(file).pod.wall == 5.0
    assert [path.name for path in away.iterdir()] == ["real.toml"]


def test_a_read_only_file_is_not_replaced(file, monkeypatch):
    before = file.read_bytes()
    monkeypatch.setattr(module.os, "access", lambda *_: False)
    with pytest.raises(FileWriteError, match="read-only"):
        ParameterFileEditor(file).change("pod.wall", 5)
    assert file.read_bytes() == before
    assert left(file) == ["curlew.dat", "mine.toml"]


def test_a_mark_before_the_text_and_line_ends_stay(file):
    raw = b"\xef\xbb\xbf" + file.read_bytes().replace(b"\n", b"\r\n")
    file.write_bytes(raw)
    ParameterFileEditor(file).change("pod.wall", 5)
    assert file.read_bytes() == raw.replace(b'wall = "4 mm"', b'wall = "5 mm"')


def test_the_disk_refuses(file, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    before = file.read_bytes()
    monkeypatch.setattr(module, "swapped", lambda *_: False)
    monkeypatch.setattr(module.os, "replace", full)
    with pytest.raises(FileWriteError, match="disk is full"):
        ParameterFileEditor(file).change("pod.wall", 5)
    assert file.read_bytes() == before
    assert left(file) == ["curlew.dat", "mine.toml"]


@pytest.mark.parametrize(
    ("key", "given", "held"),
    [
        ("pod.wall", "3/16 in", "3/16 in"),
        ("pod.wall", "5", "5 mm"),
        ("firewall.station", "5' 11\"", "5' 11\""),
        ("engine.fan_face.station", "firewall + 395 mm", "firewall + 395 mm"),
    ],
)
def test_what_was_typed_is_written_as_it_was_shown(file, key, given, held):
    editor, before = ParameterFileEditor(file), file.read_bytes()
    shown = editor.preview(key, given)
    assert file.read_bytes() == before
    assert shown["written"] == held
    done = editor.change(key, given)
    assert (done["written"], done["reads"], done["changed"]) == (held, shown["reads"], True)
    at = tomllib.loads(file.read_text("utf-8"))
    for part in key.split("."):
        at = at[part]
    assert at == held
    editor.undo()
    assert file.read_bytes() == before


def test_a_speed_in_inches_is_refused_and_never_becomes_knots(file):
    before = file.read_bytes()
    with pytest.raises(ParameterError, match="'in' is a unit of a length, not a speed"):
        ParameterFileEditor(file).change("flight.climb_speed", "5 in")
    assert file.read_bytes() == before


def test_a_quick_change_back_is_written(file):
    editor, before = ParameterFileEditor(file), file.read_bytes()
    editor.change("pod.wall", "5 mm")
    assert editor.change("pod.wall", "4 mm")["changed"]
    assert file.read_bytes() == before
    assert not editor.change("pod.wall", "4 mm")["changed"]


def test_one_sitting_is_one_step_back(file):
    editor, before = ParameterFileEditor(file), file.read_bytes()
    for i in range(6):
        editor.change("pod.wall", f"{4.5 + i / 2:.3g} mm", "first")
    assert editor.last == "pod.wall: 4 mm → 7 mm"
    editor.change("pod.wall", "6 mm", "second")
    assert editor.undo()["undo"] == "pod.wall: 4 mm → 7 mm"
    assert editor.undo()["undo"] == ""
    assert file.read_bytes() == before
    # There and back in one sitting: nothing to take back.
    editor.change("pod.wall", "6 mm", "third")
    editor.change("pod.wall", "4 mm", "third")
    assert editor.last == ""


def test_a_save_within_a_sitting_parts_it_in_two(file):
    editor = ParameterFileEditor(file)
    editor.change("pod.wall", "5 mm", "one")
    edit(file, '"180 mm"', '"190 mm"')
    editor.change("pod.wall", "6 mm", "one")
    assert editor.undo()["elsewhere"] is False
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("5 mm", "190 mm")
    # Now there is a foreign save since the step: only its own key is put back.
    assert editor.undo()["elsewhere"] is True
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("4 mm", "190 mm")


@pytest.mark.parametrize("new", ['wall = "6 mm"', 'wall = "0.2 in"', "# no wall"])
def test_undo_refuses_where_its_own_key_was_edited_since(file, new):
    editor, told = ParameterFileEditor(file), []
    editor.change("rules.axial_clearance", 14)
    editor.change("pod.wall", "5 mm")
    editor._changed = lambda: told.append(editor.last)
    edit(file, 'wall = "5 mm"', new)
    edited = file.read_bytes()
    if new.startswith("#"):
        edit(file, '"180 mm"', '"190 mm"')
        edited = file.read_bytes()
    with pytest.raises(ParameterError, match="changed in the file itself since") as caught:
        editor.undo()
    assert "write it into the field" in str(caught.value)
    assert file.read_bytes() == edited
    # The step is gone, the one before is left.
    assert told[-1].startswith("rules.axial_clearance")


def test_undo_refuses_where_another_item_has_come_to_its_place(file):
    editor = ParameterFileEditor(file)
    editor.change("pod.stations.4.keel", "-402 mm")
    text = file.read_text("utf-8")
    head, *rows = text.split("[[pod.stations]]")
    del rows[1]
    file.write_text("[[pod.stations]]".join([head, *rows]), encoding="utf-8")
    edited = file.read_bytes()
    with pytest.raises(ParameterError, match="changed in the file itself since"):
        editor.undo()
    assert file.read_bytes() == edited


def test_into_a_refused_file_nothing_is_written_and_the_words_say_why(file):
    edit(file, 'nose = "round"', 'nose = "pointed"')
    before = file.read_bytes()
    for ask in (ParameterFileEditor(file).change, ParameterFileEditor(file).preview):
        with pytest.raises(ParameterError, match="the file as saved is refused") as caught:
            ask("pod.wall", "5 mm")
        assert caught.value.key == "pod.wall"
    assert file.read_bytes() == before


def test_changes_are_taken_back_and_made_again_in_any_number(file):
    editor, states = ParameterFileEditor(file), [file.read_bytes()]
    for wall in range(5, 10):
        editor.change("pod.wall", wall)
        states.append(file.read_bytes())
    for state in reversed(states[:-1]):
        editor.undo()
        assert file.read_bytes() == state
    assert (editor.history["undo_depth"], editor.history["redo_depth"]) == (0, 5)
    assert editor.history["redo"] == "pod.wall: 4 mm → 5 mm"
    for state in states[1:]:
        editor.redo()
        assert file.read_bytes() == state
    with pytest.raises(ParameterError, match="nothing was taken back"):
        editor.redo()
    editor.undo()
    editor.change("spinner.length", "190 mm")
    assert editor.history["redo"] == ""


def test_what_is_made_again_leaves_what_an_editor_saved(file):
    editor = ParameterFileEditor(file)
    editor.change("pod.wall", 5)
    editor.undo()
    edit(file, '"180 mm"', '"190 mm"')
    assert editor.redo()["elsewhere"] is True
    held = tomllib.loads(file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("5 mm", "190 mm")
    editor.undo()
    edit(file, 'wall = "4 mm"', 'wall = "6 mm"')
    with pytest.raises(ParameterError, match="changed in the file itself since"):
        editor.redo()
    assert tomllib.loads(file.read_text("utf-8"))["pod"]["wall"] == "6 mm"
    assert editor.history["redo"] == ""


def test_a_state_with_a_name_is_come_back_to_and_that_is_taken_back(file):
    editor, before = ParameterFileEditor(file), file.read_bytes()
    editor.keep("thin wall")
    editor.change("pod.wall", 5)
    changed = file.read_bytes()
    assert editor.come_back("thin wall")["changed"] is True
    assert file.read_bytes() == before
    assert editor.last == "back to the state thin wall"
    assert editor.come_back("thin wall")["changed"] is False
    editor.undo()
    assert file.read_bytes() == changed
    editor.redo()
    assert file.read_bytes() == before
    edit(file, '"180 mm"', '"190 mm"')
    # A whole file can't be put back over what somebody saved since.
    with pytest.raises(ParameterError, match="the file was changed since"):
        editor.undo()
    assert left(file) == ["curlew.dat", "mine.states", "mine.toml"]
    assert ParameterFileEditor(file).history["states"] == ["thin wall"]


def test_a_state_that_would_be_refused_is_not_come_back_to(file):
    editor = ParameterFileEditor(file)
    editor.keep("first")
    kept = file.parent / "mine.states" / "first.toml"
    edit(kept, 'nose = "round"', 'nose = "pointed"')
    before = file.read_bytes()
    with pytest.raises(ParameterError, match="nose"):
        editor.come_back("first")
    assert file.read_bytes() == before
