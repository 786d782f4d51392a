"""Parameter file in, proven solids and measured checks out, for a light twin-boom pusher.

A geometry aid, not an airworthiness approval: local codes and licensed practice come first.

Each command of the command line is a function; what comes back holds what the command prints::

    parameters = geomgen.load("configs/saltmarsh.toml")
    model = geomgen.assemble(parameters)                # named solids
    targets = geomgen.size("configs/saltmarsh.toml")
    result = geomgen.check("configs/saltmarsh.toml")    # result.checks
    geomgen.build("configs/saltmarsh.toml")
    geomgen.report("configs/saltmarsh.toml")
    geomgen.handoff("configs/saltmarsh.toml")
    print(geomgen.compare("out/saltmarsh", "configs/tight.toml").answer)
    print(geomgen.verify("out/saltmarsh").findings)
    geomgen.schema()                                    # JSON Schema of a parameter file

>>> sorted(__all__)[:4]
['assemble', 'build', 'check', 'compare']
"""

import os
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from geomgen.workflows import (
        assemble,
        build,
        check,
        compare,
        handoff,
        load,
        report,
        schema,
        size,
        verify,
    )

    __version__: str

# The program runs on processes of its own; threads of the linear algebra beside them only wait for
# each other, and would make last digits hang on the number of cores.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

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
    if name == "__version__":
        return _version()
    if name not in __all__:
        raise AttributeError(f"geomgen has no {name!r}; it has {', '.join(__all__)}")
    from geomgen import workflows

    return getattr(workflows, name)


def _version() -> str:
    """Return the version of the installed package, which pyproject.toml alone holds."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        return version("geomgen")
    except PackageNotFoundError:
        raise AttributeError("geomgen is not installed as a package: no version") from None
