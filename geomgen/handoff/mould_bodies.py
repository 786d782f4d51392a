"""What is moulded, as one full body: outside size, smaller by the skin, or with stock left on.

Only the outer surface moves. Flat ends (the open aft end of the hull, a joint, the end of a wing
panel inboard of its tip) are trim planes and stay where they are.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, radians

import numpy as np
from OCP.TopoDS import TopoDS_Solid
from scipy.interpolate import make_interp_spline

from geomgen.errors import GeometryError
from geomgen.handoff.figures import plain
from geomgen.handoff.laminate import thickness
from geomgen.handoff.mould_scoop import scoop_body
from geomgen.kernel.bodies import Skin, body, outer_skin
from geomgen.kernel.lines import Floats, Lines
from geomgen.kernel.offsets import offset_skin
from geomgen.kernel.panels import ruled_solid
from geomgen.kernel.plain import Vec3
from geomgen.parameters.records import Parameters
from geomgen.parameters.shops import Mould
from geomgen.shapes.aerofoil import FOLLOW, HALF, angles
from geomgen.shapes.hull import fairing_lines, pod_lines
from geomgen.shapes.lifting import Section, wing_sections
from geomgen.shapes.scoop import course, scoop_names

# A tip's two sides stand at least so far apart [mm]; how finely a skin and an edge that would do
# are looked for [mm]: own choice.
LEAST_OPEN, SKIN_STEP, EDGE_STEP = 0.05, 0.05, 0.1
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


def skin_grown(p: Parameters, mould: Mould, gap: float, breaks: Sequence[float] = ()) -> Skin:
    """Return the skin of a body on lines, moved outward by `gap` [mm], its flat ends in place.

    It is made in bands at the stations `breaks` [mm].
    """
    c = course_of(p, mould)
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
    sections = wing_sections(p, p.wing)
    at = np.array([section.nose[1] for section in sections])
    start = mould.from_buttock_line
    if start is None or not at[0] < start < at[-1] - 1.0:
        raise GeometryError(
            f"a wing tip begins at a buttock line between the centre plane and {plain(at[-1])} mm",
            part="wing_tip",
            step="mould body",
            look_at=[key_of(p, mould, "from_buttock_line"), "wing.sections"],
        )
    if not _stands_open(_tip_cut(sections, start, gap)):
        raise _too_thick(p, mould, sections, start, gap)
    return _tip_cut(sections, start, gap)


def _tip_cut(sections: Sequence[Section], start: float, gap: float) -> list[Floats]:
    """Return the outlines from `start` [mm] out, whether or not their sides cross."""
    at = np.array([section.nose[1] for section in sections])
    rows = np.stack([grown_section(section.points(), gap) for section in sections])
    places = [start, *(y for y in at if start + 1e-6 < y < at[-1]), at[-1] + gap]
    return [_between(rows, at, float(y)) for y in places]


def grown_section(points: Floats, gap: float) -> Floats:
    """Return a section (k, 3) [mm] across the span, its outline moved outward by `gap` [mm].

    Near the blunt edge the points slide along the skin, so that the edge moves by `gap` as well
    and the skin's distance stays true.
    """
    if gap == 0.0:
        return points
    way = make_interp_spline(angles(), points[:, [0, 2]], k=3).derivative()(angles())
    way /= np.linalg.norm(way, axis=1)[:, None]
    aft = np.where(angles() < 0, -1.0, 1.0)[:, None] * way
    out = np.stack([way[:, 1], -way[:, 0]], axis=-1)
    rise = points[0, [0, 2]] - points[-1, [0, 2]]
    edge = np.array([rise[1], -rise[0]]) / np.hypot(*rise)
    slides = [(1 - out[end] @ edge) / (aft[end] @ edge) for end in (0, -1)]
    share = (points[:, 0] - points[HALF, 0]) / (points[0, 0] - points[HALF, 0])
    along = np.clip((share - FOLLOW) / (1 - FOLLOW), 0, None) ** 2
    along *= np.where(angles() < 0, *slides)
    moved = points.copy()
    moved[:, [0, 2]] += gap * (out + along[:, None] * aft)
    return moved


def _between(rows: Floats, at: Floats, place: float) -> Floats:
    i = int(np.clip(np.searchsorted(at, place) - 1, 0, len(at) - 2))
    share = (place - at[i]) / (at[i + 1] - at[i])
    return np.asarray((1 - share) * rows[i] + share * rows[i + 1])


def _stands_open(rows: Sequence[Floats]) -> bool:
    """Say whether no outline's sides cross, as a skin thicker than the edge makes them."""
    return all(np.all(row[:HALF, 2] - row[:HALF:-1, 2] > LEAST_OPEN) for row in rows)


def _too_thick(
    p: Parameters, mould: Mould, sections: Sequence[Section], start: float, gap: float
) -> GeometryError:
    """Return the refusal of a skin that has no room in the tip, with what would do."""
    thinner = [k * SKIN_STEP for k in range(int(-gap / SKIN_STEP), 0, -1)]
    skin = next((t for t in thinner if _stands_open(_tip_cut(sections, start, -t))), None)
    edge = sections[0].edge
    blunter = [edge + k * EDGE_STEP for k in range(1, int(4 * -gap / EDGE_STEP) + 2)]
    wanted = next(
        (
            e
            for e in blunter
            if _stands_open(_tip_cut([replace(s, edge=e) for s in sections], start, gap))
        ),
        None,
    )
    would = [
        f"a laminate of {skin:.2f} mm" if skin else "",
        f"an edge of {wanted:.1f} mm (wing.trailing_edge_thickness)" if wanted else "",
    ]
    choices = " or ".join(each for each in would if each)
    return GeometryError(
        f"a skin of {-gap:.2f} mm is thicker than half of the tip's section near its trailing "
        f"edge of {plain(edge)} mm" + (f"; {choices} would do" if choices else ""),
        part="wing_tip",
        step="mould body",
        look_at=["handoff.laminate", "wing.trailing_edge_thickness", key_of(p, mould)],
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
    """Return name and pull direction (unit vector, away from the split) of each half.

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
