"""Lines of a mass sheet that are many small things of one kind, told as one."""

import re
from collections.abc import Iterable
from dataclasses import replace

from geomgen.balance.masses.entries import MassEntry
from geomgen.balance.masses.inertia import together

# Behind the name of its row a rib, a plate or a pin has a number, and which piece and hand it is.
MANY = re.compile(
    r"((?:rib|joint_plate|joint_pin)_.+?)(?:_(?:inner|outer|packing))?_\d+(?:_[a-z]+|_\d+)*"
)


def gathered(lines: Iterable[MassEntry]) -> list[MassEntry]:
    """Return the lines, those of one row of ribs, plates or pins in its first one's place as one.

    Masses [kg] and bands are added: what makes one of a row too heavy does so to all. What is
    weighed otherwise, or has another source, stays a line of its own.

    >>> from geomgen.balance.masses.inertia import RigidBody
    >>> rows = [(f"rib_a_{i}_nose_right", RigidBody(0.1, (1000.0, 300.0 * i, 0.0))) for i in (1, 3)]
    >>> lines = [MassEntry(n, "structure", b, 0.02, "full, 500 kg/m^3", "mass.4") for n, b in rows]
    >>> [(one.name, one.body.mass, one.body.centre, one.band) for one in gathered(lines)]
    [('rib_a, 2 pieces', 0.2, (1000.0, 600.0, 0.0), 0.04)]
    """
    kinds: dict[object, list[MassEntry]] = {}
    for line in lines:
        many = MANY.fullmatch(line.name)
        said = (line.group, line.how, line.source, line.empty, line.limited)
        alone = many is None or line.worked_out is not None
        kinds.setdefault(line.name if alone or many is None else (many[1], *said), []).append(line)
    return [_one(key, each) for key, each in kinds.items()]


def _one(key: object, lines: list[MassEntry]) -> MassEntry:
    if len(lines) == 1:
        return lines[0]
    stem = key[0] if isinstance(key, tuple) else key
    return replace(
        lines[0],
        name=f"{stem}, {len(lines)} pieces",
        body=together(line.body for line in lines),
        band=sum(line.band for line in lines),
    )
