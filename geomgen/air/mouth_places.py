"""Places along the pod for a mouth of a wanted size: what each finds and what it fails by."""

from collections.abc import Iterator, Mapping, Sequence
from math import floor

from geomgen.air.record import Band, MouthPlace, PlaceInState, WantedMouth
from geomgen.air.slow_layer.bands import lost_share
from geomgen.air.slow_layer.following import LayerHere
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.aircraft import Parameters

START = "air.spot."
STATES = ("climb", "level")
# Shares caught that differ by less than this count as alike: the panels tell no more. Own choice.
ALIKE = 0.05
RULE = (
    "Order (own choice): places that fail by nothing first; of these, and of the rest, those that "
    f"catch more in the worse of climb and level flight, in steps of {ALIKE:g}; of alike ones the "
    "shorter straight way to the fan first."
)


def wanted_mouth(p: Parameters) -> WantedMouth | None:
    """Return the size of the file's largest mouth [mm]; None where it has none."""
    if not p.scoops:
        return None
    scoop = max(p.scoops, key=lambda one: one.width * one.height)
    return WantedMouth(scoop.width, scoop.height, scoop.boundary_layer_gap, f"as {scoop.name}")


def mouth_places(
    p: Parameters, measurements: Sequence[Measurement], mouth: WantedMouth
) -> tuple[MouthPlace, ...]:
    """Return the places that were looked at, in the order of `RULE`, with what each fails by.

    A place fails where the slow layer is not told (or has left the skin), is thicker than
    rules.slow_layer of the height, or leaves less than rules.inlet_pressure; where the turn
    straight to the fan is more than rules.duct_turn; where another part is within half the
    mouth's width or its height and gap, whichever is more; and on the canopy.
    """
    spots = [m for m in measurements if m.id.startswith(START) and m.points]
    return tuple(sorted((_place(p, spot, mouth) for spot in spots), key=_order))


def _order(place: MouthPlace) -> tuple[object, ...]:
    caught = [one.caught[1] for one in place.states if one.caught is not None]
    told = len(caught) == len(place.states)
    step = floor(min(caught) / ALIKE + 1e-9) if caught and told else -1
    return bool(place.fails), -step, place.way or 0.0, len(place.fails), place.station


def _place(p: Parameters, spot: Measurement, mouth: WantedMouth) -> MouthPlace:
    figures = dict(spot.further)
    states = tuple(
        _in_state(figures, state, mouth) for state in STATES if f"pressure {state}" in figures
    )
    near = min(_near(figures), key=lambda one: one[1], default=None)
    x, _, z = spot.points[0]
    line = spot.id.removeprefix(START).partition(".")[0]
    turn, way = figures.get("turn"), figures.get("way")
    fails = (
        *_fails_by_layer(p, states, mouth, spot.note),
        *_fails_by_place(p, figures, near, mouth),
    )
    return MouthPlace(line, x, z, states, turn, way, near, fails)


def _near(figures: Mapping[str, float]) -> Iterator[tuple[str, float]]:
    start = "near "
    yield from ((k.removeprefix(start), v) for k, v in figures.items() if k.startswith(start))


def _in_state(figures: Mapping[str, float], state: str, mouth: WantedMouth) -> PlaceInState:
    pressure, speed = figures[f"pressure {state}"], figures[f"speed {state}"]
    if f"thick {state}" not in figures:
        return PlaceInState(state, pressure, speed)
    layer = tuple(figures[f"{what} {state}"] for what in ("least thick", "thick", "most thick"))
    shape = figures[f"shape {state}"]
    caught = sorted(1.0 - speed**2 * _lost(thick, shape, mouth) for thick in layer)
    best = 1.0 - speed**2 * _lost(layer[1], shape, mouth)
    low, high = caught[0], caught[-1]
    return PlaceInState(state, pressure, speed, _band(*layer), (low, best, high))


def _band(low: float, best: float, high: float) -> Band:
    return low, best, high


def _lost(thick: float, shape: float, mouth: WantedMouth) -> float:
    """Return the share of the dynamic pressure that a layer [mm] takes from the mouth."""
    layer = LayerHere(0.0, 0.0, thick, shape, 0.0, True)
    return lost_share(layer, mouth.gap, mouth.height)


def _fails_by_layer(
    p: Parameters, states: Sequence[PlaceInState], mouth: WantedMouth, note: str
) -> Iterator[str]:
    if any(one.layer is None for one in states):
        left = "has left the surface" in note
        yield "the air has left the skin" if left else f"slow layer not told ({note})"
        return
    thick = max(one.layer[1] / mouth.height for one in states if one.layer is not None)
    if thick > p.rules.slow_layer.value:
        yield f"slow layer {thick:.0%} of the height"
    caught = min(one.caught[1] for one in states if one.caught is not None)
    if caught < p.rules.inlet_pressure.value:
        yield f"catches {caught:.2f}"


def _fails_by_place(
    p: Parameters,
    figures: Mapping[str, float],
    near: tuple[str, float] | None,
    mouth: WantedMouth,
) -> Iterator[str]:
    turn = figures.get("turn")
    if turn is not None and turn > p.rules.duct_turn.value:
        yield f"turn {turn:.0f} deg"
    room = max(0.5 * mouth.width, mouth.height + mouth.gap)
    if near is not None and near[1] < room:
        yield f"{near[0]} {near[1]:.0f} mm away, {room:.0f} needed"
    if figures.get("glass"):
        yield "on the canopy"
