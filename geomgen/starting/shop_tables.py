"""What the shops are asked for in a new file."""

from typing import Any

from geomgen.starting import weights
from geomgen.starting.proportions import Proportions

# Foam sheets as they are sold [mm].
SHEETS = {"metric": (1250.0, 600.0), "imperial": (1219.2, 609.6)}
PAPER = {"metric": "A4", "imperial": "Letter"}
# The wing tip that is moulded, from its end.
TIP = 150.0
SIDES = ("upper", "lower")


def handoff(q: Proportions) -> dict[str, Any] | None:
    """Return the tables of the shops that were chosen; None for none."""
    if not q.choices.shops:
        return None
    length, width = SHEETS[q.choices.units]
    tables: dict[str, dict[str, Any]] = {
        "moulds": {"moulds": _moulds(q)},
        "foam": {"foam": {"sheet_length": length, "sheet_width": width}},
        "cores": {"cores": {"kerf": 1.2, "density": weights.FOAM, "caps": [*map(_cap, SIDES)]}},
        "sheet": {"sheet": {}},
    }
    found: dict[str, Any] = {"paper": {"size": PAPER[q.choices.units]}}
    for shop in q.choices.shops:
        found |= tables[shop]
    if q.laminated:
        ply = {
            "cloth": "glass twill",
            "areal_weight": 0.2,
            "fibre_volume_fraction": 0.35,
            "count": 2,
        }
        found["laminate"] = {"plies": [ply]}
    return found


def _moulds(q: Proportions) -> list[dict[str, Any]]:
    hull = {"treatment": "plug_outside", "stock": 2.0, "machine_length": 1250.0}
    return [
        {"part": "pod", **hull},
        *(
            {"part": f"scoop_{kind}", "treatment": "plug_outside", "split": "maximum breadth"}
            for kind in q.choices.scoops
        ),
        {"part": "tail_fairing", "treatment": "plug_outside"},
        {
            "part": "wing_tip",
            "treatment": "core_minus_skin",
            "split": "maximum breadth",
            "from_buttock_line": q.half_span - TIP,
        },
    ]


def _cap(side: str) -> dict[str, Any]:
    return {"at": 0.28, "width": 60.0, "depth": 5.0, "side": side}
