"""How a check is declared: its words in the guide, the targets that it has in a file."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from geomgen.sizing.target import Conversion, Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

Targets = Callable[["Parameters"], Iterable[Target]]
Converts = Callable[["Parameters"], Conversion]


@dataclass(frozen=True)
class Group:
    """A heading of `geomgen check --help`, and what holds for all that stands under it."""

    title: str
    words: str = ""


@dataclass(frozen=True)
class Declared:
    """Checks that belong together.

    `words` say, under ids with commas between, what is measured and what the limit is, for the
    guide; SCOOP in an id stands for a part's name. `targets` makes the targets of a file, whose ids
    are those of the measurements; `conversion` how the figure follows from one that is measured.
    """

    group: Group
    words: dict[str, str]
    targets: Targets
    conversion: Converts | None = None


def declared(
    group: Group, words: dict[str, str], conversion: Converts | None = None
) -> Callable[[Targets], Declared]:
    """Make a declaration of a function that returns the targets of a file.

    >>> @declared(Group("MESH"), {"mesh.size": "How many triangles. Limit: a million."})
    ... def mesh(p):
    ...     return [Target("mesh.size", "triangles", "at most", "1", high=1e6)]
    >>> mesh.group.title, [target.id for target in mesh.targets(None)]
    ('MESH', ['mesh.size'])
    """
    return lambda targets: Declared(group, words, targets, conversion)


def to_read(group: Group, id_: str, unit: str, words: str = "") -> Declared:
    """Declare a figure that is only there to be read or converted; no limit is due for it.

    >>> to_read(Group("MESH"), "mesh.size", "1").targets(None)[0].severity
    'info'
    """
    only = Target(id_, "", "none", unit, severity="info")
    return Declared(group, {id_: words} if words else {}, lambda p: [only])
