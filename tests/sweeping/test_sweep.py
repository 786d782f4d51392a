"""Whole studies with made-up evaluators: what is written, every way to end badly, going on."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import made_outcomes
import pyarrow.parquet
import pytest
from started import forked_only

from geomgen.errors import FileWriteError, ParameterError
from geomgen.files.manifest import verify
from geomgen.parameters import load
from geomgen.studies.journal import journal
from geomgen.studies.table import from_csv, from_parquet, table_of
from geomgen.sweeping import folder
from geomgen.sweeping import sweep as sweeping
from geomgen.sweeping.plan import SweepQuestion, plan_of
from geomgen.sweeping.sweep import How, sweep

CONFIG = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
GRID = ("spinner.length=170mm:210mm:3", "pod.wall=4mm,5.4mm")


def how(evaluate=made_outcomes.closed_form, **more):
    return How(**{"jobs": 2, "evaluate": evaluate, "warm": made_outcomes.warm, **more})


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    out = tmp_path_factory.mktemp("study")
    return sweep(SweepQuestion(CONFIG, (*GRID, "rules.clearances=CS 22.925")), out, how())


@pytest.mark.parametrize(
    ("jobs", "store", "leads"),
    [
        (2, "kept", True),
        pytest.param(2, None, False, marks=pytest.mark.long),
        pytest.param(3, "kept", False, marks=pytest.mark.long),
    ],
)
def test_one_variant_goes_ahead_where_what_it_keeps_is_shared(
    tmp_path, monkeypatch, jobs, store, leads
):
    """Six variants: three for each of two workers, two for each of three."""
    led, before = [], sweeping.ended

    def ended(task, jobs, workers, lead):
        led.append(lead)
        return before(task, jobs, workers, lead)

    monkeypatch.setattr(sweeping, "ended", ended)
    where = None if store is None else str(tmp_path / store)
    sweep(SweepQuestion(CONFIG, GRID), tmp_path, how(jobs=jobs, store=where))
    assert led == [leads]


@pytest.mark.parametrize("jobs", [1, pytest.param(3, marks=pytest.mark.long)])
def test_which_rows_are_exact_does_not_hang_on_how_many_work(tmp_path, jobs):
    """Nothing is at odds and all pass: one that passes is looked for, four at a time."""
    asked = SweepQuestion(CONFIG, GRID)
    made = sweep(asked, tmp_path, how(made_outcomes.told_of_one_figure, jobs=jobs))
    assert [outcome.exact for outcome in made.outcomes] == [True] * 4 + [False] * 2


def test_what_is_passed_follows_the_closed_form(study):
    meant = [
        wall / 4 <= 1.3 and 260 - length + 2 * wall >= 60
        for length in (170, 190, 210)
        for wall in (4, 5.4)
    ]
    assert [outcome.passed for outcome in study.outcomes] == meant
    assert study.counts["passed"] == sum(meant)


def test_best_compromises_follow_the_closed_form(study):
    """Among the passing (wall 4 mm) the shortest spinner has most room at the same mass."""
    assert study.best == (1,)


def test_the_set_is_whole_and_every_file_is_what_it_says(study):
    names = {p.relative_to(study.folder).as_posix() for p in study.folder.rglob("*") if p.is_file()}
    files = {f"variants/{number:04d}.toml" for number in range(1, 7)}
    rest = {"variants.csv", "variants.parquet", "study.json", "study.html", "manifest.json"}
    assert names == files | rest | {"variants/curlew.dat"}
    assert verify(study.folder) == []


def test_every_variant_can_be_built_from_its_file(study):
    for variant, record in zip(study.plan.variants, study.plan.records, strict=True):
        again = load(study.folder / "variants" / f"{variant.number:04d}.toml")
        assert again == record
    text = (study.folder / "variants" / "0002.toml").read_text()
    assert "# spinner.length = 170mm" in text


def test_tables_hold_every_figure(study):
    read = pyarrow.parquet.read_table(study.folder / "variants.parquet").to_pylist()
    assert [row["firewall.mass [kg]"] for row in read] == [1.0, 1.35] * 3
    assert [row["set spinner.length [mm]"] for row in read] == [170, 170, 190, 190, 210, 210]
    assert [row["firewall.mass verdict"] for row in read] == ["pass", "fail"] * 3
    asked = json.loads((study.folder / "study.json").read_text())
    assert [key["key"] for key in asked["vary"]][:2] == ["spinner.length", "pod.wall"]
    assert asked["counts"] == study.counts


def test_no_path_of_this_machine_is_written(study):
    for path in study.folder.rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            assert str(CONFIG.parent).encode() not in data
            assert str(study.folder.parent).encode() not in data


def again_beside(study, folder):
    """Copy a study with its journal; return the folder it stands in."""
    shutil.copytree(study.folder.parent, folder, dirs_exist_ok=True)
    return folder


def test_the_same_question_gives_the_same_bytes(study, tmp_path):
    again = sweep(study.plan.question, tmp_path, how(jobs=1))
    for path in study.folder.rglob("*"):
        if path.is_file():
            other = again.folder / path.relative_to(study.folder)
            assert other.read_bytes() == path.read_bytes(), path.name


def test_every_way_to_end_badly_costs_its_variant_only(tmp_path):
    vary = "spinner.length=180mm,181mm,182mm,183mm,184mm,185mm,5mm"
    told = []
    made = sweep(
        SweepQuestion(CONFIG, (vary,)),
        tmp_path,
        how(made_outcomes.every_way, limit=1.5),
        lambda seen: told.append((seen.done, seen.failing)),
    )
    statuses = [outcome.status for outcome in made.outcomes]
    assert statuses == ["built", "crashed", "crashed", "timed out", "fault", "not built", "refused"]
    words = [outcome.message for outcome in made.outcomes]
    assert "SIGSEGV" in words[1]
    assert "code 7" in words[2]
    assert "1.5 s" in words[3]
    assert words[4] == "a fault inside geomgen, not in your file (ZeroDivisionError: a fault)"
    assert (made.outcomes[5].part, words[5]) == ("pod", "the walls meet")
    assert "out of range" in words[6]
    assert told[-1] == (7, 6)
    assert not (made.folder / "variants" / "0007.toml").exists()


def test_a_second_run_does_only_what_is_missing(tmp_path, monkeypatch):
    monkeypatch.setenv("GEOMGEN_TEST_FOLDER", str(tmp_path))
    calls = lambda: len((tmp_path / "calls").read_bytes())  # noqa: E731
    way, grid = how(made_outcomes.counted, jobs=1), ("spinner.length=170mm,190mm", "pod.wall=4mm")
    first = sweep(SweepQuestion(CONFIG, grid), tmp_path / "out", way)
    assert (first.kept, calls()) == (0, 2)
    second = sweep(SweepQuestion(CONFIG, grid), tmp_path / "out", way)
    assert (second.kept, calls()) == (2, 2)
    assert second.outcomes == first.outcomes
    wider = ("spinner.length=170mm:190mm:3", grid[1])
    third = sweep(SweepQuestion(CONFIG, wider), tmp_path / "out", way)
    assert (third.kept, calls()) == (2, 3)
    other = SweepQuestion(CONFIG, grid, ("firewall.tilt=1 deg",))
    fourth = sweep(other, tmp_path / "out", way)
    assert (fourth.kept, calls()) == (0, 5)


def test_other_versions_do_not_reuse_rows(study, tmp_path, monkeypatch):
    again_beside(study, tmp_path)
    assert sweep(study.plan.question, tmp_path, how(made_outcomes.crash)).kept == 6
    monkeypatch.setattr("geomgen.sweeping.sweep.versions_used", lambda: (("source", "other"),))
    assert sweep(study.plan.question, tmp_path, how(jobs=1)).kept == 0


@pytest.fixture(scope="module")
def first_study(tmp_path_factory):
    out = tmp_path_factory.mktemp("first")
    vary = ("spinner.length=170mm,182mm", "pod.wall=4mm,5.4mm")
    return sweep(SweepQuestion(CONFIG, vary, best=WEIGHED), out, how(made_outcomes.told_first))


WEIGHED = "firewall.mass=low,prop.radial_clearance=high"


def test_first_answers_tell_of_all_and_exact_ones_of_those_that_decide(first_study):
    """Best is the first; a wall of 5.4 mm is too heavy whatever waits; the rest stands behind."""
    assert [outcome.exact for outcome in first_study.outcomes] == [True, False, False, False]
    kinds = [(o.passed, o.undecided, bool(o.failing)) for o in first_study.outcomes]
    told = {(True, False, False): "pass", (False, True, False): "?", (False, False, True): "fail"}
    assert [told[kind] for kind in kinds] == ["pass", "fail", "?", "fail"]
    assert first_study.counts["undecided"] == 1
    assert (first_study.best, first_study.exact, first_study.strayed) == ((1,), 1, ())
    rows = pyarrow.parquet.read_table(first_study.folder / "variants.parquet").to_pylist()
    assert [row["exact"] for row in rows] == [True, False, False, False]
    assert [row["passed"] for row in rows[:3]] == [True, False, None]
    assert rows[2]["waiting"] == made_outcomes.AIR
    gaps = [
        (row["prop.radial_clearance [mm]"], row["prop.radial_clearance bound [mm]"]) for row in rows
    ]
    assert gaps[0] == (98.0, None)
    assert gaps[2] == (pytest.approx(86.4), made_outcomes.OFF)
    assert [row[f"{made_outcomes.AIR} verdict"] for row in rows[:3]] == ["pass", "waits", "waits"]
    asked = json.loads((first_study.folder / "study.json").read_text())
    assert (asked["exact"], asked["all_exact"]) == (1, False)
    page = (first_study.folder / "study.html").read_text()
    assert "1 is undecided: nothing fails so far" in page
    assert r"86.40 mm \u00b1 0.500 mm" in page


def test_a_second_run_does_what_is_missing_and_exact_ones_are_the_same(first_study):
    """Without one call for what is there; asked for of all, exact figures leave nothing open."""
    out, asked = first_study.folder.parent, first_study.plan.question
    again = sweep(asked, out, how(made_outcomes.crash))
    assert (again.kept, again.outcomes) == (4, first_study.outcomes)
    whole = sweep(replace(asked, exact=True), out, how(made_outcomes.told_first, jobs=1))
    assert (whole.kept, whole.exact, whole.counts["undecided"]) == (1, 4, 0)
    assert (whole.best, whole.outcomes[0]) == (first_study.best, first_study.outcomes[0])


def test_a_first_answer_that_is_not_borne_out_is_said_and_logged(first_study, tmp_path):
    made = sweep(first_study.plan.question, tmp_path, how(made_outcomes.told_wrongly, jobs=1))
    assert made.strayed
    assert all("prop.radial_clearance" in words for words in made.strayed)
    log = (tmp_path / "first_answers.log").read_text().splitlines()
    assert len(log) == len(made.strayed)


SCRIPT = """
import sys
import made_outcomes
from geomgen.sweeping.plan import SweepQuestion
from geomgen.sweeping.sweep import How, sweep

if __name__ == "__main__":
    vary = ("spinner.length=170mm:210mm:9", "pod.wall=4mm,5.4mm")
    how = How(jobs=2, evaluate=made_outcomes.marked, warm=made_outcomes.warm)
    result = sweep(SweepQuestion(sys.argv[1], vary), sys.argv[2], how)
    print(result.kept)
"""


@pytest.mark.parametrize(
    "number", [signal.SIGKILL, pytest.param(signal.SIGINT, marks=pytest.mark.long)]
)
def test_it_goes_on_after_a_kill(tmp_path, number):
    script = tmp_path / "run.py"
    script.write_text(SCRIPT)
    tests = str(Path(made_outcomes.__file__).parent)
    env = {
        **os.environ,
        "GEOMGEN_TEST_FOLDER": str(tmp_path),
        "PYTHONPATH": os.pathsep.join([tests, str(Path(tests).parent)]),
    }
    command = [sys.executable, str(script), str(CONFIG), str(tmp_path / "out")]
    run = subprocess.Popen(command, env=env, stderr=subprocess.DEVNULL, start_new_session=True)
    book = tmp_path / "out" / "saltmarsh.sweep.journal.jsonl"
    until(lambda: book.exists() and book.read_bytes().count(b"\n") >= 4)
    run.send_signal(number)
    run.wait(timeout=20)
    assert not (tmp_path / "out" / "saltmarsh.sweep").exists()
    time.sleep(0.5)
    done, calls = book.read_bytes().count(b"\n"), (tmp_path / "calls").stat().st_size
    time.sleep(0.7)
    assert (tmp_path / "calls").stat().st_size == calls, "workers went on after the kill"
    assert 4 <= done < 18
    again = subprocess.run(command, env=env, capture_output=True, text=True, timeout=60)
    assert again.stdout == f"{done}\n", again.stderr
    assert (tmp_path / "calls").stat().st_size - calls == 18 - done
    assert verify(tmp_path / "out" / "saltmarsh.sweep") == []


def until(true, seconds=30.0):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end
        time.sleep(0.02)


def test_a_held_journal_and_a_foreign_folder_are_told(tmp_path):
    with (
        journal(tmp_path / "saltmarsh.sweep.journal.jsonl"),
        pytest.raises(FileWriteError, match="another run"),
    ):
        sweep(SweepQuestion(CONFIG, GRID), tmp_path, how())
    (tmp_path / "saltmarsh.sweep").mkdir()
    (tmp_path / "saltmarsh.sweep" / "mine.txt").write_text("keep")
    with pytest.raises(FileWriteError, match="manifest"):
        sweep(SweepQuestion(CONFIG, GRID), tmp_path, how())
    assert (tmp_path / "saltmarsh.sweep" / "mine.txt").read_text() == "keep"


@pytest.mark.parametrize(
    "way",
    [
        {"executor": "threads"},
        {"executor": "dask"},
        {"scheduler": "tcp://127.0.0.1:1"},
        {"jobs": 0},
        {"limit": 0.0},
        {"limit": float("nan")},
    ],
)
def test_ways_that_are_none_are_refused(tmp_path, way):
    with pytest.raises(ParameterError) as refused:
        sweep(SweepQuestion(CONFIG, GRID), tmp_path, how(**way))
    assert refused.value.exit_code == 2
    assert not list(tmp_path.iterdir())


def test_broken_tables_are_caught(study, tmp_path):
    table = table_of(study.plan.varies, study.plan.variants, study.outcomes)
    for name in (folder.CSV, folder.PARQUET):
        data = (study.folder / name).read_bytes()
        (tmp_path / name).write_bytes(data)
    folder.prove_tables(tmp_path, table)
    data = (tmp_path / folder.CSV).read_bytes()
    (tmp_path / folder.CSV).write_bytes(data.replace(b"1.35", b"1.36", 1))
    assert from_csv(data, table.columns) == from_parquet((tmp_path / folder.PARQUET).read_bytes())
    with pytest.raises(FileWriteError, match="not hold what was meant"):
        folder.prove_tables(tmp_path, table)
    (tmp_path / folder.CSV).write_bytes(data)
    parquet = (tmp_path / folder.PARQUET).read_bytes()
    (tmp_path / folder.PARQUET).write_bytes(parquet[:-40])
    with pytest.raises(FileWriteError, match="verification failed"):
        folder.prove_tables(tmp_path, table)


def test_a_broken_variant_file_is_caught(study, tmp_path):
    for name in ("0001.toml", "curlew.dat"):
        data = (study.folder / "variants" / name).read_bytes()
        (tmp_path / name).write_bytes(data)
    meant = study.plan.records[0]
    folder.prove_variant(tmp_path / "0001.toml", meant)
    path = tmp_path / "0001.toml"
    good = path.read_text()
    path.write_text(good.replace('length = "170 mm"', 'length = "171 mm"'))
    with pytest.raises(FileWriteError, match="another aircraft"):
        folder.prove_variant(path, meant)
    path.write_text(good + "[nonsense]\n")
    with pytest.raises(FileWriteError, match="does not load"):
        folder.prove_variant(path, meant)


def test_aerofoils_of_other_folders_come_along(tmp_path):
    (tmp_path / "cases").mkdir()
    for name in ("saltmarsh.toml", "curlew.dat"):
        (tmp_path / name).write_bytes((CONFIG.parent / name).read_bytes())
    own = tmp_path / "cases" / "own.toml"
    own.write_text('extends = "../saltmarsh.toml"\nname = "own"\n')
    made = sweep(SweepQuestion(own, ("spinner.length=170mm,180mm",)), tmp_path / "out", how(jobs=1))
    moved = tmp_path / "elsewhere"
    (made.folder / "variants").rename(moved)
    again = load(moved / "0001.toml")
    assert list(again.aerofoils.values()) == list(made.plan.records[0].aerofoils.values())
    assert again.spinner.length == 170.0


def test_the_set_of_another_question_is_replaced_whole(study, tmp_path):
    assert len(list((again_beside(study, tmp_path) / study.folder.name).rglob("0*.toml"))) == 6
    made = sweep(SweepQuestion(CONFIG, ("spinner.length=170mm,180mm",)), tmp_path, how(jobs=1))
    assert len(list((made.folder / "variants").glob("*.toml"))) == 2


@pytest.mark.long
def test_dask_gives_the_same_files(study, tmp_path):
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        client = cluster.get_client()
        client.run(made_outcomes.add_path, str(Path(made_outcomes.__file__).parent))
        way = how(executor="dask", scheduler=cluster.scheduler_address, jobs=None)
        made = sweep(study.plan.question, tmp_path, way)
        client.close()
    for name in ("variants.csv", "variants.parquet", "study.html"):
        assert (made.folder / name).read_bytes() == (study.folder / name).read_bytes()


@pytest.mark.long
@forked_only
def test_workers_of_dask_are_warmed_too(tmp_path):
    """Each variant is a child of a worker that has loaded all: else each loads the kernel anew."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        client = cluster.get_client()
        client.run(made_outcomes.add_path, str(Path(made_outcomes.__file__).parent))
        more = {"executor": "dask", "scheduler": cluster.scheduler_address, "jobs": None}
        way = how(made_outcomes.only_warm, warm=made_outcomes.mark_warm, **more)
        made = sweep(SweepQuestion(CONFIG, GRID), tmp_path, way)
        client.close()
    assert {outcome.status for outcome in made.outcomes} == {"built"}


@pytest.mark.long
@pytest.mark.parametrize("workers", [1, 2, 4])
def test_dask_follows_first_answers_by_exact_ones(tmp_path, workers):
    """As many workers as there are: the same tables as worker processes give."""
    distributed = pytest.importorskip("distributed")
    question = SweepQuestion(CONFIG, GRID)
    here = sweep(question, tmp_path / "here", how(made_outcomes.told_first))
    assert 0 < here.exact < len(here.outcomes)
    with distributed.LocalCluster(
        n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None
    ) as cluster:
        client = cluster.get_client()
        client.run(made_outcomes.add_path, str(Path(made_outcomes.__file__).parent))
        more = {"executor": "dask", "scheduler": cluster.scheduler_address, "jobs": None}
        made = sweep(question, tmp_path / "dask", how(made_outcomes.told_first, **more))
        client.close()
    for name in ("variants.csv", "variants.parquet", "study.html"):
        assert (made.folder / name).read_bytes() == (here.folder / name).read_bytes()


@pytest.mark.long
def test_a_real_sweep_of_four(tmp_path):
    """The booms stand apart: the tips clear them by as much more as they stand further out."""
    question = SweepQuestion(CONFIG, ("booms.buttock_line=770mm:790mm:3", "spinner.length=180mm"))
    made = sweep(question, tmp_path, How(limit=600.0))
    assert [outcome.status for outcome in made.outcomes] == ["built"] * 3
    gaps = [
        next(c.measured for c in outcome.checks if c.id == "prop.radial_clearance")
        for outcome in made.outcomes
    ]
    # Tips and booms are both off the same axis: moving a boom 10 mm out adds less than 10 mm.
    assert 0 < gaps[1] - gaps[0] < 10.0
    assert 0 < gaps[2] - gaps[1] < 10.0
    plan = plan_of(question)
    assert plan.records[1].booms.buttock_line == 780.0
