"""What the computed air does not see of this machine: an open cockpit, a wing that has stalled."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import inf

from geomgen.measurements.answers import said_no
from geomgen.measurements.outside_air.said import JUDGED, NAME
from geomgen.measurements.record import Measurement
from geomgen.measurements.subject import Answered

OPEN = (
    "the open cockpit is computed as if it were closed: what its edges and the air in it do is not "
    "seen"
)
# A wing without flaps hardly lifts more [1]: own choice.
MOST_LIFT = 1.6
# These are known within no band then; of the rest it is only said.
BANDED = ("inlet.", "exit.pressure")
SAID = ("pod.separation", "wing.neutral_point")


def with_unseen(by: Answered, rows: Iterable[Measurement]) -> Iterator[Measurement]:
    """Return what was measured of the air; what something unseen changes passes nothing plainly."""
    words = _by_state(by)
    judged = dict.fromkeys(text for state in JUDGED for text in words.get(state, ()))
    states = {f"air.{state}": told for state, told in words.items()}
    for row in rows:
        banded = row.id.startswith(BANDED)
        own = judged if banded or row.id in SAID else states.get(row.id, ())
        note = "; ".join((*([row.note] if row.note else []), *own))
        yield replace(row, note=note, error_bound=inf if own and banded else row.error_bound)


def _by_state(by: Answered) -> dict[str, list[str]]:
    """Return by state that flies what is not seen in it, in words."""
    answer = by.answers.get(NAME)
    if answer is None or said_no(answer):
        return {}
    closed = by.model.glazed_skin is None or "canopy" in by.model.families.values()
    return {
        state: [*([] if closed else [OPEN]), *_stalled(state, fine["lift"])]
        for state, (fine, _) in answer["states"].items()
        if fine["ram"]
    }


def _stalled(state: str, lift: float) -> Iterator[str]:
    if lift > MOST_LIFT:
        yield (
            f"in the {state} state the wing needs a lift coefficient of {lift:.1f}; beyond "
            f"{MOST_LIFT:g} (own choice) one without flaps has stalled, which is not seen: look at "
            "the speeds in [flight], at air.mass and at their units"
        )
