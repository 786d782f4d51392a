"""An opening that no canopy closes: the air is worked out as if one did, and that is said."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import inf

from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered

OPEN = (
    "the open cockpit is computed as if it were closed: what its edges and the air in it do is not "
    "seen"
)
# What may stand in the cockpit's air is known within no band; of the rest it is only said.
BEHIND = ("inlet.", "exit.pressure")
SAID = ("air.climb", "air.level", "air.glide", "pod.separation", "wing.neutral_point")


def as_closed(by: Answered, rows: Iterable[Measurement]) -> Iterator[Measurement]:
    """Return what was measured of the air, with what an open cockpit takes from it."""
    closed = by.model.glazed_skin is None or "canopy" in by.model.families.values()
    for row in rows:
        behind = row.id.startswith(BEHIND)
        if closed or not (behind or row.id.startswith(SAID)):
            yield row
        else:
            note = "; ".join(text for text in (row.note, OPEN) if text)
            yield replace(row, note=note, error_bound=inf if behind else row.error_bound)
