"""What the flow about the machine and the cooling air through it are worked out for."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.place_values import Station
from geomgen.parameters.values.quantities import Record, Within, stated


class Air(Record):
    """The states of flight whose air is worked out, and what the file knows of it."""

    mass: Annotated[float, Within("mass", "20 kg", "3000 kg")] = Field(
        description="mass that the wing carries in climb, level flight and glide"
    )
    propeller_efficiency: Annotated[float, Within("fraction", "0.1", "0.95")] = stated(
        0.6,
        "thrust times flight speed, as a share of the shaft power, in climb and level flight; the "
        "default is our own choice",
    )
    static_merit: Annotated[float, Within("fraction", "0.1", "1")] = stated(
        0.6,
        "what an ideal propeller would need for the thrust standing still, as a share of the "
        "shaft power; the default is our own choice",
    )
    glide_speed: Annotated[float, Within("speed", "5 m/s", "150 m/s")] | None = stated(
        None, "speed of the glide, propeller standing still; flight.climb_speed when left out"
    )
    glide_heat: Annotated[float, Within("fraction", "0", "1")] = stated(
        0.2,
        "heat to the cooling air in the glide, as a share of that in the climb; the default is "
        "our own choice",
    )
    trip: Annotated[float, Station] | None = stated(
        None,
        "station (STA) where a step in the pod's skin stirs the slow layer (canopy edge, lap "
        "joint); it turns turbulent by itself when left out",
    )
    drop_exponent: Annotated[float, Within("fraction", "1", "2.5")] = stated(
        1.8,
        "how the drop through fins and baffles grows with the flow: its power; common practice "
        "says 1.8 to 2",
    )
    leakage: Annotated[float, Within("fraction", "0", "0.9")] = stated(
        0.1,
        "share of the cooling air that passes by the fins, through gaps of baffles; the default "
        "is our own choice",
    )
    discharge: Annotated[float, Within("fraction", "0.3", "1")] = stated(
        0.9,
        "what the exit passes, as a share of what its area would without losses; the default is "
        "common practice for a rim that is parallel or rounded",
    )
