"""What moves the centre: how far each thing has to go, or weigh, for so much of the station."""

from collections.abc import Iterator
from dataclasses import dataclass

from geomgen.balance.masses.entries import ITEM, STRUCTURE, MassEntry
from geomgen.balance.masses.inertia import RigidBody
from geomgen.balance.state import BalanceState

# By how much the centre is to come forward [mm]; own choice.
STEP = 10.0
# Lines lighter than this share of the machine are no way to move it; own choice.
WORTH = 0.01
MOST = 8


@dataclass(frozen=True)
class Shift:
    """One way to bring the centre forward by a step: what, by how much [mm or kg]."""

    what: str
    by: float
    unit: str


def shifts(state: BalanceState, body: RigidBody, nose: float, step: float = STEP) -> list[Shift]:
    """Return ways to bring the centre of a loaded machine forward by `step` [mm].

    `nose` is the station of ballast in the nose [mm]. Each thing alone, all else where it is; a
    thing of mass m moved by d moves the centre of the whole of mass M by m d / M, ballast of mass m
    at an arm a ahead of the centre by m a / (M + m). The heaviest lines first.
    """
    found = list(_ballast(body, nose, step))
    lines = sorted(state.lines, key=lambda line: -line.body.mass)
    movable = [line for line in lines if _movable(line) and line.body.mass >= WORTH * body.mass]
    found += list(_moved(movable[:MOST], body, step))
    return found


def _movable(line: MassEntry) -> bool:
    """Say whether a line may be moved by itself: with the wing the neutral point goes, too."""
    return line.empty and line.how == ITEM and line.group != STRUCTURE


def _ballast(body: RigidBody, nose: float, step: float) -> Iterator[Shift]:
    arm = body.centre[0] - nose
    if arm > step:
        yield Shift(f"ballast at STA {nose:.0f} mm, more", step * body.mass / (arm - step), "kg")


def _moved(lines: list[MassEntry], body: RigidBody, step: float) -> Iterator[Shift]:
    for line in lines:
        yield Shift(f"{line.name}, forward", step * body.mass / line.body.mass, "mm")
