"""The second library must leave no threads: a forked child would wait for them for ever."""

import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import geomgen
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.second_library import passes, second_library

ROOT = Path(geomgen.__file__).parent

# Two balls of 80,000 triangles each keep every thread busy that there is.
LARGE = """
import os
{first}
def meet(k):
    ball = library.Manifold.sphere(50.0, 400)
    return (ball ^ ball.translate([10.0 + k, 3.0, 2.0])).volume()
before = os.sched_getaffinity(0)
for k in range(3):
    meet(k)
print(len(os.listdir("/proc/self/task")), os.sched_getaffinity(0) == before)
"""
HELD = """
everywhere = os.sched_getaffinity(0)
from geomgen.kernel.second_library import second_library
library = second_library()
assert os.sched_getaffinity(0) == everywhere
assert second_library() is library
"""


def threads(first: str) -> list[str]:
    """Return how many threads a process has after large booleans, and if its processors stayed."""
    command = [sys.executable, "-c", LARGE.format(first=first)]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    return ran.stdout.split()


def test_it_starts_no_threads_and_leaves_the_processors_as_they_were() -> None:
    assert threads(HELD) == ["1", "True"]


def test_no_other_file_makes_its_solids_unheld() -> None:
    """An import of its own would start the threads, whatever else is held."""
    own = ROOT / "kernel" / "second_library.py"
    for path in (path for path in ROOT.rglob("*.py") if path != own):
        rows = path.read_text(encoding="utf-8").splitlines()
        code = "\n".join(row for row in rows if ">>>" not in row)
        assert re.search(r"^\s*(from|import) manifold3d", code, re.MULTILINE) is None, path


@pytest.mark.parametrize("start", [(0.0, 0.0, 0.0), (44.0, -3.0, 8.0), (-70.0, 10.0, 4.0)])
def test_a_ray_that_ends_at_the_box_passes_what_one_without_end_passes(start: Vec3) -> None:
    """A hollow ball, from inside, from its wall's side and from outside, in 200 directions."""
    ball = second_library().Manifold.sphere(50.0, 48)
    hollow = ball - second_library().Manifold.sphere(40.0, 48)
    ways = np.random.default_rng(3).normal(size=(200, 3))
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    ends = (np.array(start) + 1e4 * ways).tolist()
    found = [passes(hollow, start, vec(way)) for way in ways]
    assert found == [len(hollow.ray_cast(list(start), end)) for end in ends]
    assert len(set(found)) == (1 if start == (0.0, 0.0, 0.0) else 2 if start[0] > 0.0 else 3)
