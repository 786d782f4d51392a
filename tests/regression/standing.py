"""What the program gives for an example, as plain numbers and texts to hold a later state to.

Read from the files with libraries that are not ours; how they were written does not count.

`PYTHONPATH=. python tests/regression/standing.py record [EXAMPLE ...]` makes the examples anew and
writes what stands; with `differences` it tells what differs from that, on the same machine.
"""

import hashlib
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import zipfile
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

CONFIGS = Path(__file__).parents[2] / "configs"
RECORDS = Path(__file__).with_name("standing")
# What is made of each: tight would be handed off as saltmarsh is, hayfield asks for no hand-off.
EXAMPLES = {"saltmarsh": ("report", "handoff"), "hayfield": ("report",), "tight": ("report",)}
# What a file's bytes are, and what it was made with, is no figure of the aircraft.
HASH = re.compile("[0-9a-f]{64}")
NO_FIGURES = {"sha256", "bytes", "made_with", "seconds", "parameters_sha256", "readings"}


def all_of(folder: Path) -> dict[str, object]:
    """Return what every file of a set holds, by its path within `folder`."""
    files = sorted(p for p in folder.rglob("*") if p.is_file())
    return {str(p.relative_to(folder).as_posix()): held_in(p) for p in files}


def held_in(path: Path) -> object:
    """Return the figures of one file [mm, mm2, mm3], or the hash of a text without any."""
    return READERS.get(path.suffix, _hash)(path)


def _hash(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()[:16]


def _step(path: Path) -> object:
    from cadquery import importers

    solids = importers.importStep(str(path)).solids().vals()
    return sorted([s.Volume(), s.Area(), *_corners(s)] for s in solids)


def _corners(solid) -> list[float]:
    box = solid.BoundingBox(1e-3)
    return [box.xmin, box.ymin, box.zmin, box.xmax, box.ymax, box.zmax]


def _mesh(path: Path) -> object:
    import trimesh

    mesh = trimesh.load(path, force="mesh")
    return [len(mesh.faces), float(mesh.volume), float(mesh.area), *mesh.bounds.ravel().tolist()]


def _threemf(path: Path) -> object:
    with zipfile.ZipFile(path) as packed:
        tree = ElementTree.fromstring(packed.read("3D/3dmodel.model"))
    count: dict[str, int] = defaultdict(int)
    total: dict[str, float] = defaultdict(float)
    for element in tree.iter():
        kind = element.tag.split("}")[-1]
        count[kind] += 1
        for axis in "xyz" if kind == "vertex" else ():
            total[axis] += float(element.attrib[axis])
    return {**count, **total}


def _dxf(path: Path) -> object:
    import ezdxf

    found: dict[str, list] = defaultdict(lambda: [0, 0.0, 0.0])
    texts = []
    for entity in ezdxf.readfile(path).modelspace():
        own = found[f"{entity.dxftype()} {entity.dxf.layer}"]
        places = _places_of(entity)
        own[0] += 1
        own[1] += math.fsum(x for x, _ in places)
        own[2] += math.fsum(y for _, y in places)
        if entity.dxftype() in ("TEXT", "MTEXT"):
            texts.append(entity.plain_text())
    return {**found, "texts": _digest("\n".join(texts))}


def _places_of(entity) -> list[tuple[float, float]]:
    from ezdxf.math import Vec2

    kind, dxf = entity.dxftype(), entity.dxf
    if kind == "LWPOLYLINE":
        return [(p[0], p[1]) for p in entity.get_points()]
    if kind == "SPLINE":
        return [(p[0], p[1]) for p in entity.control_points]
    if kind == "DIMENSION":
        return [(entity.get_measurement(), 0.0), dxf.defpoint.vec2]
    names = ("start", "end", "center", "insert")
    points = [Vec2(dxf.get(n)) for n in names if dxf.hasattr(n)]
    if dxf.hasattr("radius"):
        points.append((dxf.radius, dxf.get("start_angle", 0.0) + dxf.get("end_angle", 0.0)))
    return points


def _pdf(path: Path) -> object:
    import pypdfium2

    with pypdfium2.PdfDocument(path) as document:
        return [
            [
                round(page.get_width(), 3),
                round(page.get_height(), 3),
                sum(1 for _ in page.get_objects()),
                _digest(page.get_textpage().get_text_range()),
            ]
            for page in document
        ]


def _svg(path: Path) -> object:
    count: dict[str, int] = defaultdict(int)
    texts = []
    for element in ElementTree.parse(path).iter():
        count[element.tag.split("}")[-1]] += 1
        texts.append(element.text or "")
    return {**count, "texts": _digest("\n".join(texts))}


def _json(path: Path) -> object:
    return _plain(json.loads(path.read_text(encoding="utf-8")))


def _plain(value: object) -> object:
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items() if k not in NO_FIGURES}
    if isinstance(value, str) and HASH.fullmatch(value):
        return "a hash"
    return [_plain(v) for v in value] if isinstance(value, list) else value


def _picture(path: Path) -> object:
    from PIL import Image

    with Image.open(path) as picture:
        return list(picture.size)


def _page(path: Path) -> object:
    """Return what a reader of a page reads: its words, without scripts, styles and pictures."""
    import html5lib

    tree = html5lib.parse(path.read_text(encoding="utf-8"), namespaceHTMLElements=False)
    words = " ".join(" ".join(t for t in _spoken(tree)).split())
    return [len(words), _digest(words)]


def _spoken(element) -> Iterator[str]:
    if element.tag not in ("script", "style"):
        yield element.text or ""
        for child in element:
            yield from _spoken(child)
            yield child.tail or ""


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:16]


READERS = {
    ".step": _step, ".stl": _mesh, ".3mf": _threemf, ".glb": _mesh, ".dxf": _dxf, ".pdf": _pdf,
    ".svg": _svg, ".json": _json, ".png": _picture, ".html": _page,
}  # fmt: skip


def differences(now: object, then: object, where: str = "", within: float = 1e-9) -> list[str]:
    """Return where two trees of figures differ, relatively by more than `within`."""
    if isinstance(now, dict) and isinstance(then, dict):
        lost = [f"{where}/{k}: gone" for k in then if k not in now]
        new = [f"{where}/{k}: new" for k in now if k not in then]
        both = [k for k in now if k in then]
        return (
            lost
            + new
            + [d for k in both for d in differences(now[k], then[k], f"{where}/{k}", within)]
        )
    if isinstance(now, list) and isinstance(then, list) and len(now) == len(then):
        pairs = enumerate(zip(now, then, strict=True))
        return [d for k, (a, b) in pairs for d in differences(a, b, f"{where}[{k}]", within)]
    if (now == then and type(now) is type(then)) or (
        _number(now) and _number(then) and _near(now, then, within)
    ):
        return []
    return [f"{where}: {_short(now)}, was {_short(then)}"]


def _number(value: object) -> bool:
    return isinstance(value, float | int) and not isinstance(value, bool)


def _near(now: float, then: float, within: float) -> bool:
    # A place of 1e-12 mm is nought.
    return math.isclose(now, then, rel_tol=within, abs_tol=1e-7)


def _short(value: object) -> str:
    text = json.dumps(value)
    return text if len(text) < 80 else f"{text[:77]}..."


def help_texts() -> dict[str, str]:
    """Return the help of the program and of each command, as shown on 80 columns."""
    from geomgen.cli import COMMANDS

    names = ["", *(command.__name__.rpartition(".")[2] for command in COMMANDS)]
    return {name: _said([*([name] if name else []), "--help"]) for name in names}


def _said(arguments: list[str]) -> str:
    run = [sys.executable, "-m", "geomgen", *arguments]
    env = {**os.environ, "COLUMNS": "80"}
    return subprocess.run(run, capture_output=True, text=True, env=env).stdout


def made(example: str, out: Path, command: str) -> Path:
    """Return the folder of a set that a command of the program makes of an example."""
    _said([command, str(CONFIGS / f"{example}.toml"), "--out", str(out), *EXTRA.get(command, ())])
    return out / example


EXTRA = {"handoff": ("--release-anyway", "held to what stood before")}


def whole(example: str) -> dict[str, object]:
    """Return all that a report, and a hand-off, give of an example, with the files of the set."""
    found: dict[str, object] = {}
    with tempfile.TemporaryDirectory() as folder:
        # Each clears what the other made, and takes from the same store what both need.
        for command in EXAMPLES[example]:
            found |= all_of(made(example, Path(folder), command))
    return found


def record_of(name: str) -> object:
    """Return what is on record by a name."""
    return json.loads((RECORDS / f"{name}.json").read_text(encoding="utf-8"))


def write(name: str, tree: dict) -> None:
    """Write a record, one line for each of its entries, so that a change can be read."""
    lines = [f"{json.dumps(k)}: {json.dumps(v)}" for k, v in tree.items()]
    RECORDS.mkdir(exist_ok=True)
    (RECORDS / f"{name}.json").write_text("{\n" + ",\n".join(lines) + "\n}\n", encoding="utf-8")


def main(what: str, *names: str) -> int:
    """Record what stands, or print what differs from the record; return how many differ."""
    found = 0
    for name in names or ("help", *EXAMPLES):
        tree = help_texts() if name == "help" else whole(name)
        if what == "record":
            write(name, tree)
            continue
        different = differences(tree, record_of(name), name)
        found += len(different)
        print("\n".join(different) or f"{name}: as it was")
    return min(found, 1)


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
