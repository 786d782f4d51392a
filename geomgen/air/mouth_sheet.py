"""What the sheet of the air says of mouths: each as it stands, and places for a wanted one."""

from collections.abc import Iterator, Sequence

from geomgen.air.cooling_sheet import sides
from geomgen.air.mouth_places import RULE
from geomgen.air.record import Band, FlownState, MachineAir, MouthPlace, WantedMouth
from geomgen.documents.record import Block, Table, Words, rows_of
from geomgen.units import INCH

# So many places are told that fail by nothing and so many that fail, all in air.json: own choice.
TOLD = 7


def mouth_blocks(air: MachineAir) -> Iterator[Block]:
    """Return a table a mouth: pressure, speed, slow layer, how it stands to the air, its turn."""
    names = dict.fromkeys(mouth.name for state in air.states for mouth in state.mouths)
    head = (
        *("state", "Cp", "speed", "caught", "from", "to"),
        *("mm", "in", "least", "most", "share", "angle"),
    )
    for name in names:
        rows = [row for state in air.states for row in _mouth_rows(state, name)]
        mouth = next(m for s in air.states for m in s.mouths if m.name == name)
        turn = "not told" if mouth.turn is None else f"{mouth.turn:.0f} deg"
        title = (
            f"{sides(name)}: {mouth.height:.0f} mm ({mouth.height / INCH:.1f} in) high, "
            f"{mouth.gap:.1f} mm off the skin; turn of its passage: {turn}"
        )
        yield Table(head, rows_of(rows), (0.12, *(0.08,) * 11), title, tuple(range(1, 12)))
    if names:
        yield Words(
            "Cp, speed: pressure coefficient and speed, as a share of flight speed, on the skin "
            "ahead of the mouth. Caught: share of the ram pressure that the mouth turns to use, "
            "after what the slow layer (boundary layer) takes and what is lost where the air is "
            "not square to the mouth. A sharp lip loses all of that, a well rounded one hardly "
            "any: figure and upper end. mm, in, least, most, share: thickness of the slow layer, "
            "between what it lies in mm, and as a share of the mouth's height. Angle: degrees "
            "between the air there and straight into the mouth.",
            small=True,
            hang=0,
        )


def _mouth_rows(state: FlownState, name: str) -> Iterator[tuple[str, ...]]:
    for mouth in state.mouths:
        if mouth.name == name:
            yield (
                state.name,
                f"{mouth.pressure:.2f}",
                "-" if mouth.speed is None else f"{mouth.speed:.2f}",
                *_shares(mouth.caught),
                *_layer(mouth.layer, mouth.height),
                "-" if mouth.askew is None else f"{mouth.askew:.0f}",
            )


def _layer(layer: Band | None, height: float) -> tuple[str, ...]:
    if layer is None:
        return "not told", "-", "-", "-", "-"
    low, best, high = layer
    share = f"{best / height:.0%}"
    return f"{best:.1f}", f"{best / INCH:.2f}", f"{low:.1f}", f"{high:.1f}", share


def _shares(band: Band | None) -> tuple[str, str, str]:
    if band is None:
        return "not told", "-", "-"
    low, best, high = band
    return f"{best:.2f}", f"{low:.2f}", f"{high:.2f}"


def place_blocks(air: MachineAir) -> Iterator[Block]:
    """Return the places for the wanted mouth, the best first, in millimetres and in inches."""
    wanted = air.wanted
    if wanted is None or not air.places:
        return
    told = _told(air.places)
    head = ("place", "STA mm", "WL mm", "way mm", "Cp", "slow mm", "share", "caught", "turn")
    rows = [(f"{at} {p.line}", *_metric(p, wanted), _fails(p)) for at, p in told]
    good = sum(not place.fails for place in air.places)
    failing = f"{good} of {len(air.places)} pass"
    title = f"Places for a mouth of {_size(wanted)}: {failing}"
    shares = (0.11, *(0.08,) * 8, 0.25)
    yield Table((*head, "fails by"), rows_of(rows), shares, title, tuple(range(1, 9)))
    inches = [(f"{at} {place.line}", *_imperial(place)) for at, place in told]
    inch = ("place", "STA in", "WL in", "way in", "slow in")
    yield Table(inch, rows_of(inches), (0.28, *(0.18,) * 4), "The same in inches", (1, 2, 3, 4))
    yield Words(
        f"{RULE} Cp, slow layer with its share of the height, share of the ram pressure caught: "
        "the worse of climb and level flight, of a mouth square to the air. Turn, in degrees, and "
        "way are straight to the middle of the fan, through whatever stands there. Fails by: see "
        "geomgen air --help. Not looked at: the cabin, the structure behind the skin, the skin "
        "beside crown, side and keel. Draw the mouth there and run this again.",
        small=True,
        hang=0,
    )


def _told(places: Sequence[MouthPlace]) -> list[tuple[int, MouthPlace]]:
    """Return the first places of either kind with their numbers in the order of all."""
    numbered = list(enumerate(places, 1))
    good, bad = ([one for one in numbered if bool(one[1].fails) == f] for f in (False, True))
    return [*good[:TOLD], *bad[:TOLD]]


def _size(mouth: WantedMouth) -> str:
    """Return the size of a mouth in both units.

    >>> _size(WantedMouth(127.0, 50.8, 0.0))
    '127 x 51 mm (5.0 x 2.0 in)'
    """
    size = f"{mouth.width:.0f} x {mouth.height:.0f} mm"
    inches = f"{mouth.width / INCH:.1f} x {mouth.height / INCH:.1f} in"
    whose = f", {mouth.whose}" if mouth.whose else ""
    gap = f", {mouth.gap:.0f} mm off the skin" if mouth.gap else ""
    return f"{size} ({inches}){gap}{whose}"


def _worst(place: MouthPlace) -> tuple[float, Band | None, Band | None]:
    """Return the least pressure, the thickest layer, the least share caught of all states."""
    layers = [one.layer for one in place.states]
    caught = [one.caught for one in place.states]
    thick = [layer for layer in layers if layer is not None]
    share = [each for each in caught if each is not None]
    told = len(thick) == len(layers)
    return (
        min(one.pressure for one in place.states),
        max(thick, key=lambda layer: layer[1]) if told else None,
        min(share, key=lambda each: each[1]) if told else None,
    )


def _metric(place: MouthPlace, mouth: WantedMouth) -> tuple[str, ...]:
    pressure, layer, caught = _worst(place)
    return (
        f"{place.station:.0f}",
        f"{place.waterline:.0f}",
        "-" if place.way is None else f"{place.way:.0f}",
        f"{pressure:.2f}",
        "-" if layer is None else f"{layer[1]:.1f}",
        "-" if layer is None else f"{layer[1] / mouth.height:.0%}",
        "-" if caught is None else f"{caught[1]:.2f}",
        "-" if place.turn is None else f"{place.turn:.0f}",
    )


def _imperial(place: MouthPlace) -> tuple[str, ...]:
    layer = _worst(place)[1]
    return (
        f"{place.station / INCH:.1f}",
        f"{place.waterline / INCH:.1f}",
        "-" if place.way is None else f"{place.way / INCH:.1f}",
        "-" if layer is None else f"{layer[1] / INCH:.2f}",
    )


def _fails(place: MouthPlace) -> str:
    return "; ".join(place.fails) or "nothing"
