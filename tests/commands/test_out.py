"""A folder for what is made that can't be one is refused before anything is built."""

import subprocess
import sys
from pathlib import Path

import pytest
from few_cases import few

ROOT = Path(__file__).parents[2]
CONFIG = str(ROOT / "configs" / "saltmarsh.toml")
OTHER = str(ROOT / "configs" / "tight.toml")
PROBE = """
import sys
from geomgen.cli import main
code = main(sys.argv[1:])
print(code, "OCP" in sys.modules)
"""
COMMANDS = [
    ["build", CONFIG],
    ["check", CONFIG],
    ["handoff", CONFIG],
    ["report", CONFIG],
    ["compare", CONFIG, OTHER],
    ["sweep", CONFIG, "--vary", "pod.wall=3mm,4mm"],
    ["solve", CONFIG, "--free", "scoops.cheek.height=40mm:70mm", "--until", "inlet.area=target"],
    ["watch", CONFIG, "--no-page", "--quiet"],
]


@pytest.mark.parametrize("arguments", few(COMMANDS, 0, 5), ids=lambda arguments: arguments[0])
def test_a_file_in_place_of_the_folder(tmp_path, arguments):
    (tmp_path / "file").write_text("a file", encoding="ascii")
    found = subprocess.run(
        [sys.executable, "-c", PROBE, *arguments, "--out", str(tmp_path / "file")],
        capture_output=True,
        text=True,
        cwd=ROOT,
        timeout=120,
    )
    assert found.stdout.splitlines()[-1] == "4 False", found.stderr
    assert "a file" in found.stderr or "in the way" in found.stderr
    assert "  do: " in found.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["file"]
