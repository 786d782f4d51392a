"""The steps that can be taken back, on plain texts; `test_watching_edits` has them with files."""

import tomllib

import pytest

from geomgen.watching.undo import (
    KEPT,
    ElsewhereError,
    UndoStep,
    UndoSteps,
    hash_of,
    item_at,
    taken_back,
)


def text(wall):
    return f'[pod]\nwall = "{wall} mm"\n'.encode()


def step(former, new, sitting="", key="pod.wall"):
    after = hash_of(text(new))
    return UndoStep(
        key, text(former), after, f"{former} mm", f"{former} mm", f"{new} mm", None, sitting
    )


def test_a_sitting_is_one_step_and_goes_where_it_ends_as_it_began():
    steps = UndoSteps()
    for former, new in ((4, 5), (5, 6), (6, 7)):
        steps.add(step(former, new, "a"))
    assert steps.last.words == "pod.wall: 4 mm → 7 mm"
    assert (steps.last.before, steps.last.after) == (text(4), hash_of(text(7)))
    steps.add(step(7, 4, "a"))
    assert steps.last is None


@pytest.mark.parametrize(
    "second", [step(5, 6), step(5, 6, "b"), step(5, 6, "a", "pod.skin"), step(9, 6, "a")]
)
def test_another_sitting_field_or_file_is_a_step_of_its_own(second):
    """The last one begins at a file that the first did not leave: somebody saved in between."""
    steps = UndoSteps()
    steps.add(step(4, 5, "a"))
    steps.add(second)
    steps.drop()
    assert steps.last == step(4, 5, "a")


def test_only_so_many_are_kept():
    steps = UndoSteps()
    for i in range(KEPT + 5):
        steps.add(step(i + 1, i + 2))
    for _ in range(KEPT):
        steps.drop()
    assert steps.last is None


def test_only_its_own_key_is_put_back():
    made = taken_back(step(4, 5))('[pod]\nwall = "5 mm" # mine\nnose = "flat"\n', {"inherited": {}})
    assert made == '[pod]\nwall = "4 mm" # mine\nnose = "flat"\n'


@pytest.mark.parametrize("now", ['wall = "6 mm"', 'wall = "5.0 mm"', "wall = 5", ""])
def test_what_was_edited_elsewhere_is_not_put_back(now):
    with pytest.raises(ElsewhereError, match="undo would lose that"):
        taken_back(step(4, 5))(f"[pod]\n{now}\n", {"inherited": {}, "file": "mine.toml"})


def test_an_item_is_told_by_its_name_or_by_what_else_is_in_it():
    tables = tomllib.loads(
        '[[scoops]]\nname = "cheek"\nwidth = "4 in"\n'
        '[[pod.stations]]\nstation = "1 m"\nkeel = "2 m"\n[[pod.stations]]\nkeel = "3 m"\n'
    )
    assert item_at(tables, "scoops.0.width") == "cheek"
    assert item_at(tables, "pod.stations.0.keel") == {"station": "1 m"}
    assert item_at(tables, "pod.wall") is None
