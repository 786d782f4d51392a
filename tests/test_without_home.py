"""A run needs no home: libraries that like to keep something there do without, and say nothing."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from few_cases import few

ROOT = Path(__file__).parents[1]
CONFIG = ROOT / "configs" / "saltmarsh.toml"
# Homes that not even the superuser can make; the second one is that of many a service.
NOWHERE = ["/proc/home", "/dev/null"]
# Writes and proves a drawing in all formats, draws a picture, loads what reads meshes and tables.
WRITE = """
import sys
from pathlib import Path
import lib3mf, manifold3d, plotly, pyarrow, scipy, trimesh
from vtkmodules.vtkRenderingCore import vtkRenderer
from geomgen.drafting.record import CUT, Drawing, circle
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.formats.every_format import write_drawing
from geomgen.renders.window import colours_of, window

drawing = Drawing("disc", (circle((0.0, 0.0), 500.0, CUT),))
rows = write_drawing(Path(sys.argv[1]), Sheet(drawing, "A4", 20), Title("Demo", "disc", "A"))
with window((64, 48)) as shown:
    shown.AddRenderer(vtkRenderer())
    shown.Render()
    print(sorted(row["file"].rpartition(".")[2] for row in rows), colours_of(shown).shape)
"""


def at_home(home: str) -> dict[str, str]:
    """Return the environment with another home."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("XDG_")}
    return {**kept, "HOME": home, "PYTHONPATH": str(ROOT)}


@pytest.mark.parametrize("home", few(NOWHERE))
def test_files_and_pictures(tmp_path, home):
    found = subprocess.run(
        [sys.executable, "-c", WRITE, str(tmp_path)],
        capture_output=True,
        text=True,
        timeout=300,
        env=at_home(home),
        cwd=tmp_path,
    )
    assert (found.returncode, found.stderr) == (0, "")
    assert found.stdout == "['dxf', 'pdf', 'svg'] (48, 64, 3)\n"


def test_nothing_in_a_home_changes_what_is_written(tmp_path):
    """The library that writes PDF would run such files."""
    for name in (".reportlab_mods", ".reportlab_settings"):
        (tmp_path / name).write_text("raise SystemExit('run')", encoding="ascii")
    code = "from geomgen.documents import pdf; from geomgen.drafting.formats.pdf import lines; "
    code += "from reportlab import rl_config"
    found = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        timeout=300,
        env=at_home(str(tmp_path)),
    )
    assert (found.returncode, found.stderr) == (0, "")


@pytest.mark.parametrize("command", ["size", "check"])
def test_commands(saltmarsh_set, kept, tmp_path, command):
    """What the shared build has kept is taken: nothing is built here."""
    (tmp_path / ".kept").symlink_to(kept.folder)
    more = ["--out", str(tmp_path)] if command == "check" else []
    found = subprocess.run(
        [sys.executable, "-m", "geomgen.cli", command, str(CONFIG), "--json", *more],
        capture_output=True,
        text=True,
        timeout=300,
        env=at_home(NOWHERE[0]),
        cwd=tmp_path,
    )
    assert (found.returncode, found.stderr) == (0, "")
    assert json.loads(found.stdout)["exit_code"] == 0
