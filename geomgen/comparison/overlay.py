"""Former and new outlines over each other: three views, and sections where parts changed most.

The view from the nose is the principal one (ISO 5456-2); in first angle the view from above stands
under it and the view from the left to its left, in third angle over it and to its right.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from geomgen.arrays import Floats
from geomgen.comparison.details import Detail, Settings, details
from geomgen.comparison.shape_changes import PartChange
from geomgen.drafting.lettering import extent, width_of
from geomgen.drafting.paper.sheet import LETTERS, SCALES, Sheet, room
from geomgen.drafting.record import FORMER, NEW, REF, TEXT, Drawing, Label, Path, joined, line
from geomgen.errors import GeometryError
from geomgen.kernel.mesh import Mesh
from geomgen.kernel.visibility.silhouette import DrawnBody, View, flat

VIEWS: tuple[View, ...] = ("front", "plan", "side")
NAMES: dict[View, str] = {
    "side": "VIEW FROM THE LEFT",
    "plan": "VIEW FROM ABOVE",
    "front": "VIEW FROM THE NOSE",
}
NAME = "overlay"
NOTES = (
    "dashed: former outlines; continuous: new ones; thin short dashes: parts that did not change",
    "sections at the largest distance of each part",
)
# Room between views, for their names and for the letters of places [mm of paper].
BETWEEN, OVER_VIEW = 8.0, 14.0
# Outlines are thinned to this [mm]: a hundredth of a millimetre on paper at 1:20.
THINNED = 0.2


def overlay(
    former: Mapping[str, Mesh],
    new: Mapping[str, Mesh],
    changes: Sequence[PartChange],
    projection: str = "first angle",
    size: str = "A3",
    name: str = NAME,
) -> Sheet:
    """Return the sheet with former and new outlines of what changed, faint ones of the rest.

    The largest scale of ISO 5455 that leaves room for the views is taken; sections at the places of
    the largest distances stand where the views leave room. GeometryError when there is no part.
    """
    if not changes:
        raise GeometryError("there is no part to draw", step="overlay")
    old, now = ({n: DrawnBody(m, n) for n, m in meshes.items()} for meshes in (former, new))
    lines = {view: _lines(view, old, now, changes) for view in VIEWS}
    boxes = {view: extent(drawing) for view, drawing in lines.items()}
    over = _scale(boxes, size)
    layout = _layout(boxes, over, size, projection)
    shown = details(former, new, changes, Settings(over, *layout.zone))
    drawings = [
        _view(
            view, lines[view], boxes[view], layout.at[view], over, shown if view == "side" else ()
        )
        for view in VIEWS
    ]
    drawings += [detail.drawing for detail in shown]
    whole = joined(name, drawings, NOTES)
    return Sheet(whole, size, over, projection)


def _lines(
    view: View,
    former: Mapping[str, DrawnBody],
    new: Mapping[str, DrawnBody],
    changes: Sequence[PartChange],
) -> Drawing:
    """Return the outlines of all parts in one view [mm]; what changed comes last, on top."""
    faint: list[Path] = []
    strong: list[Path] = []
    for change in changes:
        part = change.part
        if not change.differs:
            faint += _paths(new[part], view, REF, part)
            continue
        if part in former:
            strong += _paths(former[part], view, FORMER, part)
        if part in new:
            strong += _paths(new[part], view, NEW, part)
    return Drawing(view, (*faint, *strong))


def _paths(body: DrawnBody, view: View, layer: str, part: str) -> list[Path]:
    shadow = body.silhouette(view, THINNED)
    return [path_of(outline, layer, part) for outline in shadow.outlines if len(outline) > 2]


def path_of(outline: Floats, layer: str, name: str) -> Path:
    """Return a closed path through points (n, 2) [mm]."""
    return Path(tuple((float(x), float(y)) for x, y in outline), (), True, layer, name)


Corners = tuple[tuple[float, float], tuple[float, float]]


def _scale(boxes: Mapping[View, Corners], size: str) -> int:
    """Return the largest scale, as 1:`n`, at which the three views fit the sheet."""
    wide = _wide(boxes["side"]) + max(_wide(boxes["front"]), _wide(boxes["plan"]))
    tall = max(_tall(boxes["front"]), _tall(boxes["side"])) + _tall(boxes["plan"])
    width, height = room(size)
    for over in SCALES:
        across = wide / over + BETWEEN
        up = tall / over + 2 * BETWEEN + OVER_VIEW
        if across <= width and up <= height:
            return over
    return SCALES[-1]


def _wide(box: Corners) -> float:
    return box[1][0] - box[0][0]


def _tall(box: Corners) -> float:
    return box[1][1] - box[0][1]


@dataclass(frozen=True)
class _Layout:
    """How far each view is moved [mm], and the zone left for sections: low and high corner [mm]."""

    at: Mapping[View, tuple[float, float]]
    zone: Corners


def _layout(boxes: Mapping[View, Corners], over: int, size: str, projection: str) -> _Layout:
    front, plan, side = (boxes[view] for view in ("front", "plan", "side"))
    gap, above = BETWEEN * over, OVER_VIEW * over
    width, height = room(size)
    # Buttock lines of front and plan, waterlines of front and side stay aligned.
    right = max(front[1][0], plan[1][0])
    left = min(front[0][0], plan[0][0])
    first = projection == "first angle"
    top, foot = max(front[1][1], side[1][1]), min(front[0][1], side[0][1])
    down = foot - gap - plan[1][1] if first else top + above + gap - plan[0][1]
    across = left - gap - side[1][0] if first else right + gap - side[0][0]
    at = {"front": (0.0, 0.0), "plan": (0.0, down), "side": (across, 0.0)}
    spare_x = width * over - (_wide(side) + gap + right - left)
    lows = (plan[0][1] + down - gap) if first else (foot - gap)
    highs = (top + above) if first else (plan[1][1] + down)
    spare_y = height * over - (highs - lows)
    if first:
        low = (side[0][0] + across - max(spare_x, 0.0), lows - max(spare_y, 0.0))
        high = (left - gap, foot - gap)
    else:
        low = (right + gap, top + above + gap)
        high = (side[1][0] + across + max(spare_x, 0.0), highs + max(spare_y, 0.0))
    return _Layout({view: at[view] for view in VIEWS}, (low, high))


def _view(
    view: View,
    lines: Drawing,
    box: Corners,
    at: tuple[float, float],
    over: int,
    shown: Sequence[Detail],
) -> Drawing:
    """Return a view with its name under it and, over it, letters at the places of sections."""
    middle = (box[0][0] + box[1][0]) / 2
    foot = box[0][1] - 5.0 * over
    labels = [Label((middle, foot), NAMES[view], LETTERS * over, anchor="middle")]
    paths: list[Path] = []
    for detail, x in zip(shown, _spread(shown, over), strict=True):
        ((px, py),) = flat(detail.place[None], view).tolist()
        high = box[1][1] + 8.0 * over
        labels.append(Label((x, high), detail.letter, LETTERS * over, anchor="middle"))
        paths.append(line((x, high - 1.2 * over), (px, py), TEXT, f"place {detail.letter}"))
    whole = replace(lines, paths=(*lines.paths, *paths), labels=tuple(labels))
    return whole.moved(*at)


def _spread(shown: Sequence[Detail], over: int) -> list[float]:
    """Return where the letters stand along the side view: over their places, kept apart."""
    room_each = 2.0 * width_of("M", LETTERS) * over
    wanted = sorted(range(len(shown)), key=lambda i: float(shown[i].place[0]))
    found = [0.0] * len(shown)
    last = -float("inf")
    for i in wanted:
        last = max(float(shown[i].place[0]), last + room_each)
        found[i] = last
    return found
