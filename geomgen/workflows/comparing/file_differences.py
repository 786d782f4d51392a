"""What differs between two files of one name whose bytes differ: measured where it has a shape."""

import json
import tomllib
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path
from typing import Any

from geomgen.comparison.drawing_changes import drawing_change
from geomgen.errors import GeomgenError
from geomgen.workflows.building.build import USED

# Meshes of one solid, made of bodies that differ in their last digits, lie apart by less [mm].
ALIKE = 1e-3
# Two figures of one name in texts of other versions agree to this share.
SHARE = 1e-6
LONGEST = 60
# Of these something is measured or read; of the others only the bytes tell.
MEASURED = (".stl", ".step", ".dxf", ".json", ".csv", ".toml")


def difference(found: Path, due: Path, tolerance: float) -> str:
    """Return in words how a file differs from what is due; empty where only its bytes do.

    `tolerance` [mm] is that of the meshes. Shapes and outlines are measured, tables and texts are
    read; of pages and pictures nothing is known but that they are other ones.
    """
    try:
        ways = (_meshes, _solids, _outlines, _tables, _rows, _values)
        way = dict(zip(MEASURED, ways, strict=True)).get(found.suffix, _other)
        return way(found, due, tolerance)
    except (GeomgenError, OSError, ValueError) as error:
        return f"it can't be read any more: {error}"


def _meshes(found: Path, due: Path, tolerance: float) -> str:
    from geomgen.files.set_reading import mesh_in
    from geomgen.kernel.meshes.states_apart import largest_distance

    apart = largest_distance(mesh_in(found, tolerance), mesh_in(due, tolerance)).distance
    return _off("surface", apart)


def _solids(found: Path, due: Path, tolerance: float) -> str:
    from geomgen.files.step import read_step
    from geomgen.kernel.meshes.states_apart import largest_distance
    from geomgen.kernel.meshing.proven import mesh

    now, then = (read_step(path) for path in (found, due))
    if [part.name for part in now] != [part.name for part in then]:
        return "it holds other parts"
    pairs = [
        tuple(mesh(part.shape, tolerance, part=part.name) for part in both)
        for both in zip(now, then, strict=True)
    ]
    return _off("surface", max(largest_distance(a, b).distance for a, b in pairs))


def _outlines(found: Path, due: Path, tolerance: float) -> str:
    from geomgen.drafting.formats.dxf.quick_reading import read_quickly

    change = drawing_change(read_quickly(due), read_quickly(found))
    if change.kind == "outlines":
        return _off("outline", change.moved) or "its outlines are other ones"
    return "its texts or lines to read are other ones" if change.kind == "texts" else ""


def _off(what: str, apart: float) -> str:
    return f"its {what} is up to {apart:.3f} mm off" if apart > ALIKE else ""


def _tables(found: Path, due: Path, tolerance: float) -> str:
    now, then = (json.loads(path.read_bytes()) for path in (found, due))
    return next(_unlike(now, then, ""), "")


def _unlike(now: Any, then: Any, at: str) -> Iterator[str]:
    if isinstance(now, dict) and isinstance(then, dict):
        for key in dict.fromkeys((*then, *now)):
            if key not in now or key not in then:
                yield f"{at}{key}: {'missing' if key in then else 'not known'}"
            else:
                yield from _unlike(now[key], then[key], f"{at}{key}.")
    elif isinstance(now, list) and isinstance(then, list) and len(now) == len(then):
        for i, (one, other) in enumerate(zip(now, then, strict=True)):
            yield from _unlike(one, other, f"{at}{i}.")
    elif not _alike(now, then):
        yield f"{at.rstrip('.')}: {_short(now)}, due is {_short(then)}"


def _alike(now: Any, then: Any) -> bool:
    numbers = all(isinstance(v, int | float) and not isinstance(v, bool) for v in (now, then))
    if numbers:
        return bool(abs(now - then) <= SHARE * max(abs(now), abs(then), 1.0))
    return bool(now == then)


def _short(value: Any) -> str:
    text = str(value)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 3]}..."


def _rows(found: Path, due: Path, tolerance: float) -> str:
    now, then = (path.read_text("utf-8").splitlines() for path in (found, due))
    for number, (one, other) in enumerate(zip_longest(now, then, fillvalue="nothing"), 1):
        if one != other:
            return f"line {number}: {_short(one)}, due is {_short(other)}"
    return ""


def _values(found: Path, due: Path, tolerance: float) -> str:
    """Compare parameters; comments may tell how a value was written."""
    now, then = (tomllib.loads(path.read_text("utf-8")) for path in (found, due))
    return next(_unlike(now, then, ""), "")


def _other(found: Path, due: Path, tolerance: float) -> str:
    return f"it is not what the set's own {USED} gives"
