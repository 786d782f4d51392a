"""The sheet of the air: tables and words for screen and page, metric and imperial."""

from collections.abc import Iterator

from geomgen.air.cooling_sheet import cooling_blocks
from geomgen.air.mouth_sheet import mouth_blocks, place_blocks
from geomgen.air.record import MachineAir
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
    "Booms, fins, wheels, legs and spinner are left out: what they do at most to the pressures at "
    "mouths and exit, and booms to the lift of the wing, is in those bands. Not seen: swirl and "
    "blades of the propeller (it is an evenly loaded disc), gaps, rivets, hot exhaust, yaw, what "
    "those parts do to the rest of the skin, and what the slow layer and air that has left the "
    "skin do to the pressures."
)


def air_heading(title: str) -> Heading:
    """Return the heading of the sheet."""
    return Heading(f"Air about the machine: {title}")


def air_blocks(air: MachineAir) -> list[Block]:
    """Return the sheet: states, mouths, exit, cooling air, neutral point, places for a mouth."""
    return [
        Notice(CAUTION),
        _states(air),
        *mouth_blocks(air),
        *_exit(air),
        *cooling_blocks(air),
        *_neutral(air),
        *place_blocks(air),
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


def _left_out(air: MachineAir) -> Iterator[Block]:
    yield Words("")
    if air.separation:
        yield Words(f"Where the air leaves the pod in the climb: {air.separation}.", hang=0)
    yield from (Words(f"{note}.", "doubt") for note in air.notes)
    yield Words(f"{NOT_SEEN} Computed on {air.panels}.", hang=0)
