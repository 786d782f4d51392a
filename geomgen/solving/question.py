"""What is asked of a search: as on the command line, and worked out before anything is built."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from geomgen.parameters import Parameters
from geomgen.solving.mass import Densities
from geomgen.solving.search.log import SearchProblem


@dataclass(frozen=True)
class SolveQuestion:
    """What is asked, as on the command line.

    `exact` asks for exact figures of every state, not only where they decide. `write` is the file
    for the answer; without one it is `<name>-solved.toml` in the output folder.
    """

    path: str | Path
    free: tuple[str, ...]
    until: tuple[str, ...]
    overrides: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    least_mass: bool = False
    densities: tuple[str, ...] = ()
    evaluations: int = 60
    write: str | Path | None = None
    replace: bool = False
    exact: bool = False


@dataclass(frozen=True)
class SolvePlan:
    """A question worked out, before anything is built; `text` is that of the file, as read."""

    question: SolveQuestion
    text: str = field(repr=False)
    base: Parameters
    tables: Mapping[str, Any] = field(repr=False)
    origins: Mapping[Any, Any] = field(repr=False)
    asked: SearchProblem
    densities: Densities
    file: Path
