"""The answer's file: only what was freed differs, comments stay, other files are still found."""

from dataclasses import replace
from pathlib import Path

import pytest

from geomgen.errors import FileWriteError
from geomgen.parameters import load
from geomgen.pipeline.solving import Question, parameters_at, plan_of
from geomgen.pipeline.solving_file import MARK, place_for, plain_of, variant_text, write_variant
from geomgen.studies.solve_log import Point
from geomgen.studies.solve_search import Solved

CONFIGS = Path(__file__).parents[2] / "configs"


def answered(out, config="saltmarsh", text="60.5 mm", **more):
    question = Question(
        CONFIGS / f"{config}.toml", ("scoops.cheek.height=31mm:90mm",), ("all",), **more
    )
    plan = plan_of(question, out)
    value = plan.asked.frees[0].key.number(text)
    former = Point(1, (plan.asked.frees[0].start,), ("x",), "built")
    answer = Point(2, (value,), (text,), "built")
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
        *[("airfoil", "airfoil")] * 2,
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


def test_the_folder_of_the_file_itself_needs_no_other_ways(tmp_path) -> None:
    for name in ("saltmarsh.toml", "curlew.dat"):
        (tmp_path / name).write_bytes((CONFIGS / name).read_bytes())
    plan, solved, _ = answered(tmp_path)
    question = replace(plan.question, path=tmp_path / "saltmarsh.toml")
    text = variant_text(replace(plan, question=question), solved)
    assert text.count('"file:curlew.dat"') == 2


def test_what_must_not_be_replaced(tmp_path, saltmarsh) -> None:
    question = Question(CONFIGS / "saltmarsh.toml", (), ())
    with pytest.raises(FileWriteError, match="solved from"):
        place_for(replace(question, write=question.path, replace=True), saltmarsh, tmp_path)
    place = tmp_path / "saltmarsh-solved.toml"
    place.write_text(f"{MARK} from saltmarsh.toml.\n")
    assert place_for(question, saltmarsh, tmp_path) == place
    place.write_text("# by hand\n")
    with pytest.raises(FileWriteError, match="--replace"):
        place_for(question, saltmarsh, tmp_path)
    assert place_for(replace(question, replace=True), saltmarsh, tmp_path) == place
    with pytest.raises(FileWriteError, match="folder"):
        place_for(replace(question, write=tmp_path), saltmarsh, tmp_path)
