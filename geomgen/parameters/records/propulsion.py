"""Records of the propeller and its spinner."""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.place_values import ButtockLine, Station, Waterline
from geomgen.parameters.values.quantities import Record, Within, stated

Room = Within("length", "0 mm", "200 mm")


class Propeller(Record):
    """The pusher propeller, its place and what it moves about when it runs."""

    diameter: Annotated[float, Within("length", "200 mm", "4 m")] = Field(description="diameter")
    station: Annotated[float, Station] | None = stated(
        None, "station (STA) of the blade plane on the thrust line"
    )
    behind_trailing_edge: Annotated[float, Within("fraction", "0", "3")] | None = stated(
        None,
        "instead of a station: how far the blade plane stands behind the wing's "
        "trailing edge, as a fraction of the local chord",
    )
    behind_at: Annotated[float, ButtockLine] = stated(
        "0 mm", "buttock line (BL) at which that chord and trailing edge are taken"
    )
    waterline: Annotated[float, Waterline] = Field(
        description="waterline (WL) of the thrust line at the blade plane"
    )
    thrust_tilt: Annotated[float, Within("angle", "-10 deg", "10 deg")] = stated(
        "0 deg", "tilt of the thrust line, positive: blade plane's top leans aft"
    )
    blade_depth: Annotated[float, Within("length", "1 mm", "400 mm")] = Field(
        description="axial depth of the pitched blade"
    )
    flex: Annotated[float, Room] = stated("0 mm", "how far the tips bend fore and aft under load")
    mount_travel_radial: Annotated[float, Room] = stated(
        "0 mm", "how far the engine on its mounts carries the disc sideways"
    )
    mount_travel_axial: Annotated[float, Room] = stated(
        "0 mm", "how far the engine on its mounts carries the disc fore and aft"
    )
    hub_diameter: Annotated[float, Within("length", "10 mm", "1 m")] = stated(
        "100 mm", "diameter of the hub"
    )


class Spinner(Record):
    """The spinner behind the blades, flat in front and round aft."""

    diameter: Annotated[float, Within("length", "20 mm", "1 m")] = Field(
        description="diameter of its flat front"
    )
    length: Annotated[float, Within("length", "10 mm", "1 m")] = Field(description="length")
