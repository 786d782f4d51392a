"""Which parts' shapes changed, by solid: by how much, where, and how surely."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from functools import partial
from typing import TYPE_CHECKING, Literal

from geomgen.kernel.plain import Vec3
from geomgen.processes.worker_pool import answers

if TYPE_CHECKING:
    from geomgen.kernel.mesh import Mesh
    from geomgen.kernel.meshes.shape_change import Motion

Kind = Literal["same", "moved", "changed", "not told apart", "added", "removed"]
# Two volumes count as two where they differ by more than both error bounds and this share.
ROUNDING = 1e-9
SAME_FILE = "the same file"


@dataclass(frozen=True)
class State:
    """A part as it stands in one of the sets.

    `key` is the same for the same solid (the hash of its STEP file). `deviation` [mm] is the proven
    distance of mesh and solid, None where the mesh is no longer the one that was proved. `volume`
    [mm3] and `area` [mm2] come with their error bounds.
    """

    key: str
    mesh: Callable[[], "Mesh"]
    deviation: float | None
    volume: tuple[float, float] | None = None
    area: tuple[float, float] | None = None


@dataclass(frozen=True)
class PartChange:
    """What became of a part.

    `distance` [mm] is the largest found between former and new surface, from `at` to `foot`; the
    solids' own is within `error` [mm] of it, None where that is not known. `motion` says how a part
    moved whose shape stayed. `volume` [mm3] and `area` [mm2] are new less former.
    """

    part: str
    kind: Kind
    distance: float | None = None
    error: float | None = None
    at: Vec3 | None = None
    foot: Vec3 | None = None
    on_former: bool = True
    motion: "Motion | None" = None
    volume: float | None = None
    area: float | None = None
    method: str = ""
    samples: int = 0

    @property
    def differs(self) -> bool:
        """Say whether the part is not certainly the same, where it was, as it was."""
        return self.kind != "same"

    @property
    def reshaped(self) -> bool:
        """Say whether the shape itself may differ, wherever the part stands."""
        return self.kind not in ("same", "moved")

    def as_dict(self) -> dict[str, object]:
        """Return plain values for JSON."""
        return asdict(self)


def shape_changes(
    former: Mapping[str, State],
    new: Mapping[str, State],
    say: Callable[[str], None] = lambda _: None,
) -> tuple[PartChange, ...]:
    """Return what became of each part, in the order of the new set, removed ones last."""
    both = [part for part in new if part in former]
    differ = [part for part in both if former[part].key != new[part].key]
    measured = {}
    for part, change in answers(partial(_change, former, new), differ):
        say(f"shape of {part}")
        measured[part] = change
    found = []
    for part in in_order(former, new):
        if part in measured:
            found.append(measured[part])
        elif part in both:
            found.append(PartChange(part, "same", 0.0, 0.0, volume=0.0, area=0.0, method=SAME_FILE))
        else:
            found.append(PartChange(part, "removed" if part in former else "added"))
    return tuple(found)


def in_order(former: Iterable[str], new: Iterable[str]) -> list[str]:
    """Return all names, those of the new set first.

    >>> in_order(["pod", "fin"], ["wing", "pod"])
    ['wing', 'pod', 'fin']
    """
    first = list(new)
    return first + [name for name in former if name not in set(first)]


def _change(olds: Mapping[str, State], news: Mapping[str, State], part: str) -> PartChange:
    from geomgen.kernel.meshes.shape_change import shape_change

    former, new = olds[part], news[part]
    measured = shape_change(former.mesh(), new.mesh())
    apart = measured.apart
    error = None
    if former.deviation is not None and new.deviation is not None:
        error = former.deviation + new.deviation + (apart.at_most - apart.distance)
    volume, sure = _difference(former.volume, new.volume)
    area, sure_too = _difference(former.area, new.area)
    kind: Kind = "changed"
    if measured.motion is not None and apart.distance > 0:
        kind = "moved"
    elif error is not None and apart.distance <= error and not (sure or sure_too):
        kind = "not told apart"
    return PartChange(
        part,
        kind,
        apart.distance,
        error,
        apart.at,
        apart.foot,
        apart.from_former,
        measured.motion if kind == "moved" else None,
        volume,
        area,
        "verified meshes, both ways; both deviations and what the search left open as error",
        apart.samples,
    )


def _difference(
    former: tuple[float, float] | None, new: tuple[float, float] | None
) -> tuple[float | None, bool]:
    """Return new less former, and whether that is more than both error bounds."""
    if former is None or new is None:
        return None, False
    by = new[0] - former[0]
    give = former[1] + new[1] + ROUNDING * max(abs(former[0]), abs(new[0]))
    return by, abs(by) > give
