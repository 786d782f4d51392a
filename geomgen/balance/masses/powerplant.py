"""Which lines are the engine and the propeller: items that say so, else what stands there."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from geomgen.balance.masses.entries import ITEM, MassEntry
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.masses import ENGINE, POWERPLANT, PROPELLER
from geomgen.sizing.formulas.shaft import blade_plane

# So near the blade plane an item counts as the propeller or its hub [mm]: own choice.
AT_BLADES = 250.0
METHOD = "sum of the lines that count as it"


@dataclass(frozen=True)
class PowerplantMass:
    """What counts as the engine or the propeller: its mass and band [kg], its lines' names.

    `named` says whether items say so themselves.
    """

    what: str
    mass: float
    band: float
    lines: tuple[str, ...]
    named: bool


def named_items(p: Parameters, what: str) -> set[str]:
    """Return the names of the items that say what they are the weight of."""
    return {item.name for item in p.items if item.weight_of == what}


def engine_items(p: Parameters, parts: Sequence[str]) -> set[str]:
    """Return the items that are the engine: those that say so, else the powerplant's in it.

    `parts` are the names that the engine's solid goes by.
    """
    own = named_items(p, ENGINE)
    return own or {i.name for i in p.items if i.group == POWERPLANT and i.at in parts}


def propeller_items(p: Parameters, lines: Sequence[MassEntry]) -> set[str]:
    """Return the items of the powerplant that stand where the blades turn.

    Only those that say so where any does: the propeller has no solid of its own.
    """
    own, blades = named_items(p, PROPELLER), blade_plane(p)
    near = {
        _item(p, line)
        for line in lines
        if line.group == POWERPLANT
        and line.how == ITEM
        and abs(line.body.centre[0] - blades) <= AT_BLADES
    }
    return near & own if own else near


def no_engine() -> str:
    """Return the words for an engine that is not drawn and that nothing in the file weighs."""
    return 'engine (it is not drawn, and no item says weight_of = "engine")'


def no_propeller(p: Parameters) -> str:
    """Return the words for a propeller that nothing in the file weighs."""
    own = sorted(named_items(p, PROPELLER))
    if own:
        return f"propeller ({', '.join(own)}: not within {AT_BLADES:g} mm of the blades)"
    return f"propeller (no item of the powerplant within {AT_BLADES:g} mm of it)"


def powerplant_mass(
    p: Parameters, what: str, items: set[str], lines: Sequence[MassEntry], parts: Sequence[str] = ()
) -> PowerplantMass | None:
    """Return what items and weighed parts make of the engine or propeller; None without any."""
    own = [
        line
        for line in lines
        if (_item(p, line) in items if line.how == ITEM else line.name in parts)
    ]
    if not own:
        return None
    names = tuple(line.name for line in own)
    mass, band = (sum(values) for values in zip(*((e.body.mass, e.band) for e in own), strict=True))
    return PowerplantMass(what, mass, band, names, bool(named_items(p, what)))


def _item(p: Parameters, line: MassEntry) -> str:
    """Return the name of a line's item: a pair's lines have a hand behind it."""
    if any(item.name == line.name for item in p.items):
        return line.name
    return line.name.removesuffix(", right").removesuffix(", left")


def powerplant_figures(found: Sequence[PowerplantMass]) -> Iterator[Measurement]:
    """Return the masses [kg] that count as engine and propeller, with what was counted."""
    for one in found:
        note = (
            "" if one.named else f'no item says weight_of = "{one.what}": what stands there counts'
        )
        yield Measurement(
            f"mass.{one.what}", "", f"mass of all that counts as the {one.what}", one.mass, "kg",
            METHOD, one.band, ", ".join(one.lines), note=note,
        )  # fmt: skip
