"""The program's own source, read once for all tests that look at it."""

import ast
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1] / "geomgen"
FILES = sorted(ROOT.rglob("*.py"))


@cache
def tree(path: Path) -> ast.Module:
    """Return what a file of the program says."""
    return ast.parse(path.read_text("utf-8"))
