"""What the sheet of the air says of the cooling air: the balance, its steps, the rules beside."""

from collections.abc import Iterator

from geomgen.air.record import CoolingInState, Deciding, FlownState, MachineAir, RulesBeside
from geomgen.documents.record import Block, Table, Words, rows_of
from geomgen.units import INCH

SQUARE_INCH = INCH**2
CM2 = 100.0
FAHRENHEIT = 1.8
NONE = "none"


def sides(name: str) -> str:
    """Return how a mouth is named that stands for its mirror image too.

    >>> sides("scoop_cheek_right")
    'scoop_cheek, right and left alike'
    """
    plain = name.removesuffix("_right")
    return name if plain == name else f"{plain}, right and left alike"


def cooling_blocks(air: MachineAir) -> Iterator[Block]:
    """Return the balance in each state, what decides it, where the pressure goes, the rules."""
    cooled = [(state, state.cooling) for state in air.states if state.cooling is not None]
    if not cooled:
        return
    yield _balance(cooled, air.exit_area)
    for state, cooling in cooled:
        yield from (Words(f"{words}.") for words in cooling.words)
        if cooling.decides:
            told = "; ".join(map(_deciding, cooling.decides))
            yield Words(
                f"What decides the rise, {state.name}, each within what it may be off: {told}.",
                small=True,
            )
    yield from _steps(air)
    if air.rules is not None:
        yield from _rules(air.rules)


def _balance(cooled: list[tuple[FlownState, CoolingInState]], area: float | None) -> Table:
    rows = []
    for state, each in cooled:
        rise = "no flow" if each.rise is None else f"{each.rise:.0f}"
        fahrenheit = "-" if each.rise is None else f"{each.rise * FAHRENHEIT:.0f}"
        rows.append(
            (
                state.name,
                f"{each.flow:.3f}",
                *_ends(each.flow_band, 3),
                rise,
                fahrenheit,
                *_ends(each.rise_band, 0),
                f"{each.allowed:.0f}",
                *_area(each.exit_needed),
            )
        )
    head = (
        *("state", "kg/s", "from", "to", "rise K", "degF", "from K", "to K", "allowed"),
        *("cm^2", "in^2"),
    )
    title = "Cooling air; cm^2: the exit that keeps to the allowed rise"
    if area is not None:
        title += f" (it has {area / CM2:.0f} cm^2)"
    return Table(head, rows_of(rows), (0.12, *(0.088,) * 10), title, tuple(range(1, 11)))


def _ends(band: tuple[float, float | None] | None, places: int) -> tuple[str, str]:
    if band is None:
        return "-", "-"
    low, high = band
    return f"{low:.{places}f}", "no end" if high is None else f"{high:.{places}f}"


def _area(area: float | None) -> tuple[str, str]:
    return (NONE, "-") if area is None else (f"{area / CM2:.0f}", f"{area / SQUARE_INCH:.1f}")


def _deciding(one: Deciding) -> str:
    ends = " or ".join(_percent(value) for value in (one.less, one.more))
    return f"{one.name} ({ends})"


def _percent(value: float | None) -> str:
    return "no flow" if value is None else f"{value:+.0f} %"


def _steps(air: MachineAir) -> Iterator[Block]:
    """Return a table a mouth: what takes the pressure, in the order of the way, by state."""
    by: dict[str, dict[str, dict[str, float]]] = {}
    sources: dict[str, dict[str, str]] = {}
    states = []
    for state in air.states:
        for mouth, steps in state.cooling.steps if state.cooling is not None else ():
            states.append(state.name)
            for number, step in enumerate(steps):
                key = f"{number} {step.name}"
                by.setdefault(mouth, {}).setdefault(key, {})[state.name] = step.taken
                sources.setdefault(mouth, {})[key] = step.source
    for mouth, table in by.items():
        head = ("takes of the pressure", *dict.fromkeys(states), "source")
        rows = [
            (
                key.partition(" ")[2],
                *(f"{taken[name]:.0f}" if name in taken else "-" for name in head[1:-1]),
                sources[mouth][key],
            )
            for key, taken in table.items()
        ]
        count = len(head) - 2
        whole = ["all of it"]
        for name in head[1:-1]:
            whole.append(f"{sum(taken.get(name, 0.0) for taken in table.values()):.0f}")
        rows.append((*whole, ""))
        shares = (0.25, *(0.45 / count,) * count, 0.3)
        title = f"Where the pressure goes [Pa], by {sides(mouth)}"
        yield Table(head, rows_of(rows), shares, title, tuple(range(1, count + 1)))


def _rules(rules: RulesBeside) -> Iterator[Block]:
    exits = [
        (
            one.rule,
            *_area(one.area),
            "-" if one.flow is None else f"{one.flow:.3f}",
            "-" if one.rise is None else f"{one.rise:.0f}",
        )
        for one in rules.exits
    ]
    head = ("exit by", "cm^2", "in^2", "kg/s", "rise K")
    title = "The rules of thumb beside it, in the climb: what the balance says of each exit"
    yield Table(head, rows_of(exits), (0.4, *(0.15,) * 4), title, (1, 2, 3, 4))
    steps = [(counted, *_area(area)) for counted, area in rules.steps]
    title = "From the estimate by heat and pressure to the balance, one thing more at a time"
    yield Table(("counted", "exit cm^2", "in^2"), rows_of(steps), (0.6, 0.2, 0.2), title, (1, 2))
    yield from (Words(f"{words[0].upper()}{words[1:]}.", hang=0) for words in rules.words)
