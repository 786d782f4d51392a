"""The air of a machine as plain records: what the sheet, the page and air.json are made from."""

from dataclasses import dataclass
from typing import Any

# The least, the likeliest and the largest figure.
Band = tuple[float, float, float]


@dataclass(frozen=True)
class PressureLine:
    """A line along the pod, fore to aft: stations, waterlines [mm], pressure coefficients [1].

    `leaves` is the station [mm] where the air leaves the skin along it, `stays` the last one to
    which it was followed without; both None where that was not told.
    """

    name: str
    stations: tuple[float, ...]
    waterlines: tuple[float, ...]
    pressures: tuple[float, ...]
    leaves: float | None = None
    stays: float | None = None


@dataclass(frozen=True)
class MouthInState:
    """What a mouth finds: `pressure` [1] ahead of it, the share [1] it catches, the layer [mm].

    `height` is the mouth's, `gap` how far it stands off the skin [mm]; `station` [mm] is where the
    skin was looked at, `stands` the mouth's own. `speed` [1] is the speed ratio there, `askew`
    [deg] between the air and square to the mouth, `turn` [deg] its passage's. None: not told.
    """

    name: str
    pressure: float
    height: float
    gap: float
    station: float | None = None
    caught: Band | None = None
    layer: Band | None = None
    speed: float | None = None
    askew: float | None = None
    turn: float | None = None
    stands: float | None = None


@dataclass(frozen=True)
class WantedMouth:
    """The mouth that places are looked for: width along the skin, height, gap [mm]; whose it is."""

    width: float
    height: float
    gap: float
    whose: str = ""


@dataclass(frozen=True)
class PlaceInState:
    """A place in a state: pressure coefficient, speed ratio [1], layer [mm], share caught [1].

    The last two are None where the slow layer was not told.
    """

    name: str
    pressure: float
    speed: float
    layer: Band | None = None
    caught: Band | None = None


@dataclass(frozen=True)
class MouthPlace:
    """A place on a line, station and waterline [mm], what a mouth finds there, what it fails by.

    `turn` [deg] and `way` [mm] are straight to the fan, None without one; `near` is the nearest of
    wing, tail, booms and pylon and how far off it is [mm].
    """

    line: str
    station: float
    waterline: float
    states: tuple[PlaceInState, ...]
    turn: float | None = None
    way: float | None = None
    near: tuple[str, float] | None = None
    fails: tuple[str, ...] = ()


@dataclass(frozen=True)
class StepTaken:
    """What one thing takes of the pressure [Pa] on the way, and its source."""

    name: str
    taken: float
    source: str


@dataclass(frozen=True)
class Deciding:
    """How much a figure may change the rise [%] at both ends of its own band.

    None where it stops the air.
    """

    name: str
    more: float | None
    less: float | None


@dataclass(frozen=True)
class CoolingInState:
    """The cooling air in a state: flow [kg/s], rise [K], allowed [K], exit needed [mm2].

    The low and high end of flow and rise stand beside them; a high one of None has no end. A rise
    of None: no air goes aft. `words` say what the figures do not, `steps` by mouth where the
    pressure [Pa] goes.
    """

    flow: float
    flow_band: tuple[float, float | None] | None
    rise: float | None
    rise_band: tuple[float, float | None] | None
    allowed: float
    exit_needed: float | None
    words: tuple[str, ...]
    decides: tuple[Deciding, ...] = ()
    steps: tuple[tuple[str, tuple[StepTaken, ...]], ...] = ()


@dataclass(frozen=True)
class FlownState:
    """A state: speed [m/s], attack [deg] and how far it may be off, thrust [N].

    `exit` [1] is the pressure coefficient outside the exit, `exit_pascals` [Pa] the pressure over
    the free stream's; each with how far it may be off. `lines` run along the pod.
    """

    name: str
    speed: float
    attack: float
    attack_off: float
    thrust: float
    lines: tuple[PressureLine, ...] = ()
    mouths: tuple[MouthInState, ...] = ()
    exit: tuple[float, float] | None = None
    exit_pascals: tuple[float, float] | None = None
    cooling: CoolingInState | None = None


@dataclass(frozen=True)
class ExitByRule:
    """An exit by one rule [mm2], None when none is large enough, with its flow and rise.

    Flow [kg/s] and rise [K] are None where there is no exit; the rise also without flow.
    """

    rule: str
    area: float | None
    flow: float | None
    rise: float | None


@dataclass(frozen=True)
class RulesBeside:
    """Exits by rule in the climb, the exit [mm2] as one thing more is counted, what parts them."""

    exits: tuple[ExitByRule, ...]
    steps: tuple[tuple[str, float | None], ...]
    words: tuple[str, ...]


@dataclass(frozen=True)
class NeutralBeside:
    """The neutral point by the air [mm], how far it may be off, the mass sheet's with its band.

    `estimated` is None where the file has no masses or there is no estimate; `why` says so.
    """

    station: float
    off: float
    estimated: float | None = None
    band: tuple[float, float] | None = None
    why: str = ""


@dataclass(frozen=True)
class MachineAir:
    """All that is told of the air of a machine. `exit_area` [mm2] is the exit as measured.

    `rim` [mm] is the station of the open end. `places` are those for the `wanted` mouth, in order.
    `separation` says where the air leaves the pod, `notes` what could not be told, `panels` how
    fine the computation was.
    """

    states: tuple[FlownState, ...]
    exit_area: float | None
    rules: RulesBeside | None
    neutral: NeutralBeside | None
    separation: str
    notes: tuple[str, ...]
    panels: str
    rim: float | None = None
    wanted: WantedMouth | None = None
    places: tuple[MouthPlace, ...] = ()


def plain(air: MachineAir) -> dict[str, Any]:
    """Return the air as plain values for JSON, in the units of the records."""
    from pydantic import TypeAdapter

    values: dict[str, Any] = TypeAdapter(MachineAir).dump_python(air, mode="json")
    return values


def from_plain(values: Any) -> MachineAir:
    """Return the air that plain values stand for; ValueError where they are none."""
    from pydantic import TypeAdapter

    return TypeAdapter(MachineAir).validate_python(values)
