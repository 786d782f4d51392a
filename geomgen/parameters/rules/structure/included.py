"""Rules of what items include: each thing built in is in one weight, and flies along always."""

from collections.abc import Iterator

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import USEFUL, MassItem
from geomgen.parameters.rules.clash import FieldClash


def included_clashes(p: Parameters) -> list[FieldClash]:
    """Return what is wrong with what items include: in two weights, or in none of the machine."""
    return list(_clashes(p))


def _clashes(p: Parameters) -> Iterator[FieldClash]:
    for i, item in enumerate(p.items):
        path: Path = ("items", i)
        yield from _weighed_besides(p, path, item)
        yield from _weighed_with_host(p, path, item)
        yield from _in_an_earlier(p, i, item)
        if item.group == USEFUL and item.includes:
            yield FieldClash(
                (*path, "includes"), f"a {item.includes[0]} that is no part of the empty machine",
                f"in {item.name}, which is useful load", "an item of another group",
                "flown without it, the machine would weigh as if it had none: take it out of "
                "includes, or write the group that it belongs to",
                by=((*path, "group"),),
            )  # fmt: skip


def _in_an_earlier(p: Parameters, i: int, item: MassItem) -> Iterator[FieldClash]:
    for j, other in enumerate(p.items[:i]):
        twice = [family for family in item.includes if family in other.includes]
        if twice:
            yield FieldClash(
                ("items", i, "includes"), f"the {twice[0]} would be in two weights",
                f"in {other.name}, and in {item.name}", "one of the two",
                "name it in the item that has its whole weight; where two share it, write them as "
                "one, or name it in the first alone",
                by=(("items", j, "includes"),),
            )  # fmt: skip


def _weighed_besides(p: Parameters, path: Path, item: MassItem) -> Iterator[FieldClash]:
    for j, row in enumerate(p.mass):
        if any(f"{row.part}_".startswith(f"{family}_") for family in item.includes):
            yield FieldClash(
                (*path, "includes"), f"the {row.part} would be weighed twice",
                f"in {item.name}, and by a row of [[mass]]", "one of the two",
                "take it out of includes, and what it weighs out of the item's mass",
                by=(("mass", j, "part"),),
            )  # fmt: skip


def _weighed_with_host(p: Parameters, path: Path, item: MassItem) -> Iterator[FieldClash]:
    """Refuse what stands in a wing or tail that was weighed: it was on those scales, too."""
    joined = {row.of for row in p.spars if row.wing_joint}
    inner = {
        "spar": {row.of for row in p.spars},
        "joint_plate": joined,
        "joint_pin": joined,
        "rib": {row.of for row in p.ribs},
        "fitting": {row.inside for row in p.fittings},
    }
    for j, row in enumerate(p.mass):
        host = row.part.split("_")[0]
        twice = [name for name in item.includes if host in inner.get(name, ())]
        if row.weighed is not None and twice:
            yield FieldClash(
                (*path, "includes"), f"the {twice[0]} in the {row.part} would be weighed twice",
                f"in {item.name}, and with the {row.part}", "one of the two",
                f"what stands in a {host} that was weighed is in that weight: take it out of "
                "includes, and what it weighs out of the item's mass",
                by=(("mass", j, "weighed"),),
            )  # fmt: skip
