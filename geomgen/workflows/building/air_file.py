"""The air of a set on the disk: written with it, read for its page."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters

if TYPE_CHECKING:
    from geomgen.air.pressure_map import PressureMap
    from geomgen.measurements.record import Measurement

AIR, PANELS = "air.json", "air_panels.json"


def write_air(
    folder: Path, p: Parameters, measured: "Sequence[Measurement]"
) -> list[tuple[str, str]]:
    """Write air.json where a file has [air] and its air was worked out; return its entry.

    Its panels with their pressures lie beside it, in air_panels.json.
    """
    if not measured or p.air is None:
        return []
    from geomgen.air.pressure_map import plain_map, pressure_map
    from geomgen.air.record import plain
    from geomgen.files.disk import write_bytes
    from geomgen.workflows.building.air_measured import measured_air

    found = measured_air(p, measured)
    if found is None:
        return []
    text = json.dumps(plain(found), indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(folder / AIR, text.encode("ascii"))
    entries = [(AIR, "air about the machine")]
    panels = pressure_map(measured)
    if panels is not None:
        packed = json.dumps(plain_map(panels), separators=(",", ":"), allow_nan=False) + "\n"
        write_bytes(folder / PANELS, packed.encode("ascii"))
        entries.append((PANELS, "pressures on panels"))
    return entries


def read_air(folder: Path) -> Any:
    """Return what air.json says; None where the set has none."""
    return _read(folder / AIR)


def read_panels(folder: Path) -> "PressureMap | None":
    """Return the panels of a set with their pressures; None where it has none.

    FileWriteError where they can't be read.
    """
    from geomgen.air.pressure_map import map_from_plain
    from geomgen.errors import FileWriteError

    values = _read(folder / PANELS)
    try:
        return None if values is None else map_from_plain(values)
    except ValueError as error:
        raise FileWriteError(
            "the pressures of the set can't be read", path=PANELS, advice="build the set again"
        ) from error


def _read(path: Path) -> Any:
    try:
        return json.loads(path.read_bytes())
    except (OSError, ValueError):
        return None
