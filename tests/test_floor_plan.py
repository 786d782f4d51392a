"""The floor plan: who may import whom, how large a room may be, what may be called what."""

import ast
from collections import Counter
from functools import cache
from pathlib import Path

import networkx
from program_trees import FILES, ROOT, tree

import geomgen
from geomgen import parameters, workflows

# A room's own files, and those of rooms inside it, may always be imported; circles are held below.
# Where several of these rooms hold a file, the innermost counts. `kernel/` is its own files alone.
MAY_IMPORT = {
    "errors": set(),
    "units": {"unit_table", "errors"},
    "unit_table": set(),
    "length_words": {"units"},
    "processes": {"errors"},
    "parameters": {"units", "errors"},
    "parameters.file_text": {"errors"},
    "parameters.values": {"parameters.file_text", "units", "errors"},
    "parameters.records": {"parameters.file_text", "parameters.values", "units", "errors"},
    "parameters.rules": {
        *("parameters.file_text", "parameters.values", "parameters.records", "units", "errors"),
    },
    "parameters.reading": {
        *("parameters.file_text", "parameters.values", "parameters.records", "parameters.rules"),
        *("units", "errors"),
    },
    "sizing": {"parameters", "units", "errors"},
    "starting": {"parameters", "sizing", "units", "errors"},
    "kernel": {"processes", "errors"},
    "kernel.brep": {"kernel/", "errors"},
    "kernel.meshing": {"kernel/", "kernel.brep", "errors"},
    "kernel.solids": {"kernel/", "kernel.brep", "kernel.meshing", "processes.role", "errors"},
    "kernel.lofting": {"kernel/", "kernel.brep", "kernel.solids", "errors"},
    "kernel.meshes": {"kernel/", "kernel.brep", "kernel.meshing", "errors"},
    "kernel.trimming": {"kernel/", "kernel.brep", "kernel.meshing", "kernel.solids", "errors"},
    "kernel.visibility": {"kernel/", "kernel.brep", "kernel.meshing", "kernel.solids", "errors"},
    "kernel.interference": {
        *("kernel/", "kernel.brep", "kernel.meshing", "kernel.solids", "kernel.meshes", "errors"),
    },
    "kernel.sections": {
        *("kernel/", "kernel.brep", "kernel.meshing", "kernel.solids", "kernel.meshes"),
        *("kernel.interference", "errors"),
    },
    "kernel.openings": {
        *("kernel/", "kernel.brep", "kernel.meshing", "kernel.solids", "kernel.meshes"),
        *("kernel.interference", "kernel.sections", "errors"),
    },
    "shapes": {"parameters", "sizing.formulas.cooling", "kernel", "errors"},
    "measurements": {"kernel", "processes", "air.potential", "air.paneling", "errors"},
    "measurements.outside_air": {
        *("measurements/", "air.potential", "air.paneling", "air.slow_layer", "kernel"),
        *("processes.role", "errors"),
    },
    "air": {
        *("air.cooling", "air.slow_layer", "parameters", "sizing.formulas.cooling"),
        *("measurements.record", "documents.record", "units", "errors"),
    },
    "air.paneling": {"air.potential", "kernel", "errors"},
    "air.slow_layer": {"errors"},
    "air.cooling": {"sizing.formulas.cooling", "units", "errors"},
    "verdicts": {"measurements.record", "sizing.target", "units", "errors"},
    "balance.masses": {
        *("parameters", "sizing.formulas.shaft", "shops.laminate", "measurements.record", "errors"),
    },
    "balance": {
        *("parameters", "sizing", "shops.laminate", "measurements.record", "verdicts", "units"),
        *("documents.record", "air.through", "errors"),
    },
    "air.potential": {"errors"},
    "drafting": {"length_words", "errors"},
    "drafting.formats": {
        *("drafting/", "drafting.paper", "files.disk", "files.manifest", "units"),
        *("length_words", "errors"),
    },
    "documents": {
        *("drafting.formats.pdf.lines", "drafting.lettering", "drafting.paper.title"),
        *("drafting.own_lengths",),
        *("files.disk", "errors"),
    },
    "files": {"kernel", "processes", "errors"},
    "shops": {
        *("drafting/", "drafting.paper", "shapes", "kernel", "parameters", "errors"),
        *("measurements.record", "sizing.target", "sizing.formulas.firewall", "verdicts.check"),
        *("verdicts.judge", "length_words", "units"),
    },
    "pages": {
        *("documents", "shops.product", "verdicts", "sizing.target", "drafting.paper.title"),
        *("drafting.own_lengths", "length_words", "units", "errors"),
    },
    "aircraft_drawings": {
        *("drafting/", "drafting.paper", "kernel", "processes", "errors"),
        *("verdicts.check", "verdicts.outcome", "verdicts.wording"),
    },
    "renders": {"kernel", "documents.pressure_bands", "errors"},
    "comparison": {
        *("documents.record", "verdicts", "measurements.record", "drafting/", "drafting.paper"),
        *("kernel", "processes", "errors"),
    },
    "studies": {"parameters", "verdicts", "processes", "units", "errors"},
    "regeneration": {
        *("parameters", "shapes", "measurements", "verdicts", "sizing", "files.places", "kernel"),
        *("balance", "processes", "errors"),
    },
    "regeneration.store": {"errors"},
    "regeneration.reads": {"errors"},
    "regeneration.fingerprints": {"errors"},
    "solving.search": {"studies", "parameters", "verdicts", "processes", "units", "errors"},
    "watching.live_page": {
        *("documents.pressure_legend", "pages", "parameters", "verdicts", "measurements.record"),
        *("drafting/", "units", "errors"),
    },
    "workflows": {
        *("parameters", "starting", "sizing", "regeneration", "shapes", "measurements", "verdicts"),
        *("kernel", "files", "drafting", "shops", "aircraft_drawings", "renders", "pages"),
        *("comparison", "documents", "balance", "air", "processes", "units", "errors"),
    },
}
HEAVY = {"OCP", "cadquery", "trimesh", "manifold3d", "scipy", "numpy"}
LIGHT = {
    "parameters",
    "sizing",
    "starting",
    "verdicts",
    "units",
    "unit_table",
    "length_words",
    "errors",
    "cli",
    "terminal",
    "commands",
    "processes",
}
DRAWERS = {"util", "utils", "misc", "helper", "helpers", "common", "manager", "tool", "tools"}
# Outside kernel/ only STEP's writer calls the geometry kernel by itself: a format stands in files/.
CALLING = {"files/step.py"}
LARGEST_ROOM = 14
FAMILY = 3


@cache
def importing(path: Path) -> list[ast.stmt]:
    """Return the statements that import something, wherever they stand."""
    return [n for n in ast.walk(tree(path)) if isinstance(n, ast.Import | ast.ImportFrom)]


def imports(path: Path) -> set[str]:
    names: set[str] = set()
    for node in importing(path):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names |= {node.module} | {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def read(path: Path, known: set[str]) -> set[str]:
    """Return which of our files are read: of `from folder import file`, the file."""
    found: set[str] = set()
    for node in importing(path):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= names if names <= known else {*names, node.module}
    return found & known


def module(path: Path) -> str:
    parts = path.relative_to(ROOT.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


KNOWN = {module(path) for path in FILES}


def within(name: str, room: str) -> bool:
    if room.endswith("/"):
        return name.rpartition(".")[0] == room[:-1]
    return name == room or name.startswith(room + ".")


def of_room(path: Path) -> str | None:
    """Return the innermost room with a rule that holds a file."""
    name = module(path).removeprefix("geomgen.")
    held = [room for room in MAY_IMPORT if within(name, room)]
    return max(held, key=len, default=None)


def short(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def against_the_plan(path: Path) -> set[str]:
    """Return what a file imports that its room may not."""
    room = of_room(path)
    inner = {name.removeprefix("geomgen.") for name in read(path, KNOWN)}
    odd = set()
    if room is not None:
        allowed = {room, "arrays", *MAY_IMPORT[room]}
        odd |= {n for n in inner if not any(within(n, a) for a in allowed)}
    if path.relative_to(ROOT).parts[0].removesuffix(".py") in LIGHT:
        odd |= HEAVY & {n.split(".")[0] for n in imports(path)}
        odd |= inner & {"arrays"}
    return odd


def test_one_direction_of_imports() -> None:
    assert {short(path): odd for path in FILES if (odd := against_the_plan(path))} == {}


def test_every_room_with_a_rule_is_there() -> None:
    names = {name.removeprefix("geomgen.") for name in KNOWN}
    others = {other.removesuffix("/") for allowed in MAY_IMPORT.values() for other in allowed}
    assert {*MAY_IMPORT, *others} <= names


def graph_of_files() -> networkx.DiGraph:
    """Return who imports whom, in functions and for types alone too."""
    return networkx.DiGraph((module(path), other) for path in FILES for other in read(path, KNOWN))


def test_no_circle_of_imports() -> None:
    assert list(networkx.simple_cycles(graph_of_files())) == []


def test_no_circle_of_rooms() -> None:
    """What a folder's own `__init__` shows to others stands above the rooms inside it."""
    packages = {module(path) for path in FILES if path.name == "__init__.py"}
    top = {module(path) for path in FILES if path.parent == ROOT}

    def room(name: str) -> str:
        above = name.rpartition(".")[0]
        return f"{name} as a whole" if name in packages else name if name in top else above

    pairs = {(room(a), room(b)) for a, b in graph_of_files().edges}
    graph = networkx.DiGraph(pair for pair in pairs if pair[0] != pair[1])
    assert list(networkx.simple_cycles(graph)) == []


def test_the_package_is_marked_as_typed() -> None:
    """Who imports geomgen gets its types (PEP 561), and nothing stands in a folder by mistake."""
    assert (ROOT / "py.typed").read_bytes() == b""
    assert {path.suffix for path in ROOT.iterdir() if path.is_file()} == {".py", ".typed"}
    rooms = {path.relative_to(ROOT).parts[0] for path in ROOT.glob("*/*")} - {"__pycache__"}
    assert {room for room in rooms if not (ROOT / room / "__init__.py").is_file()} == set()


def test_length_and_name() -> None:
    assert [short(p) for p in FILES if len(p.read_text().splitlines()) > 400] == []
    drawers = {
        short(p): found
        for p in FILES
        if (found := DRAWERS & {part.removesuffix(".py") for part in p.relative_to(ROOT).parts})
    }
    assert drawers == {}


def families(room: Path) -> set[str]:
    """Return the words that more than a few of a room's names begin with."""
    names = [path.stem for path in room.glob("*.py") if path.stem != "__init__"]
    first = Counter(name.split("_")[0] for name in names)
    return {word for word, many in first.items() if many > FAMILY}


def test_rooms_are_small_and_hold_no_families() -> None:
    rooms = Counter(path.parent for path in FILES if path.stem != "__init__")
    assert {room: many for room, many in rooms.items() if many > LARGEST_ROOM} == {}
    assert {room: found for room in rooms if (found := families(room))} == {}


def test_no_room_hides_a_function_of_its_name() -> None:
    """A folder that is imported stands in its parent under its name, whatever stood there."""
    for shown in (geomgen, parameters, workflows):
        folders = {path.name for path in Path(shown.__file__).parent.iterdir() if path.is_dir()}
        assert not folders & set(shown.__all__)


def calls_the_kernel(path: Path) -> bool:
    """Say whether more is taken of the kernel than names of kinds, for words on types."""
    for node in tree(path).body:
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "OCP":
            kinds = all(alias.name.startswith("TopoDS_") for alias in node.names)
            if node.module != "OCP.TopoDS" or not kinds:
                return True
    return False


def test_the_kernel_is_called_in_its_folder_alone() -> None:
    outside = [path for path in FILES if path.relative_to(ROOT).parts[0] != "kernel"]
    calling = {path.relative_to(ROOT).as_posix() for path in outside if calls_the_kernel(path)}
    assert calling == CALLING


def test_every_cut_by_a_plane_is_asked_of_one_module() -> None:
    room = "geomgen.kernel.sections"
    open_to_all = {"section", "near_axis", "outline_gap", "revolution"}
    inner = {f"{room}.{path.stem}" for path in (ROOT / "kernel" / "sections").glob("*.py")}
    inner -= {f"{room}.{name}" for name in open_to_all}
    for path in FILES:
        if path.parent != ROOT / "kernel" / "sections":
            assert not imports(path) & inner, path
