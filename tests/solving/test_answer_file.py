"""The answer's file: only what was freed differs, comments stay, other files are still found."""

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from geomgen.errors import FileWriteError
from geomgen.parameters import load
from geomgen.solving.answer_file import (
    MARK,
    check_answer,
    place_for,
    plain_of,
    saved_meanwhile,
    variant_text,
    write_variant,
)
from geomgen.solving.question import SolveQuestion
from geomgen.solving.search.log import MeasuredState
from geomgen.solving.search.search import Solved
from geomgen.solving.solve import parameters_at, plan_of

CONFIGS = Path(__file__).parents[2] / "configs"


def answered(out, config="saltmarsh", text="60.5 mm", folder=CONFIGS, **more):
    question = SolveQuestion(
        folder / f"{config}.toml", ("scoops.cheek.height=31mm:90mm",), ("all",), **more
    )
    plan = plan_of(question, out)
    value = plan.asked.frees[0].key.number(text)
    former = MeasuredState(1, (plan.asked.frees[0].start,), ("x",), "built")
    answer = MeasuredState(2, (value,), (text,), "built")
    solved = Solved(plan.asked, former, answer, {}, (former, answer))
    return plan, solved, parameters_at(plan, [f"scoops.0.height={text}"])


def test_only_the_freed_value_and_the_way_to_other_files_differ(tmp_path) -> None:
    plan, solved, judged = answered(tmp_path)
    lines = write_variant(plan, solved, judged).read_text().splitlines()
    before = (CONFIGS / "saltmarsh.toml").read_text().splitlines()
    assert lines[0].startswith(MARK)
    head = len(lines) - len(before)
    rows = [(a, b) for a, b in zip(before, lines[head:], strict=True) if a != b]
    assert [(a.split(" = ")[0], b.split(" = ")[0]) for a, b in rows] == [
        *[("aerofoil", "aerofoil")] * 2,
        ("height", "height"),
    ]
    assert '"60.5 mm"' in rows[2][1]
    assert rows[2][1].partition("#")[2] == rows[2][0].partition("#")[2]


@pytest.mark.parametrize("config", ["saltmarsh", "tight"])
def test_it_loads_from_another_folder_and_gives_the_same(tmp_path, config: str) -> None:
    plan, solved, judged = answered(tmp_path / "deep" / "er", config)
    again = load(write_variant(plan, solved, judged))
    assert plain_of(again) == plain_of(judged)
    assert again.scoops[0].height == 60.5


def test_the_same_bytes_each_time(tmp_path) -> None:
    plan, solved, _ = answered(tmp_path)
    assert variant_text(plan, solved) == variant_text(plan, solved)


def test_a_file_that_gives_other_parameters_is_caught(tmp_path) -> None:
    plan, solved, judged = answered(tmp_path)
    other = judged.model_copy(update={"revision": "B"})
    with pytest.raises(FileWriteError, match="the parameters that were judged"):
        write_variant(plan, solved, other)
    assert list(tmp_path.iterdir()) == []


def copied(folder):
    """The example and the file that it reads, in a folder of their own."""
    for name in ("saltmarsh.toml", "curlew.dat"):
        (folder / name).write_bytes((CONFIGS / name).read_bytes())
    return folder / "saltmarsh.toml"


def test_the_folder_of_the_file_itself_needs_no_other_ways(tmp_path) -> None:
    plan, solved, _ = answered(tmp_path, folder=copied(tmp_path).parent)
    assert variant_text(plan, solved).count('"file:curlew.dat"') == 2


def test_the_text_is_that_of_the_beginning(tmp_path) -> None:
    """The file is gone by now; what it said when it was read is kept."""
    file = copied(tmp_path)
    plan, solved, judged = answered(tmp_path / "out", folder=tmp_path)
    assert not saved_meanwhile(plan)
    file.unlink()
    assert saved_meanwhile(plan)
    place = write_variant(plan, solved, judged, saved=True)
    assert load(place).scoops[0].height == 60.5
    assert "# saltmarsh.toml is as it was when the search began" in place.read_text()


@pytest.mark.parametrize("name", ["saltmarsh.toml", "curlew.dat"])
def test_what_was_saved_meanwhile_is_seen(tmp_path, name: str) -> None:
    copied(tmp_path)
    plan, _, _ = answered(tmp_path / "out", folder=tmp_path)
    text = (tmp_path / name).read_text()
    (tmp_path / name).write_text(text.replace("0.0", "0.001", 1) + "\n")
    assert saved_meanwhile(plan)


def test_a_changed_aerofoil_leaves_no_answer_and_says_why(tmp_path) -> None:
    copied(tmp_path)
    plan, solved, judged = answered(tmp_path / "out", folder=tmp_path)
    aerofoil = tmp_path / "curlew.dat"
    rows = aerofoil.read_text().splitlines()
    rows[4] = " ".join([rows[4].split()[0], f"{float(rows[4].split()[1]) * 1.01:.6f}"])
    aerofoil.write_text("\n".join(rows))
    with pytest.raises(FileWriteError, match=r"changed during the search.*60.5 mm"):
        write_variant(plan, solved, judged, saved=True)
    assert list((tmp_path / "out").iterdir()) == []


def test_a_failed_write_leaves_a_former_file_as_it_was(tmp_path, monkeypatch) -> None:
    from geomgen.files import disk

    plan, solved, judged = answered(tmp_path)
    plan.file.write_text(former := f"{MARK} before\n")

    def half(path, data):
        path.write_bytes(data[: len(data) // 2])
        raise disk.file_error(OSError(errno.ENOSPC, "full"), path)

    monkeypatch.setattr(disk, "write_bytes", half)
    with pytest.raises(FileWriteError, match=r"disk is full; found: .*60.5 mm"):
        write_variant(plan, solved, judged)
    assert plan.file.read_text() == former
    assert list(tmp_path.iterdir()) == [plan.file]


def test_trying_the_folder_leaves_nothing_behind(tmp_path) -> None:
    plan, _, _ = answered(tmp_path / "deep" / "er")
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "file").write_text("")
    with pytest.raises(FileWriteError) as caught:
        check_answer(replace(plan, file=tmp_path / "file" / "in" / "a.toml"))
    assert caught.value.exit_code == 4


@pytest.mark.parametrize("name", ["a" * 300, "b" * 300 + "/a"])
def test_a_name_that_no_disk_takes_is_found_before_the_search(tmp_path, name: str) -> None:
    with pytest.raises(FileWriteError):
        answered(tmp_path, write=tmp_path / f"{name}.toml")
    assert list(tmp_path.iterdir()) == []


def test_what_must_not_be_replaced(tmp_path, saltmarsh) -> None:
    question = SolveQuestion(CONFIGS / "saltmarsh.toml", (), ())
    with pytest.raises(FileWriteError, match="solved from"):
        place_for(replace(question, write=question.path, replace=True), saltmarsh, tmp_path)
    place = tmp_path / "saltmarsh-solved.toml"
    place.write_text(f"{MARK} from saltmarsh.toml.\n")
    second, third = (tmp_path / f"saltmarsh-solved-{i}.toml" for i in (2, 3))
    assert place_for(question, saltmarsh, tmp_path) == second
    second.write_text("# by hand\n")
    assert place_for(question, saltmarsh, tmp_path) == third
    for named, words in ((place, "an older answer"), (second, "no answer of solve")):
        with pytest.raises(FileWriteError, match=words) as caught:
            place_for(replace(question, write=named), saltmarsh, tmp_path)
        assert "--replace" in str(caught.value)
    assert place_for(replace(question, replace=True), saltmarsh, tmp_path) == place
    with pytest.raises(FileWriteError, match="folder"):
        place_for(replace(question, write=tmp_path), saltmarsh, tmp_path)
