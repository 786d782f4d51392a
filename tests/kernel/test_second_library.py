"""The second library must leave no threads: a forked child would wait for them for ever."""

import re
import subprocess
import sys
from pathlib import Path

import geomgen

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
