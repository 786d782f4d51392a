"""What the outcome of a variant depends on besides its parameters."""

import functools
import hashlib
from pathlib import Path

# Folders whose source decides on solids, figures and verdicts.
DECIDE = (
    *("parameters", "sizing", "kernel", "shapes", "measurements", "verdicts"),
    *("cache", "pipeline"),
)


@functools.cache
def versions_used() -> tuple[tuple[str, str], ...]:
    """Return the versions of all packages that had a hand in it, and a hash of our own source.

    >>> dict(versions_used())["source"] == dict(versions_used())["source"]
    True
    """
    from geomgen.files.manifest import versions

    return (*versions().items(), ("source", _source()))


def _source() -> str:
    root = Path(__file__).parents[1]
    found = hashlib.sha256()
    for folder in DECIDE:
        for path in sorted((root / folder).rglob("*.py")):
            found.update(path.relative_to(root).as_posix().encode())
            found.update(path.read_bytes())
    return found.hexdigest()[:16]
