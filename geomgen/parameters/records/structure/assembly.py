"""Record of how the parts are put together: where the pod parts, in which order, what is built in.

Geometry of straight ways, nothing of how parts are bonded or bent.
"""

from typing import Annotated

from pydantic import Field

from geomgen.parameters.values.place_values import Waterline
from geomgen.parameters.values.quantities import Matching, OneOf, Record, stated

CENTRE, LEVEL, WHOLE = "centre plane", "waterline", "none"
NAME = Matching("[a-z0-9_-]{1,60}", "a part or a family: frame_nose, frame, leg_main, spar_main")
Names = Annotated[tuple[Annotated[str, NAME], ...], Field(max_length=60)]


class Assembly(Record):
    """How the parts are put together; with it each must have a straight way in."""

    pod_split: Annotated[str, OneOf((CENTRE, LEVEL, WHOLE))] = stated(
        CENTRE,
        "plane in which the pod's skin is in two pieces until they are closed: centre plane, a "
        "waterline, or none: all goes in through its openings",
    )
    split_waterline: Annotated[float, Waterline] | None = stated(
        None, "height of a level split; of a mould parted at the maximum breadth about that height"
    )
    order: Names = stated(
        (), "parts or families in the order they are put in; of others it is worked out"
    )
    built_in_place: Names = stated(
        (), "parts or families that need no straight way: bent in, bonded up or built round others"
    )
