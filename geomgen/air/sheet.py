"""The sheet of the air: tables and words for screen and page, metric and imperial."""

from collections.abc import Iterator

from geomgen.air.cooling_sheet import cooling_blocks, sides
from geomgen.air.mouth_places import mouth_places
from geomgen.air.record import Band, FlownState, MachineAir
from geomgen.documents.record import Block, Heading, Notice, Table, Words, rows_of
from geomgen.units import DIMENSIONS, INCH

KNOT = DIMENSIONS["speed"].factors["kt"]
# Pound-force [N]: NIST SP 811.
POUND_FORCE = 4.4482216152605
CAUTION = (
    "A computed pressure is no measurement: tuft the pod, and measure temperatures on the ground "
    "first. A geometry aid, not an airworthiness approval: local codes and licensed practice come "
    "first."
)
NOT_SEEN = (
    "Not seen: swirl and blades of the propeller (it is an evenly loaded disc), gaps, rivets, hot "
    "exhaust, yaw, what booms, fins, wheels, legs and spinner do to the air, and what the slow "
    "layer and air that has left the skin do to the pressures."
)
# Where a mouth would stand best is told for these.
FLOWN = ("climb", "level")


def air_heading(title: str) -> Heading:
    """Return the heading of the sheet."""
    return Heading(f"Air about the machine: {title}")


def air_blocks(air: MachineAir) -> list[Block]:
    """Return the sheet: states, mouths, exit, cooling air, neutral point, places for a mouth."""
    return [
        Notice(CAUTION),
        _states(air),
        *_mouths(air),
        *_exit(air),
        *cooling_blocks(air),
        *_neutral(air),
        *_places(air),
        *_left_out(air),
    ]


def _states(air: MachineAir) -> Table:
    rows = [
        (
            state.name,
            f"{state.speed:.1f}",
            f"{state.speed / KNOT:.0f}",
            f"{state.attack:.1f}" if state.speed else "-",
            f"{state.attack_off:.1f}" if state.speed else "-",
            f"{state.thrust:.0f}",
            f"{state.thrust / POUND_FORCE:.0f}",
        )
        for state in air.states
    ]
    head = ("state", "m/s", "kt", "attack deg", "+/- deg", "thrust N", "lbf")
    title = "States; attack counts from the waterlines"
    return Table(head, rows_of(rows), (0.22, *(0.13,) * 6), title, tuple(range(1, 7)))


def _mouths(air: MachineAir) -> Iterator[Block]:
    names = dict.fromkeys(mouth.name for state in air.states for mouth in state.mouths)
    head = (
        "state",
        "Cp ahead",
        "caught",
        "from",
        "to",
        "mm",
        "in",
        "from mm",
        "to mm",
        "of height",
    )
    for name in names:
        rows = [row for state in air.states for row in _mouth_rows(state, name)]
        mouth = next(m for s in air.states for m in s.mouths if m.name == name)
        title = (
            f"{sides(name)}: {mouth.height:.0f} mm ({mouth.height / INCH:.1f} in) high, "
            f"{mouth.gap:.1f} mm off the skin"
        )
        yield Table(head, rows_of(rows), (0.14, *(0.095,) * 8, 0.1), title, tuple(range(1, 10)))
    if names:
        yield Words(
            "Cp ahead: pressure coefficient on the skin ahead of the mouth. Caught: share of the "
            "ram pressure, the slow layer's taken off. mm, in, of height: thickness of the slow "
            "layer, and as a share of the mouth's height.",
            small=True,
            hang=0,
        )


def _mouth_rows(state: FlownState, name: str) -> Iterator[tuple[str, ...]]:
    for mouth in state.mouths:
        if mouth.name == name:
            layer = mouth.layer
            yield (
                state.name,
                f"{mouth.pressure:.2f}",
                *_shares(mouth.caught),
                *(
                    ("not told", "-", "-", "-", "-")
                    if layer is None
                    else (
                        f"{layer[1]:.1f}",
                        f"{layer[1] / INCH:.2f}",
                        f"{layer[0]:.1f}",
                        f"{layer[2]:.1f}",
                        f"{layer[1] / mouth.height:.0%}",
                    )
                ),
            )


def _shares(band: Band | None) -> tuple[str, str, str]:
    if band is None:
        return "not told", "-", "-"
    low, best, high = band
    return f"{best:.2f}", f"{low:.2f}", f"{high:.2f}"


def _exit(air: MachineAir) -> Iterator[Block]:
    rows = []
    for state in air.states:
        if state.exit_pascals is not None:
            share, pascals = state.exit, state.exit_pascals
            cells = ("-", "-") if share is None else (f"{share[0]:.2f}", f"{share[1]:.2f}")
            rows.append((state.name, *cells, f"{pascals[0]:.0f}", f"{pascals[1]:.0f}"))
    if rows:
        head = ("state", "Cp", "+/-", "Pa", "+/- Pa")
        title = "Outside the exit: pressure coefficient, and pressure over that of the free air"
        yield Table(head, rows_of(rows), (0.28, *(0.18,) * 4), title, (1, 2, 3, 4))


def _neutral(air: MachineAir) -> Iterator[Block]:
    point = air.neutral
    if point is None:
        return
    yield Words("")
    text = (
        f"Neutral point by the air, propeller standing still: STA {point.station:.0f} mm "
        f"({point.station / INCH:.1f} in), +/- {point.off:.0f} mm by the panels alone. "
    )
    if point.estimated is None or point.band is None:
        text += f"The mass sheet has none beside it: {point.why}."
    else:
        low, high = point.band
        within = "inside" if low <= point.station <= high else "outside"
        text += (
            f"The mass sheet estimates STA {point.estimated:.0f} mm, from {low:.0f} to "
            f"{high:.0f} mm: the air's is {within} that, {point.station - point.estimated:+.0f} mm "
            "off. Take the more forward of both, and have it confirmed by a qualified person and "
            "by careful flight test."
        )
    yield Words(text, hang=0)


def _places(air: MachineAir) -> Iterator[Block]:
    found = mouth_places(air, FLOWN)
    if not found:
        return
    states = [name for name, _ in found[0].pressures]
    rows = [
        (
            place.line,
            f"{place.station:.0f}",
            f"{place.station / INCH:.1f}",
            f"{place.waterline:.0f}",
            f"{place.waterline / INCH:.1f}",
            *(f"{pressure:.2f}" for _, pressure in place.pressures),
        )
        for place in found
    ]
    head = ("line", "STA mm", "STA in", "WL mm", "WL in", *(f"Cp {name}" for name in states))
    count = len(head) - 1
    title = "Where the pod has the most pressure: places that a mouth would find"
    shares = (0.2, *(0.8 / count,) * count)
    yield Table(head, rows_of(rows), shares, title, tuple(range(1, count + 1)))
    yield Words(
        "More pressure than just ahead of and behind it, in climb and level flight. A wing, "
        "pylon or scoop that stands there makes some of it itself. How thick the slow layer is "
        "there is not told: draw a mouth there and run this again.",
        small=True,
        hang=0,
    )


def _left_out(air: MachineAir) -> Iterator[Block]:
    yield Words("")
    if air.separation:
        yield Words(f"Where the air leaves the pod in the climb: {air.separation}.", hang=0)
    yield from (Words(f"{note}.", "doubt") for note in air.notes)
    yield Words(f"{NOT_SEEN} Computed on {air.panels}.", hang=0)
