"""The straight parts of a cap or web that bends where a wing has a break of dihedral or sweep."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees

from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.plain import Vec3
from geomgen.kernel.plane_frame import at_buttock_line, at_waterline
from geomgen.kernel.sections.section import regions
from geomgen.kernel.solids.breadth import StraightPart, straight_parts

# A strip that bends by less goes round the bend by itself [deg]: own choice.
LEAST_BEND = 0.2
# The words for a bend up and down, and aft and forward, along the span; of a fin across it.
WORDS = {1: (("up", "down"), ("aft", "forward")), 2: (("to the right", "to the left"),
         ("aft", "forward"))}  # fmt: skip


@dataclass(frozen=True)
class BentPart:
    """A straight part: its end, length [mm] and mean section [mm2], the bend behind it [deg].

    `across` is how far it bends up (of a fin to the right), `aft` how far aft; both 0 at the last.
    """

    end: Vec3
    length: float
    area: float
    axis: int
    across: float = 0.0
    aft: float = 0.0

    @property
    def aslant(self) -> bool:
        """Say whether it bends up or down, of a fin to a side."""
        return abs(self.across) >= LEAST_BEND

    def words(self, line: str, number: int) -> str:
        """Return the bend behind it in words, `line` being what its place is called."""
        said = [
            f"{abs(angle):.2f} deg {plus if angle > 0.0 else minus}"
            for angle, (plus, minus) in zip((self.across, self.aft), WORDS[self.axis], strict=True)
            if abs(angle) >= LEAST_BEND
        ]
        at = f"{line} {self.end[self.axis]:.1f}"
        return f"at {at} bent {' and '.join(said)} to part {number + 1}" if said else ""


def bent_parts(solid: TopoDS_Shape, axis: int) -> list[BentPart]:
    """Return the straight parts of a strip along axis 1 or 2, as measured on its edges [mm].

    In the order of that axis. Parts between which it bends by less than `LEAST_BEND` are one; none
    where its edges are no rows from end to end.
    """
    groups: list[list[StraightPart]] = []
    for part in straight_parts(solid, axis):
        bend = _bend(groups[-1][-1], part, axis) if groups else None
        if bend is not None and max(map(abs, bend)) < LEAST_BEND:
            groups[-1].append(part)
        else:
            groups.append([part])
    return [_told(solid, group, groups[i + 1 : i + 2], axis) for i, group in enumerate(groups)]


def _told(
    solid: TopoDS_Shape, group: Sequence[StraightPart], after: Sequence[Sequence[StraightPart]],
    axis: int,
) -> BentPart:  # fmt: skip
    long, middle = sum(part.length for part in group), (group[0].start[axis] + group[-1].end[axis])
    frame = (at_buttock_line if axis == 1 else at_waterline)(middle / 2)
    # A section across the span is longer than one across the strip.
    lean = abs(group[len(group) // 2].way[axis])
    area = lean * sum(piece.area for piece in regions(frame, solid, "strip"))
    bend = _bend(group[-1], after[0][0], axis) if after else (0.0, 0.0)
    return BentPart(group[-1].end, long, area, axis, *bend)


def _bend(one: StraightPart, other: StraightPart, axis: int) -> tuple[float, float]:
    """Return how far the second part is bent from the first one, across and aft [deg]."""
    a, b = (
        [degrees(atan2(part.way[i], part.way[axis])) for i in (3 - axis, 0)]
        for part in (one, other)
    )
    return b[0] - a[0], b[1] - a[1]
