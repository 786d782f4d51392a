"""The standing machine from ahead, from above, and along the axis over which it falls first."""

from math import atan2, degrees

import numpy as np

from geomgen.aircraft_drawings.on_wheels.attitudes import Attitude, front_line
from geomgen.aircraft_drawings.on_wheels.placing import (
    AngleLeg,
    DrawingBoard,
    angle_tries,
    length_tries,
    names_along,
)
from geomgen.aircraft_drawings.on_wheels.seen_from import StandingMachine, cross
from geomgen.aircraft_drawings.on_wheels.stance import OverturnAxis
from geomgen.drafting.record import CENTRE, REF, VISIBLE, Drawing, Path, Point, line
from geomgen.kernel.plain import Vec3, vec

OVERTURN = "gear.overturn_angle"
# How far lines run on, how deep the arm stands, over the height of the letters; what counts as the
# tip of a wing [mm].
OVER, DEEP, TIP = 1.6, 2.4, 1.0


def front_view(machine: StandingMachine, paths: tuple[Path, ...], letters: float) -> DrawingBoard:
    """Return the view from the nose: grounds that roll, track, the height of the wing's tip [mm].

    `letters` is the height of its letters [mm].
    """
    look, (low, high) = machine.looks["front"], Drawing("", paths).box()
    over = OVER * letters
    lines: dict[Attitude, tuple[Point, Point]] = {}
    for one in machine.attitudes:
        if not one.same and (one.rolled or one.ground == machine.stance.ground):
            ground = front_line(machine.stance, one)
            left, right = (ground.run_to(across) for across in (low[0] - over, high[0] + over))
            lines[one] = (ground.at(left), ground.at(right))
    own = [line(*ends, REF, f"ground {one.letter}") for one, ends in lines.items()]
    board = DrawingBoard(Drawing("front", (*paths, *own)), letters)
    a, b = (look.flat(point) for point in _outer(machine))
    board.dimension(length_tries(a, b, 0.0, letters, "TRACK ", "track", (-1,)))
    tip = _wing_tip(machine)
    if tip is not None:
        top = look.flat(tip)
        foot = (top[0], float(np.array(machine.stance.ground.plane.origin) @ np.array(look.up)))
        board.dimension(
            length_tries(foot, top, 90.0, letters, "WING TIP ", "wing tip height", (-1, 1))
        )
    for one, ends in lines.items():
        tries = (f"{one.letter} {one.name}", one.letter)
        if not any(board.label(names_along(ends, text, letters)) for text in tries):
            board.missed.append(f"the name of ground {one.letter}")
    return board


def _outer(machine: StandingMachine) -> tuple[Vec3, Vec3]:
    """Return the contacts of the outer mains [mm], the right one first."""
    aside = [machine.stance.along(contact)[1] for contact in machine.stance.mains]
    mains = machine.stance.mains
    return vec(mains[int(np.argmax(aside))]), vec(mains[int(np.argmin(aside))])


def _wing_tip(machine: StandingMachine) -> Vec3 | None:
    """Return the lowest corner of the wing's tip on the right [mm]; None without a wing."""
    measures, axes = machine.measures, machine.stance.axes
    found = [measures.scene.mesh(part).vertices for part in measures.family("wing")]
    if not found:
        return None
    corners = np.concatenate(found)
    tips = corners[corners[:, 1] >= corners[:, 1].max() - TIP]
    return vec(tips[int(np.argmin(tips @ axes[2]))])


def top_view(machine: StandingMachine, paths: tuple[Path, ...], letters: float) -> DrawingBoard:
    """Return the view from above: contacts, track, the overturn axis, how far off is the centre.

    `letters` is the height of its letters [mm].
    """
    look, stance = machine.looks["plan"], machine.stance
    feet = [look.flat(vec(foot)) for foot in (*stance.mains, *stance.others)]
    own = [mark for foot in feet for mark in cross(foot, letters, "contact")]
    axis = overturn_axis(machine)
    if axis is not None:
        main, third, centre = (look.flat(p) for p in (axis.main, axis.third, axis.centre.at))
        own += cross(centre, letters, "centre of gravity")
        way = degrees(atan2(main[1] - third[1], main[0] - third[0]))
        ends = _run_on(third, main, 2 * OVER * letters)
        own.append(line(*ends, CENTRE, "overturn axis"))
    board = DrawingBoard(Drawing("plan", (*paths, *own)), letters)
    if axis is not None:
        turn = np.radians(way)
        along = np.array([np.cos(turn), np.sin(turn)])
        x, y = (np.array(third) + ((np.array(centre) - third) @ along) * along).tolist()
        board.dimension(length_tries((x, y), centre, way + 90.0, letters, "", "overturn arm"))
        board.label(names_along(ends, "OVERTURN AXIS", letters))
    a, b = (look.flat(point) for point in _outer(machine))
    board.dimension(length_tries(a, b, 0.0, letters, "TRACK ", "track", (1, -1)))
    return board


def _run_on(a: Point, b: Point, by: float) -> tuple[Point, Point]:
    way = np.array(b) - a
    way = by * way / np.linalg.norm(way)
    (x0, y0), (x1, y1) = (np.array(a) - way).tolist(), (np.array(b) + way).tolist()
    return (x0, y0), (x1, y1)


def overturn_axis(machine: StandingMachine) -> OverturnAxis | None:
    """Return the axis over which it falls first; None where no centre is known."""
    if not machine.centres or not machine.known(OVERTURN):
        return None
    return machine.stance.overturn(machine.centres)


def axis_view(axis: OverturnAxis, letters: float) -> DrawingBoard:
    """Return the view along the overturn axis, in which its angle is true.

    Ground, axis end on and centre alone; the view's origin is on the axis, `letters` [mm] high.
    """
    centre = (axis.inward, axis.up)
    over = OVER * letters
    low, high = min(0.0, axis.inward), max(0.0, axis.inward)
    lines = (
        line((low - 3 * over, 0.0), (high + 3 * over, 0.0), REF, "ground"),
        line((0.0, 0.0), centre, VISIBLE, "to the centre of gravity"),
        *cross((0.0, 0.0), letters, "overturn axis"),
        *cross(centre, letters, "centre of gravity"),
    )
    board = DrawingBoard(Drawing("axis", lines), letters)
    way = degrees(atan2(axis.up, axis.inward))
    legs = AngleLeg(0.0, high + 3 * over), AngleLeg(way, float(np.hypot(axis.up, axis.inward)))
    foot = (axis.inward, 0.0)
    board.dimension(length_tries((0.0, 0.0), foot, 0.0, letters, "", "overturn arm", (-1,), DEEP))
    board.dimension(length_tries(foot, centre, 90.0, letters, "", "height of centre", (-1, 1)))
    board.dimension(angle_tries((0.0, 0.0), legs, letters, "OVERTURN ", OVERTURN))
    return board
