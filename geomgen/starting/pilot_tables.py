"""The pilot's seat and the canopy of a new file."""

from typing import Any

from geomgen.starting.proportions import Proportions


def pilot(q: Proportions) -> dict[str, Any] | None:
    """Return the pilot as he sits: leant back, his feet in the nose."""
    if not q.choices.described:
        return None
    seat, high = q.seat_station, q.seat_waterline
    return {
        "percentile": "50th man",
        "seat_station": seat,
        "seat_waterline": high,
        "seat_back_angle": 50.0,
        "hand_station": seat - 200.0,
        "hand_waterline": high + 242.0,
        "hand_buttock_line": 60.0,
        "pedal_station": seat - 700.0,
        "pedal_waterline": high + 217.0,
        "pedal_buttock_line": 90.0,
    }


def canopy(q: Proportions) -> dict[str, Any] | None:
    """Return the glazed part of the pod, over the pilot's head and ahead of it."""
    if not q.choices.described:
        return None
    return {
        "fore_station": 255.0,
        "aft_station": q.seat_station + 430.0,
        "fore_sill": 850.0,
        "aft_sill": 950.0,
    }
