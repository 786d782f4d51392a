"""The air of a set on the disk: written with it, read for its page."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters

if TYPE_CHECKING:
    from geomgen.measurements.record import Measurement

AIR = "air.json"


def write_air(
    folder: Path, p: Parameters, measured: "Sequence[Measurement]"
) -> list[tuple[str, str]]:
    """Write air.json where a file has [air] and its air was worked out; return its entry."""
    if not measured or p.air is None:
        return []
    from geomgen.air.record import plain
    from geomgen.files.disk import write_bytes
    from geomgen.workflows.building.air_measured import measured_air

    found = measured_air(p, measured)
    if found is None:
        return []
    text = json.dumps(plain(found), indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(folder / AIR, text.encode("ascii"))
    return [(AIR, "air about the machine")]


def read_air(folder: Path) -> Any:
    """Return what air.json says; None where the set has none."""
    try:
        return json.loads((folder / AIR).read_bytes())
    except (OSError, ValueError):
        return None
