"""Fingerprints: short texts that stand for everything that a made thing depends on."""

import hashlib
import json
import platform
import sys
from collections.abc import Iterable
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

# A change of any of these may change a solid, a mesh or a figure, or how it is written down.
LIBRARIES = (
    *("cadquery-ocp", "numpy", "scipy", "numba", "manifold3d", "trimesh", "shapely", "networkx"),
    *("vtk", "pydantic", "tomlkit"),
)
CODE = (
    *("regeneration", "parameters", "kernel", "shapes", "measurements", "files"),
    *("workflows", "air", "sizing/formulas"),
)


def of(*things: Any) -> str:
    """Return the SHA-256 of plain values: texts, numbers, lists and tables of them.

    >>> of("solid", {"b": 1.5, "a": [2]}) == of("solid", {"a": [2], "b": 1.5})
    True
    """
    text = json.dumps(things, sort_keys=True, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def of_bytes(body: bytes) -> str:
    """Return the SHA-256 of bytes."""
    return hashlib.sha256(body).hexdigest()


@cache
def of_program() -> str:
    """Return the fingerprint of the code that makes things, the libraries under it, the machine."""
    sources = of_sources(Path(__file__).parents[1])
    return of(sources, list(libraries().items()), sys.version, platform.machine())


def of_sources(root: Path) -> list[tuple[str, str]]:
    """Return name and hash of each source file of the folders of `CODE`."""
    files = sorted(path for folder in CODE for path in (root / folder).rglob("*.py"))
    return [(path.relative_to(root).as_posix(), of_bytes(path.read_bytes())) for path in files]


def libraries() -> dict[str, str]:
    """Return the version of each of `LIBRARIES`."""
    return dict(_versions(LIBRARIES))


def _versions(names: Iterable[str]) -> Iterable[tuple[str, str]]:
    for name in names:
        try:
            yield name, version(name)
        except PackageNotFoundError:
            yield name, "not installed as a package"
