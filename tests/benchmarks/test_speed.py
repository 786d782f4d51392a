"""Timings, run with `-m benchmark`: figures and ratios in one run, nothing is asserted on time."""

import resource
import subprocess
import sys
from pathlib import Path

import pytest

CONFIGS = Path(__file__).parents[2] / "configs"
HERE = Path(__file__).parent
pytestmark = pytest.mark.benchmark


def run(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *words], capture_output=True, text=True, check=False)


def test_help(benchmark) -> None:
    answer = benchmark.pedantic(run, ("-m", "geomgen.cli", "--help"), rounds=5)
    assert answer.returncode == 0


def test_refused_file(benchmark, tmp_path) -> None:
    file = tmp_path / "refused.toml"
    file.write_text('extends = "' + str(CONFIGS / "saltmarsh.toml") + '"\n[pod]\nwall = 4\n')
    answer = benchmark.pedantic(run, ("-m", "geomgen.cli", "check", str(file)), rounds=5)
    assert answer.returncode == 2


def test_solids(benchmark) -> None:
    from geomgen.parameters import load
    from geomgen.workflows import assemble

    p = load(CONFIGS / "saltmarsh.toml")
    model = benchmark.pedantic(assemble, (p,), rounds=3, warmup_rounds=1)
    assert model.parts


def test_full_build_cold(benchmark, tmp_path) -> None:
    file = str(CONFIGS / "saltmarsh.toml")
    words = ("-m", "geomgen.cli", "build", file, "--out", str(tmp_path), "--quiet")
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr
    used = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    benchmark.extra_info["peak_memory_mb"] = used // 1024


def test_whole_handoff(benchmark, tmp_path) -> None:
    file = str(CONFIGS / "saltmarsh.toml")
    words = ("-m", "geomgen.cli", "handoff", file, "--out", str(tmp_path), "--quiet")
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr


def test_report_of_a_built_set(benchmark, tmp_path) -> None:
    """The report with all its files; and how soon a browser shows the page, model and all."""
    from browser import chromium, opened

    file = str(CONFIGS / "saltmarsh.toml")
    run("-m", "geomgen.cli", "build", file, "--out", str(tmp_path))
    words = ("-m", "geomgen.cli", "report", file, "--out", str(tmp_path), "--quiet")
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr
    page = tmp_path / "saltmarsh" / "report.html"
    with chromium() as window:
        assert opened(window, page) == "ready"
        ask = "return document.getElementById('view').dataset.readyAfter"
        benchmark.extra_info["shown_after_ms"] = float(window.execute_script(ask))
    benchmark.extra_info["page_megabytes"] = page.stat().st_size / 1e6


def test_comparison(benchmark, tmp_path) -> None:
    """Of two built sets whose pods differ."""
    file = str(CONFIGS / "saltmarsh.toml")
    sides = {"former": (), "new": ("--set", "pod.wall=4.2 mm")}
    for name, change in sides.items():
        answer = run("-m", "geomgen.cli", "build", file, *change, "--out", str(tmp_path / name))
        assert answer.returncode == 0, answer.stderr
    folders = [str(tmp_path / name / "saltmarsh") for name in sides]
    words = ("-m", "geomgen.cli", "compare", *folders, "--out", str(tmp_path), "--quiet")
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr


def test_verify(benchmark, tmp_path) -> None:
    run("-m", "geomgen.cli", "build", str(CONFIGS / "saltmarsh.toml"), "--out", str(tmp_path))
    words = ("-m", "geomgen.cli", "verify", str(tmp_path / "saltmarsh"))
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr


def test_plain_cadquery_of_the_same_parts(benchmark, tmp_path) -> None:
    """The script written by hand, for the ratio to the line above."""
    words = (str(HERE / "plain_cadquery.py"), str(CONFIGS / "saltmarsh.toml"), str(tmp_path))
    answer = benchmark.pedantic(run, words, rounds=1)
    assert answer.returncode == 0, answer.stderr
    benchmark.extra_info["solids_and_all_seconds"] = answer.stdout.strip()


@pytest.mark.parametrize("many", [2000, 20000])
def test_choosing_what_is_measured_exactly(benchmark, many) -> None:
    """All rounds of a study: first answers are there, exact ones come as they are due."""
    from types import SimpleNamespace

    from made_outcomes import trading

    from geomgen.sweeping.exactly_due import due_exactly
    from geomgen.sweeping.plan import SweepQuestion, plan_of

    exact, first = trading(many)
    one = plan_of(SweepQuestion(CONFIGS / "saltmarsh.toml", ("firewall.thickness=0.4 mm:1 mm:4",)))
    named = [SimpleNamespace(number=i, values=[SimpleNamespace(number=0.4)]) for i in range(many)]
    plan = SimpleNamespace(base=one.base, varies=one.varies, axes=(), senses={}, variants=named)

    def choose() -> int:
        found = list(first)
        while due := due_exactly(plan, found):
            for place in due:
                found[place] = exact[place]
        return sum(outcome.exact for outcome in found)

    assert benchmark.pedantic(choose, rounds=1) > 0
