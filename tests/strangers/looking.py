"""A second look at what was built, by other ways: is it what the file says?"""

from collections.abc import Iterable, Mapping
from typing import Any

from geomgen.kernel.plain import Model
from geomgen.kernel.validity import validity
from geomgen.parameters.records import Parameters


def problems_of(
    p: Parameters, model: Model, meshes: Mapping[str, Any], checks: Iterable[Any] = ()
) -> list[str]:
    """Return what is wrong with finished solids, their meshes, the checks; nothing: empty."""
    found: list[str] = []
    for name, solid in model.parts.items():
        found += [f"{name}: {problem}" for problem in validity(solid).problems]
    return found
