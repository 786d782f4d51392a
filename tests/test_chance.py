"""The default run is the same every time; only the long one draws by chance."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILES = sorted(Path(__file__).parent.rglob("*.py"))
DRAWN = """
from hypothesis import given, strategies as st

@given(st.floats(), st.text())
def test_drawn(number, text):
    print("drawn", repr(number), ascii(text))
"""


def drawn(folder: Path, *more: str, ci: bool = False) -> list[str]:
    """Return what a property is given in a run of its own."""
    file = folder / "test_drawn.py"
    file.write_text(DRAWN, encoding="ascii")
    elsewhere = {key: value for key, value in os.environ.items() if key != "CI"}
    found = subprocess.run(
        [sys.executable, "-m", "pytest", "-rP", "-n", "0", "-p", "conftest", *more, str(file)],
        env={
            **elsewhere,
            **({"CI": "true"} if ci else {}),
            "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'tests'}",
        },
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert found.returncode == 0, found.stdout
    return [line for line in found.stdout.splitlines() if line.startswith("drawn")]


@pytest.mark.parametrize(
    "ci",
    [
        pytest.param(False, id="by hand"),
        pytest.param(True, id="where CI is set", marks=pytest.mark.long),
    ],
)
def test_the_default_run_draws_the_same_each_time_and_the_long_one_does_not(tmp_path, ci):
    first, again = drawn(tmp_path, ci=ci), drawn(tmp_path, ci=ci)
    by_chance = drawn(tmp_path, "-m", "long", ci=ci)
    assert first == again
    assert (len(first), len(by_chance)) == (40, 100)
    assert by_chance != first


@pytest.mark.skipif("PYTEST_XDIST_WORKER" not in os.environ, reason="one process: no workers")
def test_sets_have_the_same_order_each_time(request):
    by_chance = request.config.getoption("markexpr") == "long"
    assert by_chance or not sys.flags.hash_randomization


def chance_in(path: Path) -> list[str]:
    """Return the calls of a file that draw without a seed, or that hold the long run as well."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if not isinstance(node, ast.Call):
            continue
        name = ast.unparse(node.func)
        if "(" in name:
            continue
        bare = not node.args and not node.keywords
        if name.endswith((".default_rng", ".RandomState", "random.Random")) and bare:
            found.append(f"{name} without a seed")
        if name.startswith(("random.", "np.random.", "uuid.", "secrets.")) and not name.endswith(
            (".default_rng", ".Random")
        ):
            found.append(name)
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_no_test_draws_without_a_seed(path):
    assert chance_in(path) == []


def test_a_call_without_a_seed_is_found(tmp_path):
    file = tmp_path / "drawing.py"
    file.write_text("rng = np.random.default_rng()\nx = random.random()\n", encoding="ascii")
    assert chance_in(file) == ["np.random.default_rng without a seed", "random.random"]
