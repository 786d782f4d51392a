"""Two states compared: made-up sets with known differences (closed forms), then the example."""

import json
import shutil

import pytest
from made_sets import CONFIG, made_set

from geomgen.errors import FileWriteError, ParameterError
from geomgen.files.manifest import verify
from geomgen.workflows.comparing import sides
from geomgen.workflows.comparing.compare import compare, write_comparison

KEYS = ("booms.buttock_line=790 mm", "revision=B")


@pytest.fixture(scope="module")
def sets(tmp_path_factory):
    """Return a former set and a new one: boom 10 mm out, wing 30 mm deeper, clearance too small."""
    out = tmp_path_factory.mktemp("sets")
    former = made_set(out / "a" / "saltmarsh", template=400.0, plug=120.0)
    new = made_set(
        out / "b" / "saltmarsh", KEYS, shift=10.0, chord=430.0, gap=20.0, template=430.0, plug=120.0
    )
    return former, new


@pytest.fixture(scope="module")
def result(sets):
    return compare(*sets)


def fates(result):
    return {row.name: row for row in result.cut}


def test_every_difference_is_told_and_no_other(result):
    assert [(c.key, c.former, c.new) for c in result.parameters] == [
        ("revision", "A", "B"),
        ("booms.buttock_line", "780 mm", "790 mm"),
    ]
    (figure,) = result.figures
    assert (figure.kind, figure.moved, figure.new.verdict) == ("turned", -130.0, "fail")
    parts = {part.part: part for part in result.parts}
    assert parts["boom_right"].kind == "moved"
    assert parts["boom_right"].distance == pytest.approx(10.0, abs=1e-3)
    assert parts["boom_right"].motion.shift == pytest.approx((0, 10.0, 0), abs=1e-3)
    assert parts["wing"].kind == "changed"
    assert parts["wing"].distance == pytest.approx(30.0, abs=1e-3)
    assert parts["wing"].volume == pytest.approx(30.0 * 4000.0 * 50.0)
    assert not result.findings
    assert not result.same


def test_files_are_right_or_wrong_by_what_they_hold(result):
    found = fates(result)
    assert found["wing_cores/core_root"].fate == "cut again"
    assert found["wing_cores/core_root"].moved == pytest.approx(30.0, abs=0.3)
    assert len(found["wing_cores/core_root"].files) == 2
    assert found["mould_maker/wing_plug"].fate == "right"
    assert found["wing"].fate == "cut again"
    assert found["boom_right"].fate == "moved"
    assert not result.inferred
    assert result.answer == (
        "2 parameters differ, 1 figure moved, 1 verdict turned to FAIL, 1 of 2 parts changed "
        "shape, 1 part only moved, 6 hand-off files are no longer right"
    )


def test_a_drawing_that_only_names_other_parameters_is_kept(sets, tmp_path):
    new = made_set(tmp_path / "saltmarsh", ["revision=C"], template=400.0, plug=120.0)
    found = compare(sets[0], new)
    assert fates(found)["wing_cores/core_root"].fate == "title only"
    assert not any(row.files for row in found.cut if row.fate != "title only")
    assert "no hand-off files are no longer right" in found.answer


def test_the_same_set_twice_is_the_same(sets):
    found = compare(sets[0], sets[0])
    assert found.same
    assert found.sheet is None
    assert found.answer.startswith("nothing differs")


def test_the_other_way_round_every_move_turns_its_sign(sets, result):
    back = compare(sets[1], sets[0], draw=False)
    assert back.figures[0].moved == -result.figures[0].moved
    assert [p.distance for p in back.parts] == [p.distance for p in result.parts]
    assert [p.volume for p in back.parts] == [-p.volume for p in result.parts]
    assert {r.name: r.fate for r in back.cut} == {r.name: r.fate for r in result.cut}


def test_with_one_side_not_handed_off_nothing_of_a_shop_is_called_right(sets, tmp_path):
    plain = made_set(tmp_path / "saltmarsh", KEYS, shift=10.0, chord=430.0)
    found = compare(sets[0], plain, draw=False)
    shops = [row for row in found.cut if row.shop]
    assert found.inferred
    assert {row.fate for row in shops} == {"in doubt"}
    assert not any(row.measured for row in shops)
    assert any("inferred" in note for note in found.notes)


def test_a_file_that_was_changed_on_the_disk_is_told(sets, tmp_path):
    own = shutil.copytree(sets[1], tmp_path / "saltmarsh")
    (own / "places.json").write_bytes((own / "places.json").read_bytes() + b"\n")
    found = compare(sets[1], own, draw=False)
    assert any("places.json" in text for text in found.findings)
    assert not found.same
    assert "1 finding on the files" in found.answer


def test_a_file_alone_is_compared_with_its_last_build(sets):
    out = sets[0].parent
    found = compare(CONFIG, out=out)
    assert found.same
    assert found.former.folder == str(sets[0])
    with pytest.raises(ParameterError, match="no build of it"):
        compare(CONFIG, out=out / "elsewhere")
    with pytest.raises(ParameterError, match="only a parameter file"):
        compare(sets[0], out=out)


def test_the_result_is_plain_and_is_written_the_same_twice(result, tmp_path):
    folders = [write_comparison(result, tmp_path / name) for name in ("a", "b")]
    names = sorted(path.name for path in folders[0].iterdir())
    assert names == [
        "comparison.json", "manifest.json", "overlay.pdf", "overlay.svg", "overlay_mm.dxf",
    ]  # fmt: skip
    for name in names:
        assert (folders[0] / name).read_bytes() == (folders[1] / name).read_bytes()
    assert verify(folders[0]) == []
    content = json.loads((folders[0] / "comparison.json").read_text())
    assert content["answer"] == result.answer
    assert content["parts"][0]["part"] == "boom_right"


def test_a_folder_with_files_of_others_is_left_alone(result, tmp_path):
    folder = tmp_path / "saltmarsh.comparison"
    folder.mkdir()
    (folder / "mine.txt").write_text("mine")
    with pytest.raises(FileWriteError):
        write_comparison(result, tmp_path)
    assert (folder / "mine.txt").read_text() == "mine"


@pytest.mark.long
def test_booms_moved_by_ten_millimetres_are_ten_millimetres_away(tmp_path):
    """Closed form: both booms move by 10 mm; what meets them follows; nothing else changes."""
    said = []
    found = compare(CONFIG, CONFIG, tmp_path, said.append, overrides=["booms.buttock_line=790 mm"])
    parts = {part.part: part for part in found.parts}
    for name in ("boom_left", "boom_right"):
        assert parts[name].kind == "moved"
        assert abs(parts[name].distance - 10.0) <= 1e-3
    assert {n for n, p in parts.items() if p.differs} == {
        "boom_left", "boom_right", "wing", "tailplane", "fin_left", "fin_right",
    }  # fmt: skip
    figures = {f.id: f for f in found.figures}
    clearance = figures["prop.radial_clearance"]
    assert 0.0 < clearance.moved < 10.0
    assert clearance.kind == "moved"
    assert [c.key for c in found.parameters] == ["booms.buttock_line"]
    assert any("half a minute" in text for text in said)
    assert not list(tmp_path.iterdir())


def test_a_file_beside_a_hand_off_is_handed_off_too_and_its_files_are_compared(
    sets, tmp_path, monkeypatch
):
    reasons = []

    def filled(folder, p, reason, say, store):
        reasons.append(reason)
        made = made_set(tmp_path / "made" / p.name, KEYS, template=400.0, plug=120.0)
        shutil.copytree(made, folder, dirs_exist_ok=True)

    monkeypatch.setattr(sides, "fill", filled)
    out = tmp_path / "out"
    found = compare(sets[0], CONFIG, out, overrides=KEYS, draw=False)
    assert reasons == [""]
    assert not found.inferred
    rows = fates(found)
    assert rows["mould_maker/wing_plug"].fate in ("right", "title only")
    assert all(row.measured for row in found.cut)
    assert not out.exists()
