"""All that stands on a sheet, in millimetres of paper: frame, title block and drawing, pen by pen.

Every file format that shows a sheet draws these same lines and texts.
"""

from dataclasses import dataclass, replace

from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.frame import PenGroup, frame
from geomgen.drafting.paper.pens import ORDER, PENS
from geomgen.drafting.paper.sheet import BORDER, CLEAR, Sheet
from geomgen.drafting.paper.title import Title
from geomgen.drafting.record import Label, Path, Point
from geomgen.errors import FileWriteError

# What a drawing may be larger than its room [mm of paper]: rounding.
SLACK = 0.05


@dataclass(frozen=True)
class Spot:
    """Where a drawing stands on its sheet: its point `low` at `corner` [mm of paper], 1:`over`."""

    low: Point
    corner: Point
    over: int

    def place(self, point: Point) -> Point:
        """Return where a point of the drawing stands on the paper [mm]."""
        return (
            self.corner[0] + (point[0] - self.low[0]) / self.over,
            self.corner[1] + (point[1] - self.low[1]) / self.over,
        )


def spot(sheet: Sheet) -> Spot:
    """Return where a drawing stands: in the middle of its room, all its texts counted.

    FileWriteError when its sheet has no room for it at its scale.

    >>> from geomgen.drafting.record import Drawing, rectangle
    >>> pod = Drawing("pod", (rectangle((0.0, 0.0), (2000.0, 1000.0)),))
    >>> spot(Sheet(pod, "A3", 10)).place((1000.0, 500.0))
    (210.0, 168.5)
    """
    low, high = extent(drawn_out(sheet.drawing))
    wide, tall = (high[0] - low[0]) / sheet.over, (high[1] - low[1]) / sheet.over
    most = sheet.room
    if wide > most[0] + SLACK or tall > most[1] + SLACK:
        raise FileWriteError(
            f"at 1:{sheet.over} it is {wide:.1f} x {tall:.1f} mm with its texts, and "
            f"{sheet.size} has room for {most[0]:.0f} x {most[1]:.0f}",
            path=sheet.drawing.name,
            advice="choose a larger sheet or a smaller scale",
        )
    inside = BORDER + CLEAR
    corner = (inside + (most[0] - wide) / 2, inside + sheet.strip + (most[1] - tall) / 2)
    return Spot(low, corner, sheet.over)


def on_paper(sheet: Sheet, title: Title) -> tuple[PenGroup, ...]:
    """Return all groups of lines and texts of a sheet, in the order in which they are drawn."""
    return (*frame(sheet, title), *body(sheet))


def body(sheet: Sheet) -> tuple[PenGroup, ...]:
    """Return the drawing itself on the paper, one group a layer."""
    there, whole = spot(sheet), drawn_out(sheet.drawing)
    paths: dict[str, list[Path]] = {layer: [] for layer in ORDER}
    labels: dict[str, list[Label]] = {layer: [] for layer in ORDER}
    for path in whole.paths:
        if len(path.points) > 1:
            points = tuple(there.place(point) for point in path.points)
            paths[path.layer].append(replace(path, points=points))
    for label in whole.labels:
        height = label.height / there.over
        labels[label.layer].append(replace(label, at=there.place(label.at), height=height))
    return tuple(
        PenGroup(layer, *PENS[layer], tuple(paths[layer]), tuple(labels[layer]))
        for layer in ORDER
        if paths[layer] or labels[layer]
    )
