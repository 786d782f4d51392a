"""What a place may hang on: where the parts of a file stand, told from its tables alone."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import cos, radians
from typing import Any, Protocol

from pydantic import ValidationError

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.written_key import at
from geomgen.parameters.records.lifting import Wing
from geomgen.parameters.rules.planform import trailing_edge_at
from geomgen.parameters.values.place_values import BUTTOCK_LINE, PLACES, STATION, WATERLINE


class AnchorReader(Protocol):
    """How an anchor reads the file: values inside (mm, deg, ...), None for one that is not good."""

    tables: dict[str, Any]

    def length(self, path: Path) -> float | None:
        """Return a length or place [mm], worked out where it hangs on another part."""

    def angle(self, path: Path) -> float | None:
        """Return an angle [deg], 0 where it is left out."""

    def share(self, path: Path) -> float | None:
        """Return a plain number [1]; what hangs on it hangs on the key."""

    def whole(self, path: Path) -> Any:
        """Return a copy of a table with all places in it worked out; None when one is not good."""


Value = Callable[[AnchorReader], float | None]


@dataclass(frozen=True)
class Anchor:
    """A name as it is shown, the keys that it needs, and where it stands [mm]."""

    name: str
    value: Value


def anchors_of(tables: dict[str, Any], along: str) -> dict[str, list[Anchor]]:
    """Return what places along an axis may hang on in a file, by name in small letters.

    A name that several parts have stands for all of them; what is in `PLACES` goes before them.

    >>> list(anchors_of({"firewall": {}, "engine": {"boxes": [{"name": "Gear"}]}}, "station"))
    ['firewall', 'gear', 'gear end']
    """
    found: dict[str, list[Anchor]] = {}
    for name, (needs, value) in _FIXED[along].items():
        if at(tables, needs) is not None:
            found[name] = [Anchor(name, value)]
    fixed = set(PLACES[along])
    for anchor in _named(tables, along):
        plain = flat(anchor.name)
        if plain not in fixed:
            found.setdefault(plain, []).append(anchor)
    return found


def flat(name: str) -> str:
    """Return a name in small letters, with single blanks."""
    return " ".join(name.casefold().split())


def _named(tables: dict[str, Any], along: str) -> Iterator[Anchor]:
    if along not in (STATION, WATERLINE):
        return
    aft: list[Anchor] = []
    for kind in ("boxes", "cylinders"):
        for path, name in _rows(tables, ("engine", kind)):
            if along == WATERLINE:
                yield Anchor(name, _key(*path, "waterline"))
                continue
            yield Anchor(name, _body(path, 0))
            aft.append(Anchor(f"{name} end", _body(path, 1)))
    if along == STATION:
        for path, name in _rows(tables, ("scoops",)):
            yield Anchor(name, _key(*path, "mouth"))
    yield from aft


def _rows(tables: dict[str, Any], path: Path) -> Iterator[tuple[Path, str]]:
    rows = at(tables, path)
    for i, row in enumerate(rows if isinstance(rows, list) else []):
        name = row.get("name") if isinstance(row, dict) else None
        if isinstance(name, str) and name.strip():
            yield (*path, i), " ".join(name.split())


def _key(*path: str | int) -> Value:
    return lambda look: look.length(path)


def _last(*path: str) -> Value:
    """Return the value of a key in the last row of a list."""

    def value(look: AnchorReader) -> float | None:
        rows = at(look.tables, path[:-1])
        if not isinstance(rows, list) or not rows:
            return None
        return look.length((*path[:-1], len(rows) - 1, path[-1]))

    return value


def _body(path: Path, end: int) -> Value:
    """Return the front (0) or the aft end (1) of a box or cylinder of the engine."""

    def value(look: AnchorReader) -> float | None:
        station = look.length((*path, "station"))
        across = at(look.tables, (*path, "axis")) in ("y", "z")
        if not across and not end:
            return station
        size = look.length((*path, "diameter" if across else "length"))
        if station is None or size is None:
            return None
        return station + (end - 0.5 if across else end) * size

    return value


def _trailing(table: str, chord: Path) -> Value:
    """Return the aft end of the root's (or lowest) chord, turned about its leading edge."""

    def value(look: AnchorReader) -> float | None:
        edge, length = look.length((table, "leading_edge")), look.length((table, *chord))
        turn = look.angle((table, "incidence"))
        washout = look.angle((table, *chord[:-1], "washout"))
        if edge is None or length is None or turn is None or washout is None:
            return None
        return edge + length * cos(radians(turn - washout))

    return value


def _blades(look: AnchorReader) -> float | None:
    if at(look.tables, ("propeller", "behind_trailing_edge")) is None:
        return look.length(("propeller", "station"))
    share = look.share(("propeller", "behind_trailing_edge"))
    out = 0.0
    if at(look.tables, ("propeller", "behind_at")) is not None:
        out = look.length(("propeller", "behind_at"))  # type: ignore[assignment]
    tables = look.whole(("wing",))
    if share is None or out is None or tables is None:
        return None
    try:
        wing = Wing.model_validate(tables)
    except ValidationError:
        return None
    edge, chord = trailing_edge_at(wing, out)
    return edge + share * chord


ROOT: Path = ("sections", 0, "chord")
_Fixed = dict[str, tuple[Path, Value]]
_STATIONS: _Fixed = {
    "pod start": (("pod", "stations"), _key("pod", "stations", 0, "station")),
    "pod end": (("pod", "stations"), _last("pod", "stations", "station")),
    "firewall": (("firewall",), _key("firewall", "station")),
    "exit rim": (("exit",), _key("exit", "rim_station")),
    "tail fairing start": (
        ("exit", "tail_fairing"),
        _key("exit", "tail_fairing", "stations", 0, "station"),
    ),
    "tail fairing end": (
        ("exit", "tail_fairing"),
        _last("exit", "tail_fairing", "stations", "station"),
    ),
    "boom start": (("booms", "stations"), _key("booms", "stations", 0, "station")),
    "boom end": (("booms", "stations"), _last("booms", "stations", "station")),
    "blades": (("propeller",), _blades),
    "fan face": (("engine", "fan_face"), _key("engine", "fan_face", "station")),
}
for _name, _table, _chord in (
    ("wing", "wing", ROOT),
    ("tailplane", "tailplane", ROOT),
    ("fin", "fins", ROOT),
    ("pylon", "pylon", ("chord",)),
):
    _STATIONS[f"{_name} leading edge"] = ((_table,), _key(_table, "leading_edge"))
    _STATIONS[f"{_name} trailing edge"] = ((_table,), _trailing(_table, _chord))
_FIXED: dict[str, _Fixed] = {
    STATION: _STATIONS,
    WATERLINE: {
        "thrust line": (("propeller",), _key("propeller", "waterline")),
        "wing leading edge": (("wing",), _key("wing", "waterline")),
        "boom start": (("booms", "stations"), _key("booms", "stations", 0, "waterline")),
        "boom end": (("booms", "stations"), _last("booms", "stations", "waterline")),
        "fan face": (("engine", "fan_face"), _key("engine", "fan_face", "waterline")),
    },
    BUTTOCK_LINE: {
        "boom": (("booms",), _key("booms", "buttock_line")),
        "wing tip": (("wing", "sections"), _last("wing", "sections", "buttock_line")),
    },
}
