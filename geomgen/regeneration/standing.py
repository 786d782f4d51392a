"""What of a state is known before anything is made: figures of parts that a change leaves alone.

Parts that are still to be made stand in boxes without end: whatever they may come near waits.
"""

from collections.abc import Mapping
from typing import Any

from geomgen.measurements.record import Measurement
from geomgen.parameters import Parameters
from geomgen.regeneration.asking import Asking
from geomgen.regeneration.cache import BuildCache
from geomgen.regeneration.making import MadeModel, Making
from geomgen.regeneration.store import Store
from geomgen.regeneration.worker_jobs import Rows

# Half the edge of a box [mm] that no machine reaches out of.
ENDLESS = 1e7


class _Known(Making):
    """A regeneration that makes nothing: what is not kept stays unknown."""

    def pool(self) -> Any:
        """Return what takes jobs and does none."""
        return _Idle()


class _Idle:
    def add(self, *_: Any) -> None:
        """Leave a job undone."""


def standing(p: Parameters, store: Store | None, former: Mapping[str, Rows]) -> list[Measurement]:
    """Return the exact measurements that nothing still to be made can move.

    `former` are the rows of the state before, by step; a part that is not made yet bears the name
    it had there. Nothing is known where a step that is new makes parts, and without places.
    """
    making = _Known(p, BuildCache(store), lambda _: None, 1)
    making.start()
    wanted = [step.name for step in making.worker.steps.values() if step.last]
    missing = [name for name in wanted if name not in making.rows]
    if not making.places or not all(name in former for name in missing):
        return []
    making.rows |= {name: [_endless(row) for row in former[name]] for name in missing}
    parts = making.parts()
    lacking = {row["name"] for name in missing for row in former[name]}
    lacking |= {row["name"] for row in parts if row["name"] not in making.meshes}
    asking = Asking(
        making, MadeModel(parts, making.meshes, making.places, []), (), lacking, kept_only=True
    )
    asking.look()
    return asking.so_far()


def _endless(row: Mapping[str, Any]) -> dict[str, Any]:
    return {**row, "solid": "", "half": None, "box": [[-ENDLESS] * 3, [ENDLESS] * 3]}
