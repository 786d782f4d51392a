"""Parameter file in, proven solids and measured checks out, for a light twin-boom pusher.

A geometry aid, not an airworthiness approval: local codes and licensed practice come first.

>>> sorted(__all__)[:4]
['assemble', 'build', 'check', 'compare']
"""

from typing import Any

__all__ = [
    "assemble",
    "build",
    "check",
    "compare",
    "handoff",
    "load",
    "report",
    "schema",
    "size",
    "verify",
]


def __getattr__(name: str) -> Any:
    """Import what is asked for, and only then, so that `import geomgen` costs nothing."""
    if name not in __all__:
        raise AttributeError(f"geomgen has no {name!r}; it has {', '.join(__all__)}")
    from geomgen import pipeline

    return getattr(pipeline, name)
