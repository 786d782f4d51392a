"""Exit codes and wording of `report` and `compare`; the stages behind them are stood in for."""

import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from few_cases import few
from terminal.test_changes import check, result
from test_cli import gap, outcome, pipeline  # noqa: F401 - `pipeline` is a fixture

from geomgen import cli
from geomgen.errors import FileWriteError, GeometryError, ParameterError

ROOT = Path(__file__).parents[1]


@pytest.fixture
def stages(pipeline):  # noqa: F811
    def answer():
        if isinstance(pipeline.answer, BaseException):
            raise pipeline.answer
        return pipeline.answer

    def report(path, overrides, out, progress, store):
        progress("page")
        pipeline.calls.append((path, list(overrides), out))
        return answer()

    def compare(former, new, out, progress, overrides, store):
        progress("shapes")
        pipeline.calls.append((former, new, out, list(overrides)))
        return answer()

    pipeline.report, pipeline.compare = report, compare
    pipeline.write_comparison = lambda result, out, say: Path(out) / "demo.comparison"
    return pipeline


def reported(value=31.0, built=False):
    page = Path("out/demo/report.html")
    files = ("report.html", "demo_m.glb")
    return SimpleNamespace(
        **vars(outcome(gap(value))), page=page, files=files, built=built, making=12.5
    )


def test_a_report_says_where_the_page_is(stages, capsys):
    stages.answer = reported()
    assert cli.main(["report", "demo.toml", "--set", "pod.wall=4 mm", "--out", "there"]) == 0
    text = capsys.readouterr().out
    assert "page: out/demo/report.html" in text
    assert "made in 12.5 s" in text
    assert "built first" not in text
    assert stages.calls == [("demo.toml", ["pod.wall=4 mm"], "there")]


def test_a_report_of_a_failed_check_is_written_and_tells(stages, capsys):
    stages.answer = reported(12.0, built=True)
    assert cli.main(["report", "demo.toml"]) == 0
    text = capsys.readouterr().out
    assert "FAIL" in text
    assert "set built first" in text


def test_a_report_as_json(stages, capsys):
    stages.answer = reported()
    assert cli.main(["report", "demo.toml", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["page"] == "out/demo/report.html"
    assert told["files"] == ["report.html", "demo_m.glb"]
    assert told["checks"][0]["id"] == "prop.radial_clearance"


@pytest.mark.parametrize(
    ("former", "new", "code"),
    [
        (check(30.0, "pass"), check(28.0, "pass"), 0),
        (check(30.0, "pass"), check(24.0, "fail"), 1),
        (check(24.0, "fail"), check(30.0, "pass"), 0),
    ],
)
def test_a_comparison_answers_for_the_new_state(stages, capsys, former, new, code):
    stages.answer = result((former,), (new,))
    assert cli.main(["compare", "a.toml", "b.toml", "--set", "pod.wall=4 mm"]) == code
    assert "prop.gap" in capsys.readouterr().out
    assert stages.calls == [("a.toml", "b.toml", "out", ["pod.wall=4 mm"])]


def test_the_last_build_is_the_former_state_when_one_is_named(stages):
    stages.answer = result()
    assert cli.main(["compare", "a.toml"]) == 0
    assert stages.calls == [("a.toml", None, "out", [])]


def test_a_comparison_as_json(stages, capsys):
    stages.answer = result((check(30.0, "pass"),), (check(24.0, "fail"),))
    assert cli.main(["compare", "a.toml", "b.toml", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["exit_code"] == 1
    assert told["figures"][0]["kind"] == "turned"
    assert told["folder"].endswith("demo.comparison")


@pytest.mark.parametrize("command", [["report", "a.toml"], ["compare", "a.toml", "b.toml"]])
@pytest.mark.parametrize(
    ("error", "code"),
    [
        (ParameterError("no unit"), 2),
        (GeometryError("the walls meet"), 3),
        (FileWriteError("the disk is full", path="x"), 4),
    ],
)
def test_errors_have_their_codes(stages, capsys, command, error, code):
    stages.answer = error
    assert cli.main(command) == code
    assert "Traceback" not in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    few(
        [
            (("report", "configs/none.toml"), 2, "none.toml"),
            (("report", "configs/saltmarsh.toml", "--set", "drawings.sheet=A5"), 2, "A4"),
            (
                ("report", "configs/saltmarsh.toml", "--set", "drawings.projection=front"),
                2,
                "third",
            ),
            (("report", "configs/saltmarsh.toml", "--set", 'drawings.stations=["1"]'), 2, "unit"),
            (("report", "configs/saltmarsh.toml", "--set", "drawings.scale=2"), 2, "unknown key"),
            (("report",), 2, "FILE"),
            (("compare",), 2, "FORMER"),
            (("compare", "configs/none.toml", "configs/tight.toml"), 2, "neither"),
            (("compare", "configs", "configs/tight.toml"), 2, "no manifest"),
            (("compare", "configs/saltmarsh.toml", "--out", "no/such/folder"), 2, "no build"),
            (("compare", "tests", "configs/tight.toml", "--set", "pod.wall=3"), 2, "no manifest"),
        ],
        0,
        5,
        9,
        rows=True,
    ),
)
def test_bad_input_ends_fast_and_clear(arguments, code, words):
    answer = subprocess.run(
        [sys.executable, "-m", "geomgen.cli", *arguments],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        timeout=30,
    )
    assert answer.returncode == code, answer.stderr
    assert words in answer.stderr
    assert "Traceback" not in answer.stderr
