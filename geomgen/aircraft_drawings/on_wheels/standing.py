"""The sheet of the machine on its wheels: three views as it stands, and along the overturn axis."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from math import cos, radians, sin

from geomgen.aircraft_drawings.choices import Choices
from geomgen.aircraft_drawings.dimensioning import named
from geomgen.aircraft_drawings.on_wheels.attitudes import attitudes, listed
from geomgen.aircraft_drawings.on_wheels.other_views import (
    axis_view,
    front_view,
    overturn_axis,
    top_view,
)
from geomgen.aircraft_drawings.on_wheels.placing import DrawingBoard
from geomgen.aircraft_drawings.on_wheels.seen_from import StandingMachine
from geomgen.aircraft_drawings.on_wheels.side_view import SIGHT, SideView
from geomgen.aircraft_drawings.on_wheels.stance import LEVEL, LoadedCentre, Stance, stance_of
from geomgen.aircraft_drawings.views import LOOKS, NAMES, Views, arranged, have_room
from geomgen.drafting.dimension_lines import drawn_out
from geomgen.drafting.lettering import extent
from geomgen.drafting.paper.choice import at_largest_scale
from geomgen.drafting.paper.sheet import LETTERS, Sheet, room
from geomgen.drafting.record import Drawing, Path, joined
from geomgen.errors import GeometryError
from geomgen.verdicts.check import Check

NAME, STEP = "standing", "drawing on its wheels"
# Letters on paper [mm] of the views' names; room between views in heights of letters.
TITLES, BETWEEN = 3.5, 3.5
ALONG_AXIS = "ALONG THE OVERTURN AXIS"
NOTE = "dimensions measured on the solids; tyres as built, the ground as they give way"
TABLE = "the table of attitudes and the view along the overturn axis"
NO_SIGHT = "no sight over the nose: the file has no [pilot], or the pod does not bar it"
WORKED_OUT = "centres of gravity as worked out from the file's masses: no weighing"


def standing(
    views: Views,
    choices: Choices,
    checks: Sequence[Check],
    centres: Sequence[LoadedCentre],
    without: str = "",
) -> Sheet | None:
    """Return the sheet [mm] at the largest scale that fits; None where the machine does not stand.

    `centres` of all loadings, or `without` why there are none. What is not known, or has no room,
    is left out and said in the notes; so is a figure that is not that of its check. GeometryError
    when the sheet is too small at every scale.
    """
    stance = stance_of(views.measures)
    if stance is None:
        return None
    model = views.measures.model
    machine = StandingMachine(
        views.measures,
        stance,
        stance.looks(),
        tuple(attitudes(model, stance, checks)),
        tuple(centres),
        {check.id: check for check in checks},
    )
    bare = _bare(views, stance, machine)
    for with_table in (True, False):
        sheet = at_largest_scale(
            partial(_set_out, bare, machine, choices, without, with_table),
            choices.sheet,
            choices.projection,
        )
        if sheet is not None:
            return sheet
    raise GeometryError(
        f"the machine on its wheels has no room on {choices.sheet}",
        step=STEP,
        look_at=["drawings.sheet"],
    )


def _bare(views: Views, stance: Stance, machine: StandingMachine) -> dict[str, tuple[Path, ...]]:
    """Return the lines of the views; from beside those of the level machine, only turned."""
    looks = dict(machine.looks)
    if abs(stance.axes[1][1] - 1.0) > LEVEL:
        return views.lines(looks)
    bare = views.lines({**looks, "side": LOOKS["side"]})
    return {**bare, "side": _turned(bare["side"], stance.nose_up)}


def _turned(paths: Sequence[Path], way: float) -> tuple[Path, ...]:
    """Return lines turned so that what rises aft by an angle [deg] is level."""
    c, s = cos(radians(way)), sin(radians(way))
    return tuple(
        replace(path, points=tuple((c * x + s * y, c * y - s * x) for x, y in path.points))
        for path in paths
    )


def _set_out(
    bare: Mapping[str, tuple[Path, ...]],
    machine: StandingMachine,
    choices: Choices,
    without: str,
    with_table: bool,
    over: int,
    size: str,
) -> Iterator[Drawing]:
    """Return all views at one scale, where the sheet may have room for them."""
    wide, high = (over * side for side in room(size))
    if not have_room(bare, wide, high):
        return
    letters, gap = LETTERS * over, BETWEEN * LETTERS * over
    boards = {
        "side": SideView(machine, bare["side"], letters).drawn(),
        "front": front_view(machine, bare["front"], letters),
        "plan": top_view(machine, bare["plan"], letters),
    }
    views = {n: named(b.drawing, NAMES[n], TITLES * over) for n, b in boards.items()}
    placed = arranged(views, gap, choices.projection)
    every, missed = placed, [] if with_table else [TABLE]
    more: list[DrawingBoard] = []
    if with_table:
        (left, _), (right, _) = extent(drawn_out(views["side"]))
        beside, more = _beside(machine, over, right - left)
        every = [*placed, _in_corner(beside, placed, gap, choices.projection)]
    whole = joined(NAME, every)
    off = machine.disagreeing(whole)
    kept = tuple(one for one in whole.dimensions if one.name not in off)
    missed += [text for board in (*boards.values(), *more) for text in board.missed]
    yield replace(whole, dimensions=kept, notes=_notes(machine, without, missed, off))


def _beside(machine: StandingMachine, over: int, wide: float) -> tuple[Drawing, list[DrawingBoard]]:
    """Return the table of attitudes and the view along the overturn axis, beside or under it."""
    checks = list(machine.checks.values())
    rows = listed(machine.attitudes, checks, LETTERS * over)
    axis = overturn_axis(machine)
    if axis is None:
        return rows, []
    board = axis_view(axis, LETTERS * over)
    view = named(board.drawing, ALONG_AXIS, TITLES * over)
    (left, low), (right, high) = extent(rows)
    (x, _), (end, top) = extent(drawn_out(view))
    gap = BETWEEN * LETTERS * over
    if right - left + 2 * gap + end - x <= wide:
        placed = view.moved(right + 2 * gap - x, high - top)
    else:
        placed = view.moved(left - x, low - gap - top)
    return joined("beside", [rows, placed]), [board]


def _in_corner(beside: Drawing, placed: Sequence[Drawing], gap: float, projection: str) -> Drawing:
    """Return what stands beside the views in the corner that they leave free."""
    _, plan, side = (extent(drawn_out(view)) for view in placed)
    low, high = extent(drawn_out(beside))
    if projection == "first angle":
        x = min(side[0][0], plan[0][0] - gap - (high[0] - low[0])) - low[0]
        return beside.moved(x, side[0][1] - gap - high[1])
    x = max(side[0][0], plan[1][0] + gap) - low[0]
    return beside.moved(x, max(plan[1][1], side[1][1] + gap + high[1] - low[1]) - high[1])


def _notes(
    machine: StandingMachine, without: str, missed: Sequence[str], off: Sequence[str]
) -> tuple[str, ...]:
    notes = [
        NOTE,
        f"as it stands: {machine.stance.ground.note}" if machine.stance.ground.note else "",
    ]
    notes.append(WORKED_OUT if machine.centres else f"no centre of gravity: {without}")
    if not any(id_.startswith(SIGHT) for id_ in machine.checks):
        notes.append(NO_SIGHT)
    if missed:
        notes.append(f"no room in the drawing: {'; '.join(missed)}")
    if off:
        notes.append(f"left out, as the check says otherwise: {', '.join(off)}")
    return tuple(note for note in notes if note)
