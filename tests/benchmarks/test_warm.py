"""One number changed: from the change to the verdict, as ratios to a cold full build of one run.

The kernel stays loaded, as it does while a file is watched; what did not change is in the store.
Nothing is asserted on time: the ratios stand in `extra_info`.
"""

import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

from geomgen.parameters import load
from geomgen.regeneration.regenerating import regenerate
from geomgen.regeneration.store import Store

FILE = Path(__file__).parents[2] / "configs" / "saltmarsh.toml"
CHANGES = {
    "nothing": (),
    "a speed": ("flight.climb_speed=46 kt",),
    "spinner": ("spinner.length=175 mm",),
    "boom": ("booms.stations.2.width=101 mm",),
    "wing": ("wing.sections.2.chord=905 mm",),
    "firewall": ("firewall.thickness=0.5 mm",),
    "scoop": ("scoops.0.height=55.5 mm",),
    "pod": ("pod.stations.5.breadth=599 mm",),
}
pytestmark = pytest.mark.benchmark


def run(*words: str) -> float:
    started = time.perf_counter()
    command = [sys.executable, "-m", "geomgen.cli", *words]
    subprocess.run(command, capture_output=True, check=False)
    return time.perf_counter() - started


@pytest.fixture(scope="module")
def cold(tmp_path_factory) -> float:
    """Seconds of a full build in a process of its own, with nothing kept."""
    return run("build", str(FILE), "--afresh", "--out", str(tmp_path_factory.mktemp("cold")))


@pytest.fixture(scope="module")
def store(tmp_path_factory) -> Store:
    found = Store(tmp_path_factory.mktemp("kept"))
    regenerate(load(FILE), found)
    return found


@pytest.mark.parametrize("name", CHANGES)
def test_change_to_verdict(benchmark, name, store, cold, tmp_path) -> None:
    state = benchmark.pedantic(
        lambda: regenerate(load(FILE, list(CHANGES[name])), store), rounds=1, warmup_rounds=0
    )
    seconds = benchmark.stats.stats.min
    benchmark.extra_info["seconds"] = round(seconds, 3)
    benchmark.extra_info["cold_build_seconds"] = round(cold, 2)
    benchmark.extra_info["times_faster"] = round(cold / seconds, 1)
    benchmark.extra_info["made"] = state.made
    benchmark.extra_info["kept"] = state.kept
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    of_children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    benchmark.extra_info["memory_mb"] = [used // 1024, of_children // 1024]


def test_check_with_all_kept(benchmark, cold, tmp_path) -> None:
    """A whole command: a new process, everything as it was."""
    words = ("check", str(FILE), "--out", str(tmp_path))
    run(*words)
    benchmark.pedantic(run, words, rounds=3)
    benchmark.extra_info["times_faster"] = round(cold / benchmark.stats.stats.min, 1)


def test_sweep_against_the_naive_loop(benchmark, tmp_path) -> None:
    """Variants a core and second: a sweep on one worker against a fresh `check` for each variant.

    Both are given one core's worth: the loop's two processes count double.
    """
    count = 6
    words = ("sweep", str(FILE), "--vary", f"spinner.length=150 mm:200 mm:{count}", "--jobs", "1")
    seconds = benchmark.pedantic(run, (*words, "--out", str(tmp_path / "sweep")), rounds=1)
    alone = [
        run("check", str(FILE), "--afresh", "--set", f"spinner.length={150 + 10 * i} mm",
            "--out", str(tmp_path / "loop"))
        for i in range(2)
    ]  # fmt: skip
    naive = 2 * sum(alone) / len(alone)
    benchmark.extra_info["seconds_a_variant"] = round(seconds / count, 2)
    benchmark.extra_info["naive_core_seconds_a_variant"] = round(naive, 2)
    benchmark.extra_info["times"] = round(naive / (seconds / count), 1)
