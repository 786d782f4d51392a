"""What the outcome of a variant depends on besides its parameters."""

import functools
import hashlib
from pathlib import Path

# What only shows what came of a variant; all other source may decide on it.
SHOWING = ("pages/", "watching/live_page/", "aircraft_drawings/", "renders/", "terminal/")


@functools.cache
def versions_used() -> tuple[tuple[str, str], ...]:
    """Return the versions of all packages that had a hand in it, and a hash of our own source.

    >>> dict(versions_used())["source"] == dict(versions_used())["source"]
    True
    """
    from geomgen.files.manifest import versions
    from geomgen.regeneration.fingerprints import libraries

    return (*{**versions(), **libraries()}.items(), ("source", _source()))


def _source() -> str:
    root = Path(__file__).parents[1]
    found = hashlib.sha256()
    for name in deciding(root):
        found.update(name.encode())
        found.update((root / name).read_bytes())
    return found.hexdigest()[:16]


def deciding(root: Path) -> list[str]:
    """Return the source files under a folder that may decide on what comes of a variant."""
    names = sorted(path.relative_to(root).as_posix() for path in root.rglob("*.py"))
    return [name for name in names if not name.startswith(SHOWING)]
