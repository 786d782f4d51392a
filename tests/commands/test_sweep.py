"""The command: options, exit codes, what it says; evaluators are made up."""

import json
from dataclasses import replace
from pathlib import Path

import made_outcomes
import pytest

from geomgen.commands import sweep as command
from geomgen.errors import ParameterError
from geomgen.studies.row import VariantOutcome
from geomgen.sweeping import sweep
from geomgen.terminal.arguments import Parser, shared_options

HOW = sweep.How
CONFIG = str(Path(__file__).parents[2] / "configs" / "saltmarsh.toml")


def lost(job):
    """Build nothing."""
    return VariantOutcome("not built", part="pod", message="the walls meet").as_dict()


def run(monkeypatch, out, *words, evaluate=made_outcomes.closed_form):
    parser = Parser(prog="geomgen sweep")
    command.add(parser)
    shared_options(parser)
    args = parser.parse_args([CONFIG, "--out", str(out), *words])

    made = {"evaluate": evaluate, "warm": made_outcomes.warm}
    monkeypatch.setattr(sweep, "How", lambda *way: replace(HOW(*way), **made))
    return command.run(args)


# To start one worker takes longer than all that it is asked here.
ONE = ("--jobs", "1")
GRID = ("--vary", "spinner.length=170mm:190mm:3", "--vary", "pod.wall=4mm,5.4mm")


def test_some_pass(monkeypatch, tmp_path, capsys):
    assert run(monkeypatch, tmp_path, *GRID, "--jobs", "1") == 0
    told = capsys.readouterr()
    assert "3 of 6 variants passed all checks" in told.out
    assert "3 failed a check" in told.out
    assert "study.html" in told.out
    assert "not an airworthiness approval" in told.out
    assert told.err.splitlines()[0].startswith("0 of 6 done")
    assert told.err.splitlines()[-1].startswith("6 of 6 done, 3 failing")
    assert run(monkeypatch, tmp_path, *GRID, "--jobs", "1", "--quiet") == 0
    told = capsys.readouterr()
    assert "6 were taken from before" in told.out
    assert told.err == ""


def test_undecided_ones_are_said_and_settled_by_exact_figures(monkeypatch, tmp_path, capsys):
    words = ("--vary", "spinner.length=170mm:190mm:3", "--best", "prop.radial_clearance=high")
    answer = {"evaluate": made_outcomes.told_first}
    assert run(monkeypatch, tmp_path, *words, "--jobs", "1", **answer) == 0
    told = capsys.readouterr()
    assert "1 of 3 variants passed all checks" in told.out
    assert "2 undecided: nothing fails so far" in told.out
    assert "exact figures: 3 of 3 done, 0 failing" in told.err
    assert run(monkeypatch, tmp_path, *words, *ONE, "--json", "--exact", **answer) == 0
    whole = json.loads(capsys.readouterr().out)
    assert (whole["exact"], whole["counts"]["undecided"], whole["not_borne_out"]) == (3, 0, [])


def test_none_pass(monkeypatch, tmp_path):
    words = ("--vary", "pod.wall=5.4mm,5.5mm", "--quiet")
    assert run(monkeypatch, tmp_path, *words) == 1


def test_nothing_built(monkeypatch, tmp_path, capsys):
    words = ("--vary", "pod.wall=4mm,5mm", "--quiet", *ONE)
    assert run(monkeypatch, tmp_path, *words, evaluate=lost) == 3
    assert "2: a part can't be built" in capsys.readouterr().out


def test_json_is_the_summary(monkeypatch, tmp_path, capsys):
    words = ("--vary", "spinner.length=170mm,190mm,5mm", "--best", "prop.radial_clearance=high")
    assert run(monkeypatch, tmp_path, *words, *ONE, "--json") == 0
    told = capsys.readouterr()
    answer = json.loads(told.out)
    assert told.err == ""
    assert (answer["exit_code"], answer["variants"], answer["taken_from_before"]) == (0, 3, 0)
    assert answer["best"] == [{"variant": 1, "values": {"spinner.length": "170mm"}}]
    assert [row["status"] for row in answer["not_built"]] == ["refused"]
    assert answer["counts"]["passed"] == 2


def test_what_is_refused_has_code_two(monkeypatch, tmp_path):
    for words in (("--vary", "spinner.length=1:2:3"), (), (*GRID, "--axes", "wingspan,span")):
        with pytest.raises(ParameterError) as refused:
            run(monkeypatch, tmp_path, *words)
        assert refused.value.exit_code == 2
    assert not list(tmp_path.iterdir())


def test_samples(monkeypatch, tmp_path, capsys):
    words = (
        "--vary",
        "spinner.length=170mm:190mm",
        "--samples",
        "4",
        "--seed",
        "9",
        "--json",
        *ONE,
    )
    assert run(monkeypatch, tmp_path, *words) == 0
    assert json.loads(capsys.readouterr().out)["variants"] == 4
    asked = json.loads((tmp_path / "saltmarsh.sweep" / "study.json").read_text())
    assert (asked["samples"], asked["seed"], asked["design"]) == (4, 9, "Sobol")
