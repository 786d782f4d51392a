"""Inlet scoops: a mouth that stands off the skin, a passage through the hull's wall, a fairing.

The passage runs aft and inward on an S-curve; across its own slope it keeps the mouth's height, so
that its area does not shrink where it dives. The scoop is a pipe closed inside the hull; trimming
it to the pod's skin opens the pipe, and the same passage, cut out of the hull, leads into the bay.
"""

from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin

import numpy as np
from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.lofting.ducts import DuctFrame, Rounded, band, lip, skin_through
from geomgen.kernel.lofting.sewing import free_edges_at, plane_face, sew, wire_of
from geomgen.kernel.trimming.cutting import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.firewall import station_at_skin
from geomgen.shapes.hull import PodLines, pod_body
from geomgen.shapes.piece import NamedSolid

ROWS = 9
# The roof of the passage ends this far below the inner skin [mm]; the fairing this far below skin.
BELOW = 2.0
PAST_END = 3.0
# A cowl is at least so many times as high as its corners' radius.
CORNERS = 2.02
# The hull's skin is parted this far ahead of a mouth and behind a passage [mm].
BESIDE = 5.0
COLOUR = (0.78, 0.47, 0.30)
PASSAGE = "passage"


@dataclass(frozen=True)
class ScoopCourse:
    """Where a scoop runs [mm]: its frame, its mouth and its ends, heights along `frame.out`.

    `opposite` is the height of the inner skin on the other side, the highest under the passage.
    """

    frame: DuctFrame
    key: str
    mouth: float
    passage_end: float
    fairing_end: float
    skin_high: float
    start: float
    end: float
    fairing_low: float
    opposite: float


def smooth(share: Floats) -> Floats:
    """Return the S-curve 3 s^2 - 2 s^3 (n,) [1] at shares s (n,) [1], level at both ends.

    >>> smooth(np.array([0.0, 0.5, 1.0])).tolist()
    [0.0, 0.5, 1.0]
    """
    s = np.clip(share, 0.0, 1.0)
    return np.asarray(s * s * (3 - 2 * s))


def skin_heights(
    pod: PodLines, frame: DuctFrame, station: float, half_width: float
) -> tuple[float, float]:
    """Return the lowest and highest skin [mm] along `frame.out`, at a station [mm].

    Looked at is the scoop's width, `half_width` [mm] to either side.
    """
    right = pod.half_section(station)
    every = np.vstack([right, (right * [-1.0, 1.0])[::-1]]) - frame.origin
    out, across = every @ frame.out, every @ frame.across
    beyond = out > 0
    order = np.argsort(across[beyond])
    a, o = across[beyond][order], out[beyond][order]
    if not len(a):
        return float("-inf"), float("-inf")
    at = np.linspace(-half_width, half_width, 21)
    if a[0] > -half_width or a[-1] < half_width:
        return float("-inf"), float(np.max(o))
    heights = np.interp(at, a, o)
    return float(np.min(heights)), float(np.max(heights))


def course(p: Parameters, pod: PodLines, index: int) -> ScoopCourse:
    """Work out where the scoop runs; GeometryError when the hull is too small for it."""
    s = p.scoops[index]
    key = f"scoops.{s.name}"
    turn = radians(s.clock_angle)
    out = (cos(turn), sin(turn))
    mouth, end = passage_ends(p, pod, index)
    fairing_end = mouth + s.fairing_length
    last = p.exit.rim_station if p.exit else pod.end
    if mouth <= pod.start or fairing_end >= last:
        where = "mouth" if s.mouth != "at firewall" else "mouth_ahead"
        room = f"; {key}.fairing_length of less than {last - mouth:.0f} mm would do"
        raise GeometryError(
            f"from its mouth at station {mouth:.0f} mm to the end of its fairing at "
            f"{fairing_end:.0f} mm it does not stand on the hull, which runs from station "
            f"{pod.start:.0f} mm to {last:.0f} mm" + (room if pod.start < mouth < last else ""),
            part=f"scoop {s.name}",
            step="course",
            look_at=[f"{key}.{where}", f"{key}.fairing_length"],
        )
    breadth_height = float(pod.lines.curves["breadth_height"](pod.lines.at_station(mouth)))
    frame = DuctFrame((0.0, breadth_height), out, (-out[1], out[0]))
    half = s.width / 2 + s.wall
    _, high = skin_heights(pod, frame, mouth, half)
    low_end, _ = skin_heights(pod, frame, end, half)
    low_fairing, _ = skin_heights(pod, frame, fairing_end, half)
    if not np.isfinite(low_end + low_fairing):
        most = min(broadest(pod, frame, x) for x in (mouth, end, fairing_end)) - 2 * s.wall
        raise GeometryError(
            f"{2 * half:.0f} mm wide with its walls, it is broader than the hull under it; "
            f"{key}.width of less than {max(most, 0.0):.0f} mm would do here",
            part=f"scoop {s.name}",
            step="course",
            look_at=[f"{key}.width", f"{key}.clock_angle", "pod.stations"],
        )
    start = high + s.boundary_layer_gap + s.height / 2
    if len(scoop_names(p, index)) == 2:
        _clear_of_its_mirror(p, index, frame, start)
    return ScoopCourse(
        frame,
        key,
        mouth,
        end,
        fairing_end,
        high,
        start=start,
        end=low_end - 1.3 * pod.wall - BELOW - s.height / 2,
        fairing_low=low_fairing - PAST_END,
        opposite=max(_other_side(pod, frame, x, s.width / 2) for x in (end, fairing_end)),
    )


def passage_ends(p: Parameters, pod: PodLines, index: int) -> tuple[float, float]:
    """Return the stations [mm] of a scoop's mouth and of its passage's end."""
    s = p.scoops[index]
    if s.mouth == "at firewall":
        turn = radians(s.clock_angle)
        mouth = station_at_skin(p, pod, (cos(turn), sin(turn))) - s.mouth_ahead
    else:
        mouth = float(s.mouth)
    return mouth, mouth + s.passage_length


def _clear_of_its_mirror(p: Parameters, index: int, frame: DuctFrame, start: float) -> None:
    """Refuse a mirrored scoop whose mouth stands across the centre plane."""
    s = p.scoops[index]
    low, half = start - s.height / 2 - s.wall, s.width / 2 + s.wall
    if abs(frame.out[0]) * low > abs(frame.across[0]) * half:
        return
    lean = degrees(atan2(low, half))
    raise GeometryError(
        f"{2 * half:.0f} mm wide with its walls, it runs into its mirror image in the middle; "
        f"one scoop (mirrored = false) would do, or one no more than {lean - 0.5:.0f} deg "
        "above or below the horizontal",
        part=f"scoop {s.name}",
        step="course",
        look_at=[f"scoops.{s.name}.{name}" for name in ("mirrored", "clock_angle", "width")],
    )


def broadest(pod: PodLines, frame: DuctFrame, station: float) -> float:
    """Return twice the least reach [mm] of the hull across `frame.out` at a station [mm]."""
    right = pod.half_section(station)
    every = np.vstack([right, right * [-1.0, 1.0]]) - frame.origin
    across = (every @ frame.across)[every @ frame.out > 0]
    if not len(across):
        return 0.0
    return 2 * float(min(across.max(), -across.min()))


def _other_side(pod: PodLines, frame: DuctFrame, station: float, half_width: float) -> float:
    """Return the inner skin opposite [mm along `frame.out`], the highest within a width."""
    back = DuctFrame(
        frame.origin,
        (-frame.out[0], -frame.out[1]),
        (-frame.across[0], -frame.across[1]),
    )
    low, _ = skin_heights(pod, back, station, half_width)
    return pod.wall - low if np.isfinite(low) else float("-inf")


def slope(p: Parameters, index: int, c: ScoopCourse, share: Floats) -> Floats:
    """Return how steeply the passage leaves (positive) or dives into the hull, (m,) [1].

    `share` (m,) are shares of its length [1].
    """
    run = c.passage_end - c.mouth - p.scoops[index].lip_radius
    return np.asarray((c.end - c.start) * 6 * share * (1 - share) / run)


def passage_rows(p: Parameters, index: int, c: ScoopCourse, share: Floats) -> Rounded:
    """Return the passage's sections (m,) [mm] at shares (m,) of its length [1]."""
    s = p.scoops[index]
    run = c.passage_end - c.mouth - s.lip_radius
    x = c.mouth + s.lip_radius + run * share
    dive = slope(p, index, c, share)
    one = np.ones_like(share)
    return Rounded(
        x,
        c.start + (c.end - c.start) * smooth(share),
        s.width / 2 * one,
        s.height / 2 * np.sqrt(1 + dive**2),
        s.corner_radius * one,
    )


def cowl_rows(p: Parameters, index: int, c: ScoopCourse) -> Rounded:
    """Return the outer sections (m,), from behind the lip to the end of the fairing."""
    s = p.scoops[index]
    first = c.mouth + s.lip_radius
    x = np.linspace(first, c.fairing_end, ROWS + 4)
    inner = passage_rows(p, index, c, np.clip((x - first) / (c.passage_end - first), 0, 1))
    roof_start = c.start + s.height / 2 + s.wall
    roof = roof_start + (c.fairing_low - roof_start) * smooth((x - first) / (c.fairing_end - first))
    within = x <= c.passage_end
    need = inner.middle + inner.half_height + s.wall
    roof = np.where(within, np.maximum(roof, need), roof)
    floor = inner.middle - inner.half_height - s.wall
    # Inside the hull the floor is of no account; it only has to stay clear of the roof's end.
    sink = max(0.0, floor[-1] - (c.fairing_low - 3 * (s.corner_radius + s.wall)))
    floor = floor - sink * smooth((x - first) / (c.fairing_end - first))
    # Round corners want their room; below the passage there is nothing in the way.
    floor = np.minimum(floor, roof - CORNERS * (s.corner_radius + s.wall))
    lowest = min(float(floor.min()), c.end - s.height / 2 - s.wall)
    if lowest <= c.opposite:
        raise GeometryError(
            "inside the hull it comes down to the wall on the other side, "
            f"{c.opposite - lowest:.0f} mm too far: make the mouth lower, or the passage longer",
            part=f"scoop {s.name}",
            step="fairing",
            look_at=[f"{c.key}.height", f"{c.key}.passage_length", f"{c.key}.corner_radius"],
        )
    one = np.ones_like(x)
    return Rounded(
        x,
        (roof + floor) / 2,
        (s.width / 2 + s.wall) * one,
        (roof - floor) / 2,
        (s.corner_radius + s.wall) * one,
    )


def passage_body(p: Parameters, index: int, c: ScoopCourse) -> TopoDS_Solid:
    """Return the air in the passage as a body, to cut out of the hull."""
    share = np.linspace(0, 1, ROWS)
    rows = passage_rows(p, index, c, share)
    faces = skin_through(rows, c.frame, share)
    caps = [
        plane_face(float(x), wire_of(free_edges_at(tuple(faces), float(x))))
        for x in (rows.x[0], rows.x[-1])
    ]
    return sew([*faces, *caps], f"scoop {p.scoops[index].name}")


def pipe(p: Parameters, index: int, c: ScoopCourse) -> TopoDS_Solid:
    """Return the scoop before trimming: lip, passage, outer skin, closed inside the hull."""
    s = p.scoops[index]
    share = np.linspace(0, 1, ROWS)
    rows, cowl = passage_rows(p, index, c, share), cowl_rows(p, index, c)
    run = (cowl.x - cowl.x[0]) / (cowl.x[-1] - cowl.x[0])
    inside = skin_through(rows, c.frame, share)
    outside = skin_through(cowl, c.frame, run)
    throat, back = rows.at(0), cowl.at(0)
    edge = _at_station(throat, c.mouth)
    radius = s.lip_radius
    faces: list[TopoDS_Shape] = [*inside, *outside]
    faces += lip(edge.grown(radius), edge, throat, c.frame)
    faces += lip(edge.grown(s.wall - radius), edge.grown(s.wall), back, c.frame)
    if s.wall - 2 * radius > 1e-6:
        faces += band(edge.grown(radius), edge.grown(s.wall - radius), c.frame)
    ends = ((inside, float(rows.x[-1])), (outside, float(cowl.x[-1])))
    faces += [plane_face(x, wire_of(free_edges_at(tuple(skin), x))) for skin, x in ends]
    return sew(faces, f"scoop {s.name}")


def _at_station(r: Rounded, station: float) -> Rounded:
    return Rounded(np.array([station]), r.middle, r.half_width, r.half_height, r.radius)


def scoop_names(p: Parameters, index: int) -> tuple[str, ...]:
    """Return the names of the one or two scoops that an entry of the file stands for.

    A scoop on the centre plane is its own mirror image and stands once.
    """
    s = p.scoops[index]
    on_centre = abs(cos(radians(s.clock_angle))) < 1e-9
    if on_centre or not s.mirrored:
        return (f"scoop_{s.name}",)
    return (f"scoop_{s.name}_right", f"scoop_{s.name}_left")


def scoop(p: Parameters, pod: PodLines, index: int) -> list[NamedSolid]:
    """Return the one or two scoops of an entry."""
    s = p.scoops[index]
    c = course(p, pod, index)
    raw = pipe(p, index, c)
    knife_body = pod_body(pod, s.gap, loose_box(raw))
    solid = cut(raw, [knife_body], f"scoop {s.name}", "trim to the hull")
    names = scoop_names(p, index)
    right = NamedSolid(names[0], "scoop", solid, COLOUR)
    return [right] if len(names) == 1 else [right, right.on_the_left()]


def passages(p: Parameters, pod: PodLines, index: int) -> list[NamedSolid]:
    """Return the air in the passages of an entry's scoops, to cut out of the hull."""
    names = scoop_names(p, index)
    air = NamedSolid(names[0], PASSAGE, passage_body(p, index, course(p, pod, index)))
    return [air] if len(names) == 1 else [air, air.on_the_left()]


def breaks(p: Parameters, pod: PodLines) -> list[float]:
    """Return the stations [mm] on the pod between which the passages pass its wall, each once.

    How wide and how high they are does not matter: the hull need not be made again for that.
    """
    ends = [passage_ends(p, pod, index) for index in range(len(p.scoops))]
    every = {x for mouth, end in ends for x in (mouth - BESIDE, end + BESIDE)}
    return sorted(x for x in every if pod.start < x < pod.end)
