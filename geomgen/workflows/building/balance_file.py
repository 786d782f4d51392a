"""The masses of a set on the disk: written with it, read for its page."""

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from geomgen.parameters import Parameters

if TYPE_CHECKING:
    from geomgen.measurements.record import Measurement

BALANCE = "balance.json"


def write_balance(
    folder: Path, p: Parameters, measured: "Sequence[Measurement]"
) -> list[tuple[str, str]]:
    """Write balance.json where a file describes masses and they were measured; return its entry."""
    if not measured or not (p.mass or p.items):
        return []
    from geomgen.balance.plain import plain
    from geomgen.balance.state import balance_state
    from geomgen.files.disk import write_bytes

    state = balance_state(p, measured)
    if state is None:
        return []
    text = json.dumps(plain(state), indent=1, ensure_ascii=True, allow_nan=False) + "\n"
    write_bytes(folder / BALANCE, text.encode("ascii"))
    return [(BALANCE, "mass and balance")]


def read_balance(folder: Path) -> dict[str, Any] | None:
    """Return what balance.json says; None where the set has none."""
    try:
        found: dict[str, Any] = json.loads((folder / BALANCE).read_bytes())
    except (OSError, ValueError):
        return None
    return found
