"""Every finding that is judged names where its limit comes from."""

import ast
from pathlib import Path

import geomgen

SHOPS = Path(geomgen.__file__).parent / "shops"


def judged(tree: ast.AST):
    for node in ast.walk(tree):
        named = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
        if named and node.func.id in ("found", "Finding"):
            given = {keyword.arg: keyword.value for keyword in node.keywords}
            # A call that hands on what it was given says nothing itself.
            if None not in given and given.keys() & {"low", "high", "verdict"}:
                yield node.lineno, given.get("source")


def test_every_finding_with_a_limit_or_a_verdict_names_its_source() -> None:
    seen, bare = 0, []
    for file in sorted(SHOPS.rglob("*.py")):
        for line, source in judged(ast.parse(file.read_text())):
            seen += 1
            if source is None or (isinstance(source, ast.Constant) and not source.value):
                bare.append(f"{file.relative_to(SHOPS)}:{line}")
    assert seen > 30
    assert bare == []
