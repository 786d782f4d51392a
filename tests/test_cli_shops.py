"""Exit codes and wording of `handoff` and `verify`; the stages behind them are stood in for."""

import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from few_cases import few
from test_cli import gap, outcome, pipeline  # noqa: F401 - `pipeline` is a fixture

from geomgen import cli
from geomgen.shops.product import found

ROOT = Path(__file__).parents[1]


@pytest.fixture
def stages(pipeline):  # noqa: F811
    def handoff(path, overrides, out, progress, reason, store):
        progress("moulds")
        pipeline.calls.append((path, list(overrides), out, reason))
        return pipeline.answer

    def verify(folder, against, progress, store):
        pipeline.calls.append((folder, against))
        return pipeline.answer

    pipeline.handoff, pipeline.verify = handoff, verify
    return pipeline


def handed(*findings, refused=False, reason="", value=31.0):
    made = vars(outcome(gap(value)))
    return SimpleNamespace(**made, findings=findings, refused=refused, reason=reason)


WARNING = found(
    "draft.undercut.pod.right.scoop_cheek", "pod", "undercut", 93468.9, "mm2", high=10.0,
    severity="warn", where="STA 1876", advice="the scoop needs its own mould",
)  # fmt: skip


def test_handed_off(stages, capsys):
    stages.answer = handed(WARNING)
    assert cli.main(["handoff", "demo.toml", "--out", "there"]) == 0
    text = capsys.readouterr().out
    for words in ("handed off to", "warn", "the scoop needs its own mould", "STA 1876"):
        assert words in text
    assert stages.calls == [("demo.toml", [], "there", None)]


def test_refused_is_one_and_says_what_to_do(stages, capsys):
    stages.answer = handed(refused=True, value=12.0)
    assert cli.main(["handoff", "demo.toml"]) == 1
    text = capsys.readouterr().out
    assert "NOT HANDED OFF" in text
    assert "--release-anyway" in text
    assert "FAIL" in text


def test_reason_is_passed_on_and_shown(stages, capsys):
    stages.answer = handed(reason="only a trial", value=12.0)
    assert cli.main(["handoff", "demo.toml", "--release-anyway", "only a trial"]) == 0
    assert stages.calls[0][3] == "only a trial"
    assert "only a trial" in capsys.readouterr().out


def test_handoff_as_json(stages, capsys):
    stages.answer = handed(WARNING, refused=True)
    assert cli.main(["handoff", "demo.toml", "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["refused"] is True
    assert answer["findings"][0]["advice"] == "the scoop needs its own mould"
    assert answer["exit_code"] == 1


def verified(*findings, value=31.0, reason="", unseen=()):
    made = vars(outcome(gap(value)))
    return SimpleNamespace(
        **made,
        findings=findings,
        reason=reason,
        unseen=unseen,
        astray=findings,
        intact=not findings,
        passed=not findings and value > 25,
    )


@pytest.mark.parametrize(
    ("answer", "code", "words"),
    [
        (verified(), 0, "every file of"),
        (verified("pod_mm.stl: it was changed"), 1, "pod_mm.stl: it was changed"),
        (verified(value=12.0), 1, "FAIL"),
        (verified(reason="only a trial"), 0, "released although"),
        (verified(unseen=("report.html",)), 0, "hash only, not made again (1): report.html"),
    ],
)
def test_verify(stages, capsys, answer, code, words):
    stages.answer = answer
    assert cli.main(["verify", "out/demo", "--against", "demo.toml"]) == code
    assert words in capsys.readouterr().out
    assert stages.calls == [("out/demo", "demo.toml")]


def run(*arguments):
    return subprocess.run(
        [sys.executable, "-m", "geomgen.cli", *arguments],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
    )


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    few(
        [
            (("handoff", "configs/hayfield.toml"), 2, "asks for no hand-off"),
            (("handoff", "configs/none.toml"), 2, "none.toml"),
            (
                ("handoff", "configs/saltmarsh.toml", "--set", "handoff.cores.kerf=1.2"),
                2,
                "no unit",
            ),
            (("handoff", "configs/saltmarsh.toml", "--set", "handoff.foam.slab=9 m"), 2, "600 mm"),
            (("handoff", "configs/saltmarsh.toml", "--set", "handoff.cores.tiks=9"), 2, "ticks"),
            (("verify", "configs"), 4, "no manifest"),
            (("verify",), 2, "FOLDER"),
        ],
        0,
        5,
        rows=True,
    ),
)
def test_bad_input_ends_fast_and_clear(arguments, code, words):
    answer = run(*arguments)
    assert answer.returncode == code, answer.stderr
    assert words in answer.stderr
    assert "Traceback" not in answer.stderr
