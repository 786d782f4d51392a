"""What a file knows of the air outside: its states of flight, and the way of the cooling air."""

from typing import Any

from strangers.dice import Dice
from strangers.pod import Pod


def outside_air(d: Dice, body: Pod) -> dict[str, Any] | None:
    """Return a table of the air outside; None in most files, whose air is not worked out."""
    if d.chance(0.85):
        return None
    wishes: dict[str, Any] = {
        "propeller_efficiency": round(d.exactly(0.3, 0.8), 2),
        "static_merit": round(d.exactly(0.4, 0.8), 2),
        "glide_speed": d.between(20, 40),
        "glide_heat": round(d.exactly(0.0, 0.5), 2),
        "trip": body.at(d.exactly(0.05, 0.8)),
        "drop_exponent": round(d.exactly(1.4, 2.0), 2),
        "leakage": round(d.exactly(0.0, 0.4), 2),
        "discharge": round(d.exactly(0.6, 1.0), 2),
    }
    table = {key: value for key, value in wishes.items() if d.chance(0.5)}
    return {"mass": d.between(180, 420), **table}
