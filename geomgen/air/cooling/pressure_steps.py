"""Where the pressure goes: from the stream ahead of a mouth down to that outside the exit."""

from dataclasses import dataclass, replace

from geomgen.air.cooling.balance import ThroughFlow
from geomgen.air.cooling.losses import entry
from geomgen.air.cooling.parts import AirMouth, AirState, CoolingParts
from geomgen.errors import ParameterError


@dataclass(frozen=True)
class PressureStep:
    """What one thing takes of the pressure [Pa]; a name and its source."""

    name: str
    taken: float
    source: str


def pressure_steps(parts: CoolingParts, found: ThroughFlow, name: str) -> tuple[PressureStep, ...]:
    """Return what takes the pressure [Pa] on the way through a mouth, in the order of the way.

    All of it is the free stream's dynamic pressure, with the propeller's pull at the mouths, less
    the pressure outside the exit. Raises ParameterError for a mouth that is not there or that
    takes no air in.
    """
    pairs = zip(parts.mouths, found.mouths, strict=True)
    chosen = [(mouth, flow) for mouth, flow in pairs if mouth.name == name and flow.flow > 0]
    if not chosen:
        raise ParameterError(
            "no air comes in through this mouth",
            written=name,
            allowed=", ".join(each.name for each in found.mouths if each.flow > 0) or None,
        )
    mouth, flow = chosen[0]
    state = found.state
    dynamic = state.density / 2 * flow.speed**2
    over = max(0.0, flow.speed - mouth.speed_ratio() * state.speed)
    return (
        *_not_caught(mouth, state),
        PressureStep("lip", state.density / 2 * entry(mouth.lip) * over**2, "Idelchik, momentum"),
        *(
            PressureStep(
                loss.name, loss.factor * dynamic * (mouth.area / loss.area) ** 2, loss.source
            )
            for loss in mouth.losses
        ),
        PressureStep("fins", found.bay - found.behind, "as given"),
        PressureStep("exit", found.behind - found.outside, "Bernoulli's equation"),
    )


def _not_caught(mouth: AirMouth, state: AirState) -> tuple[PressureStep, ...]:
    """Return what the mouth does not catch of the dynamic pressure, by what takes it."""
    even = replace(mouth, slow=0.0)
    straight = replace(even, angle=0.0)
    return (
        PressureStep("not caught", (1.0 - straight.total) * state.ram, "as given"),
        PressureStep(
            "air off square", (straight.total - even.total) * state.ram, "momentum, DERIVED"
        ),
        PressureStep("slow layer", (even.total - mouth.total) * state.ram, "as given"),
    )
