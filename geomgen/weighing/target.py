"""Which entry of the parameter file a mass from the scales belongs to."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from geomgen.balance.masses.displaced import HANDS
from geomgen.balance.masses.entries import INLAID, PAIRED
from geomgen.balance.state import ITEMS
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.masses import weighable
from geomgen.weighing.reading import BOTH, EACH, ScaleReading

MASS, ITEM = "mass", "items"
# Families of which a file may have several kinds, each with a name.
SEVERAL = ("scoop", "wheel", "leg", "tank", "frame", "stringer", "fitting", *INLAID)


@dataclass(frozen=True)
class ScaleTarget:
    """Where a reading goes: a row of `mass` or of `items`, or a new row of `mass` (`row` None).

    `like` is the row that the part was weighed by until now, `within` are the names of the parts
    that the name stands for, its own first.
    """

    reading: ScaleReading
    table: str
    name: str
    row: int | None
    like: int | None
    within: tuple[str, ...]


def targets_of(p: Parameters, readings: Sequence[ScaleReading]) -> list[ScaleTarget]:
    """Return where each reading goes; ParameterError for one that has no place, or two.

    Nothing is built for it.
    """
    found: list[ScaleTarget] = []
    for reading in readings:
        made = _target(p, reading)
        for other in found:
            shared = set(made.within) & set(other.within)
            if other.table == made.table and shared:
                raise reading.refused(
                    f"weighed twice: {other.name} = {other.reading.said} is given, too",
                    "one mass a part", "leave one of them out",
                )  # fmt: skip
        found.append(made)
    return found


def _target(p: Parameters, reading: ScaleReading) -> ScaleTarget:
    name = reading.name.strip()
    items = {item.name.casefold(): i for i, item in enumerate(p.items)}
    part = name.casefold() if name.casefold() in weighable(p) else None
    item = items.get(name.casefold())
    if part is not None and _covering(p, part) is None and item is not None:
        part = None
    if part is not None and item is not None:
        raise reading.refused(
            "a part and an item have this name", "names that differ",
            f"give items.{item} another name in the file",
        )  # fmt: skip
    if part is not None:
        return _part(p, reading, part)
    if item is not None:
        _on_the_scales(reading, p.items[item].mirrored, "")
        own = p.items[item].name
        return ScaleTarget(reading, ITEM, own, item, None, (own,))
    raise _unknown(p, reading)


def _part(p: Parameters, reading: ScaleReading, name: str) -> ScaleTarget:
    kinds, within = _kinds(p, name), names_within(p, name)
    if len(kinds) > 1:
        raise reading.refused(
            "several parts that differ", ", ".join(kinds), "weigh each of them by its own name"
        )
    hands = [one for one in within if one.endswith(HANDS)]
    _on_the_scales(reading, name not in hands and bool(hands), " and ".join(hands))
    named = [row.part for row in p.mass]
    closer = [one for one in within[1:] if one in named]
    if closer:
        raise reading.refused(
            f"the file has an entry of its own for {' and '.join(closer)}, which goes before this",
            ", ".join(closer), "weigh it by that name",
        )  # fmt: skip
    like = _covering(p, name)
    _not_an_item(p, reading, name, like)
    row = named.index(name) if name in named else None
    return ScaleTarget(reading, MASS, name, row, like, within)


def _on_the_scales(reading: ScaleReading, pair: bool, hands: str) -> None:
    """Refuse a pair of which nobody says how many pieces were weighed, and both of one piece."""
    if pair and not reading.pieces:
        said = f"{reading.name}={reading.said}"
        alone = f", or weigh {hands} by themselves" if hands else ""
        raise reading.refused(
            "there are two of it, one on each side: was one piece on the scales, or both?",
            f"{EACH} behind the mass for one piece, {BOTH} for the two together",
            f'write "{said} {EACH}" or "{said} {BOTH}"{alone}',
        )
    if not pair and (reading.pieces == BOTH or (reading.pieces and not hands)):
        raise reading.refused(
            "there is one of it, not two", "the mass of that one, all its pieces together"
        )


def _not_an_item(p: Parameters, reading: ScaleReading, name: str, like: int | None) -> None:
    """Refuse a part that an item stands for: it would count twice."""
    if like is not None or _family(name) not in ITEMS:
        return
    own = (*_chain(name), *names_within(p, name))
    stands = [item.name for item in p.items if item.at in own or item.weight_of == name]
    if stands:
        raise reading.refused(
            f"the file has its mass in {' and '.join(map(repr, stands))} of [[items]]: "
            "it would count twice",
            ", ".join(stands), f'weigh it by that name: "{stands[0]}=..."',
        )  # fmt: skip


def _unknown(p: Parameters, reading: ScaleReading) -> Exception:
    parts, items = weighable(p), [item.name for item in p.items]
    folded = {name.casefold(): name for name in (*parts, *items)}
    near = get_close_matches(reading.name.casefold(), list(folded), 1, 0.6)
    others = f"; items: {'; '.join(items)}" if items else ""
    return reading.refused(
        "no such part or item",
        f"parts: {', '.join(parts)}{others}",
        f"perhaps {folded[near[0]]}?" if near else "take a name of the list",
    )


def names_within(p: Parameters, name: str) -> tuple[str, ...]:
    """Return the names of the parts that a name stands for: its own, its kinds', their hands'."""
    known = weighable(p)
    pieces = [one for one in known if _family(name) in INLAID and one.startswith(f"{name}_")]
    whole = dict.fromkeys((name, *_kinds(p, name), *pieces))
    hands = [f"{one}{hand}" for one in whole for hand in HANDS[::-1] if f"{one}{hand}" in known]
    return tuple(dict.fromkeys((*whole, *hands)))


def _kinds(p: Parameters, name: str) -> list[str]:
    """Return the kinds of a family that has names for them: of `wheel`, wheel_main, wheel_nose."""
    if name not in SEVERAL:
        return []
    known = [one for one in weighable(p) if one.startswith(f"{name}_")]
    if name in INLAID:
        spars = [s.name for s in p.spars if name == "spar" or s.wing_joint]
        names = [r.name for r in p.ribs] if name == "rib" else spars
        return [f"{name}_{one}" for one in names]
    return [one for one in known if not any(one == f"{o}{h}" for o in known for h in HANDS)]


def _family(name: str) -> str:
    families = (*PAIRED, "tank", "frame", *INLAID)
    return next((family for family in families if name.startswith(f"{family}_")), name)


def _chain(name: str) -> tuple[str, ...]:
    """Return the names that a part may be weighed by, the closest first."""
    hand = next((hand for hand in HANDS if name.endswith(hand)), "")
    family = _family(name)
    return tuple(dict.fromkeys((name, name.removesuffix(hand), f"{family}{hand}", family)))


def _covering(p: Parameters, name: str) -> int | None:
    """Return the row of `mass` that a part is weighed by as the file stands."""
    named = [row.part for row in p.mass]
    return next((named.index(one) for one in _chain(name) if one in named), None)
