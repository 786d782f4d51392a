"""What is said about installing: one list of system packages, and never a name for an index."""

import re
import tomllib
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[1]
TEXTS = [ROOT / name for name in ("README.md", "DEVELOPERS.md", ".ci/run", "pyproject.toml")]
HOOKS = ROOT / ".pre-commit-config.yaml"
TEXTS += sorted((ROOT / "geomgen").rglob("*.py"))
# An index may give another's package under our name: only the clone is ever installed.
BY_NAME = re.compile(
    r"""(pip|uv|pipx|install)\b[^\n]*?[\s'"=]geomgen(\[|['"\s]|[<>=~]=|$)|geomgen\["""
)


def test_nobody_is_told_to_install_it_by_name():
    lines = [(p.name, line) for p in TEXTS for line in p.read_text("utf-8").splitlines()]
    assert [(name, line) for name, line in lines if BY_NAME.search(line)] == []


@pytest.mark.parametrize(
    "line", ['pip install "geomgen[dask]"', "pip install geomgen", "uv tool install geomgen==1"]
)
def test_such_a_line_is_found(line):
    assert BY_NAME.search(line)


def test_the_readme_and_the_checks_name_the_same_system_packages():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (line,) = re.findall(r"apt-get install -y (.*)", readme)
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    installed = set(re.findall(r"[\w.+]+:([a-z0-9-]+)(?=[ ;])", script)) | {"fonts-liberation"}
    assert set(line.split()) == installed | {"python3-venv"}
    head = script[: script.index("set -euo")]
    assert all(package in head for package in installed)


def test_the_packages_for_development_hold_those_for_dask():
    extras = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    dask, dev = (extras["optional-dependencies"][name] for name in ("dask", "dev"))
    assert set(dask) < set(dev)


def test_the_hooks_are_the_checks_of_style_and_fetch_nothing():
    (source,) = yaml.safe_load(HOOKS.read_text(encoding="utf-8"))["repos"]
    assert source["repo"] == "local"
    assert all(hook["language"] == "system" for hook in source["hooks"])
    assert not any("additional_dependencies" in hook for hook in source["hooks"])
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    checks = re.findall(r"^\.venv/bin/((?:ruff|mypy)\b.*)$", script, re.M)
    assert [hook["entry"] for hook in source["hooks"]] == checks
