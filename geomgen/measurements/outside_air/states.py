"""The flow about a machine in its states of flight, on panels of one fineness."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from geomgen.air.paneling.machine import Outside, outside
from geomgen.air.potential.attack import Reference, attack_for, slopes_at, stream
from geomgen.air.potential.disc import FAR, Disc, narrowing, shares
from geomgen.air.potential.flow import Flow
from geomgen.air.potential.onsets import AFT, UP, Breathing
from geomgen.air.potential.solution import Solution, solved
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.plain import Axis, FlightState, Opening
from geomgen.measurements.outside_air.mouth_stand import MouthStand
from geomgen.processes.role import threads_allowed

# What others' wakes pass close by; the wing itself is what sheds them.
WASHED = ("pod", "tailplane", "pylon")
DISC = "propeller"
BOTH = 2


@dataclass(frozen=True)
class AboutMachine:
    """What is flown through the air: meshes [mm] by part, families, mouths, the propeller's disc.

    `open_behind` says that the cooling air leaves at the pod's end, `joint` [mm] is the widest gap
    of a joint. `disc` is the thrust line from the disc's middle, `radius` [mm] its own. `unfelt`
    are further parts that have no panels; what they do at most is told. `lone` scoops have no
    other; of those the `left` ones are given as the mirror shows them. `stands` say by name how
    mouths stand on the skin, of those that could be measured.
    """

    meshes: Mapping[str, Mesh]
    families: Mapping[str, str]
    mouths: Sequence[Opening]
    open_behind: bool
    joint: float
    disc: Axis | None = None
    radius: float = 0.0
    unfelt: Mapping[str, Mesh] = field(default_factory=dict)
    lone: Sequence[str] = ()
    left: Sequence[str] = ()
    stands: Mapping[str, MouthStand] = field(default_factory=dict)


@dataclass(frozen=True)
class SolvedMachine:
    """The flow about a machine, all onsets at strength 1, and its wing's measures."""

    outside: Outside
    solution: Solution
    disc: Disc | None
    wing: Reference
    lone: Sequence[str] = ()

    def strengths(self, state: FlightState, *, straight: bool = False) -> dict[str, float]:
        """Return how strong propeller and mouths are in a state [m/s].

        With a `straight` slipstream it does not narrow, as at a light load.
        """
        found: dict[str, float] = {}
        if self.disc is not None and state.thrust > 0.0:
            whole = self.disc.strength(state.thrust, state.speed, state.density)
            named = {disc.far: disc.name for disc in narrowing(self.disc)}
            each = {FAR[0]: whole} if straight else shares(whole, state.speed)
            found |= {named[far]: share for far, share in each.items()}
        areas = self.outside.panels.areas
        whole = sum(
            (1 if name in self.lone else BOTH) * float(areas[of].sum())
            for name, of in self.outside.mouths.items()
        )
        for name in self.outside.mouths:
            found[name] = -state.through / (whole * 1e-6)
        return found

    def lift(self, state: FlightState) -> float:
        """Return the lift coefficient [1] that a state needs of the wing; 0 without one."""
        if state.speed == 0.0 or "wing" not in self.outside.panels.names:
            return 0.0
        return state.lift / (0.5 * state.density * state.speed**2 * self.wing.area * 1e-6)

    def attack(self, state: FlightState) -> float:
        """Return the attack [deg] that carries a state's lift; 0 where none is due."""
        due = self.lift(state)
        if due == 0.0:
            return 0.0
        return attack_for(self.solution, due, self.wing, state.speed, self.strengths(state))

    def flow(self, state: FlightState, attack: float, *, straight: bool = False) -> Flow:
        """Return the flow in a state at an attack [deg] against the waterlines.

        `straight` as of `strengths`.
        """
        strengths = self.strengths(state, straight=straight)
        return self.solution.flow({**strengths, **stream(state.speed, attack)})

    def neutral(self, state: FlightState, attack: float) -> tuple[float, float]:
        """Return the neutral point's station [mm] and the lift slope [1/rad], no thrust."""
        found = slopes_at(self.solution, attack, self.wing, state.speed)
        return found.neutral_point, found.lift


def solved_machine(about: AboutMachine, fineness: float, tail: float = 1.0) -> SolvedMachine:
    """Return the flow about a machine with `fineness` times as many panels each way.

    `tail` is how many times as long as usual [1] the air that leaves is drawn.
    """
    shown = outside(
        *(about.meshes, about.families, about.mouths, about.open_behind, about.joint),
        *(fineness, tail),
    )
    disc = None
    if about.disc is not None and about.radius > 0.0:
        along = np.array(about.disc.direction) * np.sign(about.disc.direction[0])
        disc = Disc(DISC, about.disc.origin, about.radius, tuple(along.tolist()))
    panels = shown.panels
    washed = [n for n in panels.names if n in WASHED or about.families.get(n) == "scoop"]
    solution = solved(
        panels,
        [AFT, UP, *(narrowing(disc) if disc else ())],
        [Breathing(name, through) for name, through in shown.mouths.items()],
        washed=washed,
        threads=2 if threads_allowed() else 1,
    )
    return SolvedMachine(shown, solution, disc, _wing(shown), about.lone)


def _wing(shown: Outside) -> Reference:
    """Return the wing's area, mean chord and the quarter point of that one, off its grid."""
    grid = shown.grids.get("wing")
    if grid is None:
        return Reference(1e6, 1e3, (0.0, 0.0, 0.0))
    nose, tail = grid[len(grid) // 2], grid[0]
    chords = np.linalg.norm(tail - nose, axis=1)
    steps = np.diff(nose[:, 1])
    area = BOTH * float(np.sum(steps * 0.5 * (chords[1:] + chords[:-1])))
    squares = BOTH * float(np.sum(steps * 0.5 * (chords[1:] ** 2 + chords[:-1] ** 2)))
    quarter = nose + 0.25 * (tail - nose)
    middle = 0.5 * (quarter * chords[:, None])[1:] + 0.5 * (quarter * chords[:, None])[:-1]
    about = BOTH * np.sum(steps[:, None] * middle, axis=0) / area
    return Reference(area, squares / area, (float(about[0]), 0.0, float(about[2])))
