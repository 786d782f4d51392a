"""What the cooling air goes through, and the state it is asked for: plain figures, checked."""

from dataclasses import dataclass
from math import isfinite, radians, sin, sqrt

import numpy as np

from geomgen.air.cooling.losses import PressureLoss
from geomgen.errors import ParameterError


@dataclass(frozen=True)
class AirMouth:
    """A mouth: `area` [mm2], the outside at it, and the losses of its passage.

    `pressure` [1] is the outside's pressure coefficient there, `caught` [1] the share of the
    dynamic pressure outside that it turns into pressure when the air comes straight in: 1 facing
    the air, less flush. `angle` [deg] is how far from straight, `across` [1] the share that it
    loses of the head across it: all at a sharp lip. `slow` [1] is the share that the slow layer
    takes, `lip` [1] the lip's radius over the hydraulic diameter.
    """

    name: str
    area: float
    losses: tuple[PressureLoss, ...]
    pressure: float = 0.0
    caught: float = 1.0
    angle: float = 0.0
    slow: float = 0.0
    lip: float = 0.0
    across: float = 1.0

    def __post_init__(self) -> None:
        at = f"mouth {self.name}"
        check(at, "area", self.area, 0.0, 1e8, open_below=True)
        check(at, "pressure", self.pressure, -10.0, 1.0)
        check(at, "caught", self.caught, 0.0, 1.0)
        check(at, "angle", self.angle, 0.0, 180.0)
        check(at, "slow", self.slow, 0.0, 1.0)
        check(at, "across", self.across, 0.0, 1.0)
        check(at, "lip", self.lip, 0.0, 10.0)
        if self.resistance <= 0:
            raise ParameterError(
                f"{at} loses nothing, so no flow is too much for it",
                allowed="at least what is lost when its air comes to rest in the bay",
            )

    @property
    def resistance(self) -> float:
        """The passage's losses [1], all on the dynamic pressure in the mouth."""
        return sum(loss.factor * (self.area / loss.area) ** 2 for loss in self.losses)

    @property
    def dynamic_share(self) -> float:
        """The share [1] of the outside's dynamic pressure that it catches, of 0 at least.

        No lip, however round, turns air in that comes from behind.
        """
        if self.angle > 90.0:
            return 0.0
        head = sin(radians(self.angle)) ** 2
        return max(0.0, self.caught * (1.0 - self.across * head) * (1.0 - self.slow))

    @property
    def total(self) -> float:
        """The pressure coefficient [1] that it catches."""
        return self.pressure + (1.0 - self.pressure) * self.dynamic_share

    def speed_ratio(self) -> float:
        """Return the speed [1] that the air brings along, over the flight speed."""
        return sqrt((1.0 - self.pressure) * self.dynamic_share)


@dataclass(frozen=True)
class FinDrop:
    """The drop through baffles and fins: one point, or several.

    `flows` (n,) [kg/s] and `drops` (n,) [Pa] in air of `density` [kg/m3], unheated; beyond the
    last and before the first point the drop goes with the flow to the power `exponent` [1]; with
    one point everywhere. Common practice: 1.8 to 2.
    """

    flows: tuple[float, ...]
    drops: tuple[float, ...]
    exponent: float = 1.8
    density: float = 1.225

    def __post_init__(self) -> None:
        check("fins", "exponent", self.exponent, 1.0, 3.0)
        check("fins", "density", self.density, 0.1, 2.0)
        if not self.flows or len(self.flows) != len(self.drops):
            raise ParameterError("the fins need as many flows as drops, one or more")
        for flow, drop in zip(self.flows, self.drops, strict=True):
            check("fins", "flow", flow, 0.0, 100.0, open_below=True)
            check("fins", "drop", drop, 0.0, 1e5, open_below=len(self.flows) > 1)
        if len(self.flows) > 1 and np.any(self._slopes() < 1.0):
            raise ParameterError(
                "the fins' drop must grow with the flow",
                written=", ".join(
                    f"{d:g} Pa at {f:g} kg/s" for f, d in zip(self.flows, self.drops, strict=True)
                ),
                allowed="flows in rising order, the drop growing at least as fast as the flow",
            )

    def _slopes(self) -> np.ndarray:
        steps = np.diff(np.log(self.flows))
        if np.any(steps <= 0):
            return np.zeros(1)
        return np.asarray(np.diff(np.log(self.drops)) / steps)

    def at(self, flow: float) -> float:
        """Return the drop [Pa] of a flow [kg/s] in air of the density it was measured in.

        >>> fins = FinDrop((0.3,), (200.0,), exponent=2.0)
        >>> fins.at(0.6), fins.at(0.0)
        (800.0, 0.0)
        """
        if flow <= 0:
            return 0.0
        nearest = 0 if flow <= self.flows[0] else -1
        if len(self.flows) == 1 or not self.flows[0] < flow < self.flows[-1]:
            return float(self.drops[nearest] * (flow / self.flows[nearest]) ** self.exponent)
        return float(np.exp(np.interp(np.log(flow), np.log(self.flows), np.log(self.drops))))


@dataclass(frozen=True)
class AirExit:
    """The exit: `area` [mm2], discharge coefficient [1], pressure coefficient [1] outside it.

    A sharp-edged hole has 0.61, a rounded or a parallel one 0.95 and more: common practice.
    """

    area: float
    discharge: float = 0.9
    pressure: float = -0.1

    def __post_init__(self) -> None:
        check("exit", "area", self.area, 0.0, 1e8, open_below=True)
        check("exit", "discharge coefficient", self.discharge, 0.0, 1.0, open_below=True)
        check("exit", "pressure", self.pressure, -10.0, 1.0)


@dataclass(frozen=True)
class CoolingParts:
    """Mouths in parallel into one bay, fins behind it, one exit.

    `leakage` [1] is the share of the air that passes by the fins.
    """

    mouths: tuple[AirMouth, ...]
    fins: FinDrop
    exit: AirExit
    leakage: float = 0.0

    def __post_init__(self) -> None:
        if not self.mouths:
            raise ParameterError("the cooling air has no mouth")
        check("bay", "leakage", self.leakage, 0.0, 0.95)

    @property
    def mouth_area(self) -> float:
        """The area of all mouths [mm2]."""
        return sum(mouth.area for mouth in self.mouths)


@dataclass(frozen=True)
class AirState:
    """What is asked of the cooling: a state of flight.

    `speed` [m/s], air `density` [kg/m3] and `temperature` [K], `heat` [W] to the cooling air,
    `allowed` [K] rise at the fins. `pull` [Pa] is the propeller's at the exit, `mouth_pull` [Pa]
    at the mouths: below nought where it sucks.
    """

    name: str
    speed: float
    heat: float
    allowed: float
    density: float = 1.225
    temperature: float = 288.15
    pull: float = 0.0
    mouth_pull: float = 0.0

    def __post_init__(self) -> None:
        at = f"state {self.name}"
        check(at, "speed", self.speed, 0.0, 200.0)
        check(at, "heat", self.heat, 0.0, 1e6)
        check(at, "allowed rise", self.allowed, 0.0, 1000.0, open_below=True)
        check(at, "density", self.density, 0.1, 2.0)
        check(at, "temperature", self.temperature, 180.0, 340.0)
        check(at, "pull", self.pull, -1e5, 1e5)
        check(at, "pull at the mouths", self.mouth_pull, -1e5, 1e5)

    @property
    def ram(self) -> float:
        """The dynamic pressure [Pa]."""
        return self.density * self.speed**2 / 2


def check(
    at: str, name: str, value: float, low: float, high: float, *, open_below: bool = False
) -> None:
    """Refuse a value [any unit] outside its limits, or one that is no number."""
    if not isfinite(value) or not low <= value <= high or (open_below and value == low):
        over = f"above {low:g}" if open_below else f"{low:g}"
        raise ParameterError(
            f"{at}: {name} out of range", written=f"{value}", allowed=f"{over} to {high:g}"
        )
