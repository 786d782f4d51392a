"""What is moulded, as one full body: outside size, smaller by the skin, or with stock left on.

Only the outer surface moves. Flat ends (the open aft end of the hull, a joint, the end of a wing
panel inboard of its tip) are trim planes and stay where they are.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bodies import LoftedSkin, body, outer_skin
from geomgen.kernel.lofting.lines import Lines
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.lofting.panels import ruled_solid
from geomgen.kernel.plain import Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.aerofoil import HALF, angles
from geomgen.shapes.hull import fairing_lines, pod_lines
from geomgen.shapes.lifting import AerofoilSection, wing_sections
from geomgen.shapes.scoop import course, scoop_names
from geomgen.shops.figures import plain
from geomgen.shops.laminate import thickness
from geomgen.shops.moulds.scoop import scoop_body
from geomgen.shops.moulds.tip import Tip, tip_of
from geomgen.shops.moulds.trim import beyond, inboard_of

# How finely a skin that would do is looked for [mm]: own choice.
SKIN_STEP = 0.05
ON_LINES = ("pod", "exit", "tail_fairing")
RIGHT: Vec3 = (0.0, 1.0, 0.0)
LEFT: Vec3 = (0.0, -1.0, 0.0)
UP: Vec3 = (0.0, 0.0, 1.0)
DOWN: Vec3 = (0.0, 0.0, -1.0)


@dataclass(frozen=True)
class Course:
    """A body on lines: the lines and the two stations [mm] it runs between; None: a round end."""

    lines: Lines
    start: float | None
    end: float | None


def key_of(p: Parameters, mould: Mould, field: str = "") -> str:
    """Return the dotted key of a mould, or of one of its fields."""
    every = p.handoff.moulds if p.handoff else ()
    at = next((f".{n}" for n, one in enumerate(every) if one is mould or one == mould), "")
    return f"handoff.moulds{at}" + (f".{field}" if field else "")


def skin_deducted(p: Parameters, mould: Mould) -> float:
    """Return the thickness [mm] that the treatment takes off the outside.

    Raises GeometryError when it takes off the laminate and the file describes none.
    """
    if mould.treatment == "plug_outside":
        return 0.0
    laminate = p.handoff.laminate if p.handoff else None
    if laminate is None:
        raise GeometryError(
            f"{mould.treatment} takes the skin's thickness off, and no laminate is described",
            part=mould.part,
            step="mould body",
            look_at=["handoff.laminate", key_of(p, mould, "treatment")],
        )
    return thickness(laminate)


def mould_body(p: Parameters, mould: Mould) -> TopoDS_Solid:
    """Return the whole body [mm] of a moulded part, in place, no stock on it.

    A mirrored part (scoop, wing tip) is returned as it stands on the right. Raises GeometryError
    for a part that the aircraft does not have, a forgotten laminate, or a body that bends more
    tightly than its skin.
    """
    return body_grown(p, mould, -skin_deducted(p, mould))


def body_grown(p: Parameters, mould: Mould, gap: float) -> TopoDS_Solid:
    """Return the whole body with its outer surface moved outward by `gap` [mm]; see mould_body."""
    if mould.part in ON_LINES:
        return body(skin_grown(p, mould, gap), mould.part)
    try:
        if mould.part == "wing_tip":
            return ruled_solid(tip_rows(p, mould, gap), angles(), "wing_tip")
        return scoop_body(p, scoop_index(p, mould), gap)
    except GeometryError as error:
        raise _named(p, mould, error) from error


def _named(p: Parameters, mould: Mould, error: GeometryError) -> GeometryError:
    own = key_of(p, mould)
    keys = error.look_at if any(own in key for key in error.look_at) else [own, *error.look_at]
    return GeometryError(error.problem, part=mould.part, step=error.step, look_at=keys)


def course_of(p: Parameters, mould: Mould) -> Course:
    """Return the lines of a body on lines and where it ends; GeometryError when there is none."""
    if mould.part == "tail_fairing":
        lines = fairing_lines(p)
        if lines is None or p.exit is None or p.exit.tail_fairing is None:
            raise _missing(p, mould, "exit.tail_fairing")
        rows = p.exit.tail_fairing.stations
        return Course(lines, rows[0].station, rows[-1].station)
    pod = pod_lines(p)
    start = None if pod.lines.nose == "round" else pod.start
    if mould.part == "pod":
        end = p.exit.rim_station if p.exit else pod.end
        return Course(pod.lines, start, None if not p.exit and _closed(pod.lines) else end)
    if p.exit is None:
        raise _missing(p, mould, "exit")
    return Course(
        pod.lines, p.exit.rim_station + p.exit.gap, None if _closed(pod.lines) else pod.end
    )


def _closed(lines: Lines) -> bool:
    return lines.tail == "round"


def course_cut(p: Parameters, mould: Mould) -> Course:
    """Return the course of a body on lines as its mould has it: beyond what is to be trimmed."""
    c = course_of(p, mould)
    start, end = beyond(p, mould, c.start, c.end)
    return Course(c.lines, start, end)


def skin_grown(p: Parameters, mould: Mould, gap: float, breaks: Sequence[float] = ()) -> LoftedSkin:
    """Return the skin of a body on lines, moved outward by `gap` [mm], its flat ends in place.

    It is made in bands at the stations `breaks` [mm].
    """
    c = course_cut(p, mould)
    if gap == 0.0:
        return outer_skin(c.lines, c.start, c.end, breaks)
    try:
        return offset_skin(c.lines, -gap, c.start, c.end, mould.part, breaks=breaks)
    except GeometryError as error:
        raise _named(p, mould, error) from error


def tip_rows(p: Parameters, mould: Mould, gap: float) -> list[Floats]:
    """Return the outlines (k, 3) [mm] of the right wing tip, from its inboard end out.

    The tip's end face is skin and moves with `gap`, the inboard end is a joint and stays.
    """
    return tip_ended(p, mould, gap).rows


def tip_ended(p: Parameters, mould: Mould, gap: float) -> Tip:
    """Return the right wing tip, grown by `gap` [mm], and where it ends early.

    GeometryError where it begins off the wing, or its skin leaves no core at all.
    """
    sections = wing_sections(p, p.wing)
    last = sections[-1].nose[1]
    start = mould.from_buttock_line
    if start is None or not sections[0].nose[1] < start < last - 1.0:
        raise GeometryError(
            f"a wing tip begins at a buttock line between the centre plane and {plain(last)} mm",
            part="wing_tip",
            step="mould body",
            look_at=[key_of(p, mould, "from_buttock_line"), "wing.sections"],
        )
    start = inboard_of(start, mould.trim_allowance, sections[0].nose[1])
    skin = skin_deducted(p, mould)
    tip = tip_of(sections, start, skin, gap)
    if tip is None:
        raise _too_thick(p, mould, sections, start, skin)
    return tip


def _too_thick(
    p: Parameters, mould: Mould, sections: Sequence[AerofoilSection], start: float, skin: float
) -> GeometryError:
    """Return the refusal of a skin [mm] that leaves no core in the tip, with what would do."""
    thinner = (k * SKIN_STEP for k in range(int(skin / SKIN_STEP), 0, -1))
    most = next((t for t in thinner if tip_of(sections, start, t, -t)), None)
    would = f"; a laminate of {most:.2f} mm would do" if most else ""
    return GeometryError(
        f"a skin of {skin:.2f} mm on both sides leaves no core where the tip begins, BL "
        f"{plain(start)} mm" + would,
        part="wing_tip",
        step="mould body",
        look_at=["handoff.laminate", "wing.sections", key_of(p, mould)],
    )


def scoop_index(p: Parameters, mould: Mould) -> int:
    """Return the place of the moulded scoop among the scoops; GeometryError when there is none."""
    for index, scoop in enumerate(p.scoops):
        if mould.part == f"scoop_{scoop.name}":
            return index
    raise _missing(p, mould, "scoops")


def _missing(p: Parameters, mould: Mould, where: str) -> GeometryError:
    return GeometryError(
        "it is to be moulded, and the aircraft has no such part",
        part=mould.part,
        step="mould body",
        look_at=[key_of(p, mould, "part"), where],
    )


def pull_directions(p: Parameters, mould: Mould) -> list[tuple[str, Vec3]]:
    """Return name and pull direction (unit vector [1], away from the split) of each half.

    Right and left for a split at the centre plane, upper and lower at the maximum breadth. Halves
    of a scoop parted in its own middle plane are named by the side on which they lie, outboard and
    inboard where it stands on both sides of the aircraft.
    """
    if mould.part == "wing_tip":
        up = _chord_normal(p, mould)
        return [("upper", up), ("lower", _back(up))]
    if mould.split == "maximum breadth":
        return [("upper", UP), ("lower", DOWN)]
    if mould.part in ON_LINES:
        return [("right", RIGHT), ("left", LEFT)]
    index = scoop_index(p, mould)
    across = course(p, pod_lines(p), index).frame.across
    upright = abs(across[1]) >= cos(radians(45.0))
    way = (0.0, *across) if across[1 if upright else 0] > 0 else (0.0, -across[0], -across[1])
    names = ("right", "left") if len(scoop_names(p, index)) == 1 else ("outboard", "inboard")
    names = ("upper", "lower") if upright else names
    return [(names[0], way), (names[1], _back(way))]


def _back(v: Vec3) -> Vec3:
    return (-v[0], -v[1], -v[2])


def _chord_normal(p: Parameters, mould: Mould) -> Vec3:
    """Return the normal, upwards, of the plane nearest to the tip's chords."""
    if mould.split != "maximum breadth":
        raise GeometryError(
            "a wing tip has no centre plane of its own",
            part="wing_tip",
            step="split",
            look_at=[key_of(p, mould, "split"), 'write "maximum breadth"'],
        )
    rows = tip_rows(p, mould, 0.0)
    inner, outer = (np.stack([row[HALF], (row[0] + row[-1]) / 2]) for row in (rows[0], rows[-1]))
    chord = (inner[1] - inner[0]) + (outer[1] - outer[0])
    span = (outer[0] - inner[0]) + (outer[1] - inner[1])
    normal = np.cross(chord, span)
    x, y, z = normal / np.linalg.norm(normal) * np.sign(normal[2])
    return (float(x), float(y), float(z))
