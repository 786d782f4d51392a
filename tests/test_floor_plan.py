"""The floor plan: who may import whom, how long a file may be, what may be called what."""

import ast
from pathlib import Path

import networkx
import pytest

ROOT = Path(__file__).parents[1] / "geomgen"
FILES = sorted(ROOT.rglob("*.py"))
MAY_IMPORT = {
    "errors": set(),
    "units": {"unit_table", "errors"},
    "unit_table": set(),
    "processes": {"processes", "errors"},
    "parameters": {"parameters", "units", "errors"},
    "sizing": {"sizing", "parameters", "units", "errors"},
    "starting": {"starting", "parameters", "sizing", "units", "errors"},
    "kernel": {"kernel", "processes", "errors"},
    "shapes": {"shapes", "parameters", "kernel", "errors"},
    "measurements": {"measurements", "kernel", "processes", "errors"},
    "verdicts": {"verdicts", "measurements.record", "sizing.target", "units", "errors"},
    "drawings": {"drawings", "errors"},
    "files": {"files", "drawings", "kernel", "processes", "errors"},
    "report": {
        "report",
        "handoff.product",
        "verdicts",
        "sizing.target",
        "drawings",
        "units",
        "errors",
    },
    "views": {
        *("views", "drawings", "kernel", "processes", "errors"),
        *("verdicts.check", "verdicts.outcome", "verdicts.wording"),
    },
    "pictures": {"pictures", "kernel", "errors"},
    "comparison": {
        "comparison",
        "verdicts",
        "measurements.record",
        "drawings",
        "kernel",
        "processes",
        "errors",
    },
    "cache": {"cache", "errors"},
    "studies": {"studies", "parameters", "verdicts", "processes", "units", "errors"},
    "live": {
        *("live", "report", "parameters", "verdicts", "measurements.record", "drawings"),
        *("units", "errors"),
    },
    "handoff": {"handoff", "drawings", "shapes", "kernel", "parameters", "errors"},
}
HEAVY = {"OCP", "cadquery", "trimesh", "manifold3d", "scipy", "numpy"}
LIGHT = {
    "parameters",
    "sizing",
    "starting",
    "verdicts",
    "units",
    "unit_table",
    "errors",
    "cli",
    "console",
    "commands",
    "processes",
}
DRAWERS = {"util", "utils", "misc", "helper", "helpers", "common", "manager", "tool", "tools"}


def imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def place(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_one_direction_of_imports(path: Path) -> None:
    allowed = MAY_IMPORT.get(place(path))
    inner = {n.removeprefix("geomgen.") for n in imports(path) if n.startswith("geomgen.")}
    if allowed is not None:
        bad = {n for n in inner if not any(n == a or n.startswith(a + ".") for a in allowed)}
        assert not bad
    if place(path) in LIGHT:
        assert not HEAVY & {n.split(".")[0] for n in imports(path)}
    if place(path) not in {"kernel", "shapes", "measurements", "files", "handoff", "pipeline"}:
        assert "OCP" not in {n.split(".")[0] for n in imports(path)}


# Files outside kernel/ that call the geometry kernel by themselves; none may be added.
CALLING = {
    "files/step.py",
    "handoff/mould_edge.py",
    "handoff/mould_quadrants.py",
    "handoff/skin_distance.py",
}


def calls_the_kernel(path: Path) -> bool:
    """Say whether more is taken of the kernel than names of kinds, for words on types."""
    for node in ast.parse(path.read_text()).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "OCP":
            kinds = all(alias.name.startswith("TopoDS_") for alias in node.names)
            if node.module != "OCP.TopoDS" or not kinds:
                return True
    return False


def test_the_kernel_is_called_in_its_folder_alone() -> None:
    outside = [path for path in FILES if place(path) != "kernel"]
    calling = {path.relative_to(ROOT).as_posix() for path in outside if calls_the_kernel(path)}
    assert calling == CALLING


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_length_and_name(path: Path) -> None:
    assert len(path.read_text().splitlines()) <= 400
    assert not DRAWERS & {part.removesuffix(".py") for part in path.relative_to(ROOT).parts}


def test_no_circle_of_imports() -> None:
    """Not inside a folder either, and not by an import inside a function or for types alone."""
    known = {module(path): path for path in FILES}
    graph = networkx.DiGraph((a, b) for a, path in known.items() for b in read(path, set(known)))
    assert list(networkx.simple_cycles(graph)) == []


def module(path: Path) -> str:
    parts = path.relative_to(ROOT.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def read(path: Path, known: set[str]) -> set[str]:
    """Return which of our files are read: of `from folder import file`, the file."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= names if names <= known else {*names, node.module}
    return found & known
