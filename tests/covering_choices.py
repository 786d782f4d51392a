"""Few combinations of choices that hold every pair of values of two different options."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import combinations, product

from geomgen.starting.choices import OPTIONS, Option

Row = dict[str, str]
Fact = tuple[str, str, bool]


def every_value(option: Option) -> list[str]:
    """Return every text that an option takes, each set of several values once."""
    values = list(option.values)
    if not option.several:
        return values
    sizes = range(0 if option.empty else 1, len(values) + 1)
    sets = [",".join(some) for size in sizes for some in combinations(values, size)]
    return [text or "none" for text in sets]


def rows(names: Sequence[str]) -> Iterator[Row]:
    """Yield every combination of the options of these names."""
    options = [option for option in OPTIONS if option.name in names]
    for values in product(*map(every_value, options)):
        yield dict(zip([option.name for option in options], values, strict=True))


def pairs(row: Mapping[str, str]) -> set[tuple[Fact, Fact]]:
    """Return the pairs of facts of a combination; of several values, each is there or not."""
    named = [(place, option.name) for place, option in enumerate(OPTIONS) if option.name in row]
    facts = [fact for place, name in named for fact in _facts(place, row[name])]
    return set(combinations(facts, 2))


@cache
def _facts(place: int, text: str) -> list[Fact]:
    option = OPTIONS[place]
    chosen = option.read(text)
    if option.several:
        return [(option.name, value, value in chosen) for value in option.values]
    return [(option.name, chosen[0], True)]


def covering(names: Sequence[str]) -> list[Row]:
    """Return few combinations that hold all pairs, the richest first; the same ones each time."""
    left = list(rows(names))
    held = [pairs(row) for row in left]
    # Sets of pairs as the bits of whole numbers: thousands of rows are weighed a dozen times.
    bit = {pair: 1 << k for k, pair in enumerate(set().union(*held))}
    masks = [sum(bit[pair] for pair in some) for some in held]
    due = (1 << len(bit)) - 1
    found: list[Row] = []
    while due:
        best = max(range(len(left)), key=lambda k: (masks[k] & due).bit_count())
        due &= ~masks[best]
        found.append(left[best])
    return found
