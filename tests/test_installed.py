"""An installed package needs no clone: its wheel holds pages, styles and examples, and runs."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """Return the wheel of this clone; its builder comes from a package index."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, ROOT]
    subprocess.run(command, check=True)
    return next(folder.glob("geomgen-*.whl"))


@pytest.mark.long
def test_the_wheel_holds_all_that_stands_in_the_package(wheel) -> None:
    held = set(zipfile.ZipFile(wheel).namelist())
    stands = (p for p in (ROOT / "geomgen").rglob("*") if p.is_file())
    own = [p for p in stands if "__pycache__" not in p.parts]
    assert len({p.suffix for p in own} & {".py", ".js", ".css", ".j2"}) == 4
    assert {p.relative_to(ROOT).as_posix() for p in own} <= held
    assert "geomgen/py.typed" in held
    configs = [p for p in (ROOT / "configs").iterdir() if p.suffix in (".toml", ".dat")]
    examples = {name for name in held if name.startswith("geomgen/examples/")}
    assert examples == {f"geomgen/examples/{p.name}" for p in configs}
    outside = {name for name in held if not name.startswith("geomgen")}
    assert outside == set()


@pytest.mark.long
def test_it_runs_from_an_empty_folder(wheel, tmp_path) -> None:
    site, empty = tmp_path / "site", tmp_path / "empty"
    empty.mkdir()
    command = [sys.executable, "-m", "pip", "install", "-q", "--no-deps", "--target", site, wheel]
    subprocess.run(command, check=True)

    def run(*arguments: str) -> str:
        done = subprocess.run(
            [sys.executable, "-m", "geomgen.cli", *arguments],
            cwd=empty,
            env=os.environ | {"PYTHONPATH": str(site)},
            capture_output=True,
            text=True,
        )
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout

    code = "import geomgen; print(geomgen.__file__)"
    where = subprocess.run(
        [sys.executable, "-c", code],
        cwd=empty,
        env=os.environ | {"PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert Path(where.stdout.strip()).is_relative_to(site)
    assert [line.split()[0] for line in run("new", "--examples").splitlines()[:4]] == [
        *("framed", "hayfield", "saltmarsh", "tight"),
    ]
    run("new", "mine.toml", "--wing", "low")
    run("new", "copy.toml", "--from", "tight")
    for file in ("mine.toml", "copy.toml"):
        assert "inlet.area" in run("size", file)
    assert (empty / "curlew.dat").is_file()
