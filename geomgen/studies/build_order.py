"""In which order variants are built: neighbours share what is expensive."""

from collections.abc import Sequence

from geomgen.studies.vary import Variant, Vary

# How much has to be made anew when a key of a table changes, most first. The skins that others
# are trimmed to come before what stands alone; rules and speeds move no solid at all.
COSTLY = (
    *("output", "pod", "wing", "booms", "joints", "scoops", "firewall", "pylon", "exit"),
    *("frames", "stringers"),
    *("tailplane", "fins", "propeller", "engine", "gear", "spinner", "tanks", "fittings"),
)


def in_order(varies: Sequence[Vary], variants: Sequence[Variant]) -> tuple[Variant, ...]:
    """Return the variants so that cheap keys change fastest.

    Each key runs to and fro, so that in a grid one key changes from one variant to the next.

    >>> from geomgen.studies.vary import grid, varies_of
    >>> tables = {"pod": {}, "spinner": {}}
    >>> asked = varies_of(["spinner.length=1 mm,2 mm", "pod.wall=3 mm,4 mm"], tables)
    >>> [tuple(v.text for v in row.values) for row in in_order(asked, grid(asked))]
    [('1 mm', '3 mm'), ('2 mm', '3 mm'), ('2 mm', '4 mm'), ('1 mm', '4 mm')]
    """
    keys = sorted(range(len(varies)), key=lambda i: cost(varies[i]))
    return tuple(_runs(list(variants), keys, [False] * len(varies)))


def cost(vary: Vary) -> int:
    """Return the rank of a key, the most expensive first."""
    table = str(vary.key.path[0])
    return COSTLY.index(table) if table in COSTLY else len(COSTLY)


def _runs(variants: list[Variant], keys: list[int], back: list[bool]) -> list[Variant]:
    """Group by the first key, and run through the others within each group."""
    if not keys or len(variants) < 2:
        return variants
    first, *rest = keys
    groups: dict[str, list[Variant]] = {}
    for variant in sorted(variants, key=lambda v: (_place(v, first), v.number)):
        groups.setdefault(variant.values[first].text, []).append(variant)
    ordered = list(groups.values())
    if back[first]:
        ordered.reverse()
    back[first] = not back[first]
    return [variant for group in ordered for variant in _runs(group, rest, back)]


def _place(variant: Variant, key: int) -> tuple[float, str]:
    value = variant.values[key]
    return (0.0 if value.number is None else value.number, value.text)
