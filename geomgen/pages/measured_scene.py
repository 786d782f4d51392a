"""What the 3D view says of the checks: distances as lines, and each check at its place."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from geomgen.documents.pressure_bands import UNFELT, css
from geomgen.pages.check_rows import measured
from geomgen.pages.scene import PageScene, ShownDistance, Vec3, room, traces
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES, kind_of
from geomgen.verdicts.wording import figure, raised


@dataclass(frozen=True)
class CheckPlace:
    """Where a check is looked at: a point [mm], how far round it matters [mm]."""

    at: Vec3
    reach: float


def spans_of(checks: Sequence[Check]) -> tuple[ShownDistance, ...]:
    """Return the distances that were measured between two points."""
    return tuple(
        ShownDistance(
            check.id, (check.points[0], check.points[1]), figure(check.measured, check.unit)
        )
        for check in checks
        if check.unit == "mm" and check.measured is not None and len(check.points) == 2
    )


def viewed(
    scene: PageScene, checks: Sequence[Check], places: Mapping[str, CheckPlace]
) -> dict[str, Any]:
    """Return the view as plain values for JSON; `places` by the check's id."""
    named = {span.id for span in scene.spans} | {opening.id for opening in scene.openings}
    by_id = {check.id: check for check in checks}
    told = [
        {
            "id": id_,
            **asdict(place),
            "text": f"{by_id[id_].what}: {measured(by_id[id_])}",
            "words": f"{OUTCOMES[kind_of(by_id[id_])]}, {raised(by_id[id_].target.text)}",
            "figure": measured(by_id[id_]) if id_ in named else "",
        }
        for id_, place in places.items()
    ]
    whole = {"traces": traces(scene), "room": room(scene), "places": told}
    if scene.pressed:
        whole["pressure"] = _pressure(scene)
    return whole


def _pressure(scene: PageScene) -> dict[str, Any]:
    """Return the states of a scene's pressures with speeds [m/s], the parts felt, the grey."""
    felt = sorted({part for body in scene.pressed for part in body.parts})
    states = [{"name": name, "speed": round(speed, 1)} for name, speed in scene.speeds]
    return {"states": states, "felt": felt, "unfelt": css(UNFELT)}
