"""The air of one aircraft: what `air` does."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen import units
from geomgen.errors import GeometryError, ParameterError
from geomgen.parameters import Parameters, load
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.regeneration.store import Store
from geomgen.verdicts.check import Check
from geomgen.workflows.building.build import Progress

if TYPE_CHECKING:
    from geomgen.air.record import MachineAir, WantedMouth
    from geomgen.documents.record import Block
    from geomgen.measurements.record import Measurement

# Sides of a mouth that may be asked for [mm]: own choice.
LEAST, MOST = 8.0, 1000.0
# The checks that belong on the sheet, by the beginning of their ids.
OURS = (
    *("inlet.pressure.", "inlet.slow_layer.", "inlet.separated.", "exit.pressure", "cooling."),
    *("pod.separation", "wing.neutral_point", "mass.flown"),
)


@dataclass(frozen=True)
class AirResult:
    """The air of an aircraft in every state, and the checks of it."""

    parameters: Parameters
    air: "MachineAir"
    checks: tuple[Check, ...]

    @property
    def inches(self) -> bool:
        """Say whether the file counts in inches."""
        return counts_in_inches(self.parameters)

    def blocks(self) -> "list[Block]":
        """Return the sheet of the air."""
        from geomgen.air.sheet import air_blocks, air_heading

        return [air_heading(self.parameters.title), *air_blocks(self.air)]

    def as_dict(self) -> dict[str, Any]:
        """Return all figures as plain values: mm, mm2, m/s, N, Pa, kg/s, K, deg."""
        from geomgen.air.record import plain

        return {**plain(self.air), "checks": [check.as_dict() for check in self.checks]}


def air(
    path: str | Path,
    overrides: Sequence[str] = (),
    progress: Progress | None = None,
    store: Store | None = None,
    mouth: str = "",
) -> AirResult:
    """Make the solids, compute the air about them and the cooling air through them.

    `mouth` is the size that places are looked for, as "160 mm x 60 mm": width along the skin,
    height off it; without one the file's largest.
    ParameterError where the file has no [air], GeometryError where the air can't be worked out.
    """
    from geomgen.regeneration.regenerating import regenerate

    wanted = wanted_mouth_of(mouth) if mouth else None
    p = load(path, overrides)
    if p.air is None:
        raise ParameterError(
            "nothing says which states of flight the air is worked out for", file=str(path),
            key="air", written="nothing", allowed='[air] with the mass carried: mass = "265 kg"',
            advice="geomgen schema has its other keys; configs/saltmarsh.toml has it filled in",
        )  # fmt: skip
    state = regenerate(p, store, progress or (lambda _: None))
    return air_result(p, state.measured, state.checks, wanted)


def wanted_mouth_of(text: str) -> "WantedMouth":
    """Return the mouth [mm] that a text asks for; ParameterError where it is none."""
    from geomgen.air.record import WantedMouth

    allowed = "width along the skin x height off it, 8 mm to 1 m each"
    advice = 'write it like "160 mm x 60 mm"'
    sides = text.split(" x ")
    if len(sides) != 2:
        raise ParameterError(
            "not a width and a height", key="--mouth", written=text, allowed=allowed, advice=advice
        )
    width, height = (units.parse(side.strip(), "length") for side in sides)
    if not (LEAST <= width <= MOST and LEAST <= height <= MOST):
        raise ParameterError(
            "no size for a mouth", key="--mouth", written=text, allowed=allowed, advice=advice
        )
    return WantedMouth(width, height, 0.0, "on the skin, as asked for")


def air_result(
    p: Parameters,
    measured: "Sequence[Measurement]",
    checks: Sequence[Check],
    wanted: "WantedMouth | None" = None,
) -> AirResult:
    """Return the air of what was measured; GeometryError where it was not."""
    from geomgen.workflows.building.air_measured import measured_air

    found = measured_air(p, measured, wanted)
    ours = tuple(c for c in checks if c.id.startswith(OURS))
    if found is None:
        notes = (c.note for c in ours if c.verdict == "not_measured" and c.note)
        why = "; ".join(dict.fromkeys(notes))
        raise GeometryError(why or "the air about it could not be worked out", part="pod")
    return AirResult(p, found, ours)
