"""The pod: hull with its wall, the rim piece at the exit, the tail fairing inside it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box, loose_box
from geomgen.kernel.brep.primitives import cylinder
from geomgen.kernel.lofting.bends import radii, tightest_bend
from geomgen.kernel.lofting.bodies import LoftedSkin, body, outer_skin, tube
from geomgen.kernel.lofting.halves import half_tube
from geomgen.kernel.lofting.lines import Lines, Stations, lay, weight_of
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.kernel.plain import Opening, Plane, Vec3
from geomgen.kernel.solids.booleans import volume
from geomgen.kernel.trimming.cutting import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.shapes.lines.control_stations import ELLIPSE, pod_stations
from geomgen.shapes.piece import Cutter, NamedSolid

HULL = (0.86, 0.88, 0.84)
# A wall wants bends with at least this many times its thickness for a radius (own choice: the
# inner skin is a spline, and near a fold it waves) ...
TIGHTEST = 1.1
# ... but for the tips of round ends, so long as a share of the pod: they are solid.
TIP = 0.12
# What the file calls lines that have another name here; so many places are told of.
SPOKEN = {
    "half_breadth": "half breadth",
    "breadth_height": "breadth height",
    "weight_upper": "upper fullness",
    "weight_lower": "lower fullness",
}
MOST_TOLD = 3
# The exit is measured this far inside the rim's edge [mm], and at so many stations ahead of it.
# A knife reaches this far past the part that it cuts [mm].
MARGIN = 20.0
# Mirror images are alike but for rounding [mm], [1].
SAME_BOX, SAME_VOLUME = 1e-6, 1e-9
INSIDE_RIM = 0.25
EXIT_PLANES = 3


@dataclass(frozen=True)
class PodLines:
    """The pod's lines and wall, for the parts that fit to it [mm]."""

    lines: Lines
    wall: float
    start: float
    end: float

    def half_section(self, station: float, inward: float = 0.0) -> "np.ndarray":
        """Return the right-hand half section (k, 2) y, z [mm] at a station [mm].

        It is drawn in by `inward` [mm] in its plane.
        """
        points = self.lines.section(station, 48)
        if inward == 0.0:
            return points
        tangent = np.gradient(points, axis=0)
        normal = np.stack([-tangent[:, 1], tangent[:, 0]], axis=-1)
        normal /= np.hypot(*normal.T)[:, None]
        return np.asarray(points - inward * normal)


def pod_lines(p: Parameters) -> PodLines:
    """Lay the pod's lines through the control stations of the file."""
    rows = p.pod.stations
    return PodLines(lay(pod_stations(p), "pod"), p.pod.wall, rows[0].station, rows[-1].station)


def hull(p: Parameters, pod: PodLines, breaks: Sequence[float] = ()) -> NamedSolid:
    """Return the hull: wall all round, cabin and bay in one; open aft if the pod's tail is.

    A flat end is closed by a wall, a round one goes on round. Its skins are made in bands at the
    stations `breaks` [mm], where openings will be cut.
    """
    lines = pod.lines
    start = None if lines.nose == "round" else pod.start
    end = p.exit.rim_station if p.exit else (None if lines.tail == "round" else pod.end)
    first, last = inside_ends(p, pod)
    outer = outer_skin(lines, start, end, breaks)
    inner = _inner_wall(pod, first, last, breaks)
    half = half_tube(outer, inner, "pod")
    notes = (*held_back(pod.lines), *_solid_tips(pod, first, last))
    return NamedSolid("pod", "pod", tube(outer, inner, "pod"), HULL, half, notes)


def held_back(lines: Lines) -> list[str]:
    """Return a note of lines that are not fair as drawn, the worst places first; none if all are.

    The lines are made all the same: they pass through their stations.
    """
    if not lines.held:
        return []
    told = [
        f"{SPOKEN.get(held.line, held.line)}, stations {held.start:.0f} to {held.end:.0f} mm"
        + ("" if held.line.startswith("weight") else f" ({held.by:.1f} mm)")
        for held in lines.held[:MOST_TOLD]
    ]
    more = len(lines.held) - len(told)
    return [
        "pod: some lines are not fair as drawn; a smooth curve through the stations would bulge, "
        f"so they were held back: {'; '.join(told)}"
        + (f"; and {more} more" if more else "")
        + ". Check the figures of those stations for a typing error"
    ]


def _solid_tips(pod: PodLines, first: float | None, last: float | None) -> list[str]:
    ends = (("nose", pod.lines.nose, first), ("tail", pod.lines.tail, last))
    return [
        f"pod: its {name} is solid as far as station {station:.0f} mm: the tip bends more tightly "
        f"than the wall of {pod.wall:g} mm"
        for name, end, station in ends
        if end == "round" and station is not None and station not in (pod.start, pod.end)
    ]


def inside_ends(p: Parameters, pod: PodLines) -> tuple[float | None, float | None]:
    """Return the stations [mm] between which the hull is hollow; None at a round end.

    A round end that bends more tightly than the wall is thick has no room in its tip: it is solid
    as far as that. GeometryError where the skin bends so tightly anywhere else.
    """
    end = p.exit.rim_station if p.exit else pod.end
    x, radius = radii(pod.lines, pod.start, end)
    tight = radius < TIGHTEST * pod.wall
    share = (x - x[0]) / (x[-1] - x[0])
    # A tip is what bends so tightly from the very end on; at the point itself nothing is told.
    tip = tight | np.isinf(radius)
    from_nose, from_tail = np.cumprod(tip) > 0, np.cumprod(tip[::-1])[::-1] > 0
    nose = np.nonzero(from_nose & tight & (share < TIP) & (pod.lines.nose == "round"))[0]
    tail = np.nonzero(from_tail & tight & (share > 1 - TIP) & (pod.lines.tail == "round"))[0]
    elsewhere = np.setdiff1d(np.nonzero(tight)[0], np.r_[nose, tail])
    if len(elsewhere):
        place = elsewhere[np.argmin(radius[elsewhere])]
        raise too_tight(p, pod.wall, float(radius[place]), float(x[place]))
    first: float | None = None
    if pod.lines.nose == "flat":
        first = pod.start + pod.wall
    elif len(nose):
        # What lies off the skin by the wall came from up to a wall further ahead.
        first = float(x[nose.max() + 1]) + pod.wall
    if p.pod.tail == "open":
        return first, end
    if pod.lines.tail == "flat":
        return first, pod.end - pod.wall
    return first, float(x[tail.min() - 1]) - pod.wall if len(tail) else None


def _inner_wall(
    pod: PodLines, start: float | None, end: float | None, breaks: Sequence[float] = ()
) -> LoftedSkin:
    """Return the inner skin; GeometryError that names the wall where there is no room for it."""
    try:
        return offset_skin(pod.lines, pod.wall, start, end, "pod", breaks=breaks)
    except GeometryError as error:
        raise GeometryError(
            f"there is no room for a wall of {pod.wall:g} mm: {error.problem}",
            part="pod",
            step="inner wall",
            look_at=["pod.wall", "pod.stations"],
        ) from error


def too_tight(p: Parameters, wall: float, radius: float, station: float) -> GeometryError:
    """Return the error of a wall [mm] that a bend's radius [mm] at a station [mm] can't hold."""
    row = int(np.argmin([abs(s.station - station) for s in p.pod.stations]))
    return GeometryError(
        f"the skin bends with a radius of {radius:.1f} mm at station {station:.0f} mm, which has "
        f"no room for a wall of {wall:g} mm; there at most {radius / TIGHTEST:.1f} mm would do",
        part="pod",
        step="inner wall",
        look_at=["pod.wall", f"pod.stations.{row}"],
    )


def opened(shell: NamedSolid, air: Sequence[NamedSolid]) -> NamedSolid:
    """Return the hull without the air of the passages through its wall.

    Where each passage on the right has its mirror image, the right-hand half is cut and doubled.
    """
    if not air:
        return shell
    right = [piece.solid for piece in air if piece.name.endswith("_right")]
    left = [piece.solid for piece in air if piece.name.endswith("_left")]
    apart = all(loose_box(solid).low[1] > 0.0 for solid in right)
    alike = len(air) == 2 * len(right) == 2 * len(left) and all(map(twins, right, left))
    if shell.half is None or not apart or not alike:
        every = [piece.solid for piece in air]
        return shell.trimmed(cut(shell.solid, every, "pod", "passages"))
    return shell.trimmed_half(cut(shell.half, right, "pod", "passages"))


def twins(right: TopoDS_Solid, left: TopoDS_Solid) -> bool:
    """Say whether two solids are mirror images across the centre plane: boxes [mm] and volumes.

    Their names don't tell: two scoops may be called right and left and be no pair.
    """
    a, b = loose_box(right), loose_box(left)
    turned = ((b.low[0], -b.high[1], b.low[2]), (b.high[0], -b.low[1], b.high[2]))
    same_box = np.allclose([a.low, a.high], turned, rtol=0.0, atol=SAME_BOX)
    return bool(same_box) and abs(volume(right) - volume(left)) <= SAME_VOLUME * volume(right)


def pod_cutters(p: Parameters) -> list[Cutter]:
    """Return what parts are trimmed to where they meet the pod."""
    pod = pod_lines(p)
    return [Cutter("pod", lambda gap, near: pod_body(pod, gap, near))]


def pod_body(pod: PodLines, gap: float, near: Box | None = None) -> TopoDS_Solid:
    """Return the pod as a full body, grown by `gap` [mm], all of it or the length near a box."""
    return full_body(pod.lines, gap, near, (pod.start, pod.end), "pod")


def full_body(
    lines: Lines, gap: float, near: Box | None, ends: tuple[float, float], part: str
) -> TopoDS_Solid:
    """Return the body on lines from end to end [mm], grown by `gap` [mm], cut short near a box."""
    start: float | None = None if lines.nose == "round" else ends[0] - gap
    end: float | None = None if lines.tail == "round" else ends[1] + gap
    if near is not None and near.low[0] - MARGIN > ends[0] + MARGIN:
        start = near.low[0] - MARGIN
    if near is not None and near.high[0] + MARGIN < ends[1] - MARGIN:
        end = near.high[0] + MARGIN
    if gap == 0.0:
        return body(outer_skin(lines, start, end), part)
    return body(offset_skin(lines, -gap, start, end, part), part)


def exit_rim(p: Parameters, pod: PodLines) -> NamedSolid | None:
    """Return the rim piece that ends the hull, with the stated gap to it."""
    if p.exit is None:
        return None
    start = p.exit.rim_station + p.exit.gap
    bend = tightest_bend(pod.lines, start, pod.end)
    if bend.radius < TIGHTEST * pod.wall:
        raise too_tight(p, pod.wall, bend.radius, bend.station)
    solid = tube(
        outer_skin(pod.lines, start, pod.end),
        _inner_wall(pod, start, pod.end),
        "exit",
    )
    return NamedSolid("exit", "exit", solid, (0.70, 0.56, 0.42))


def tail_fairing(p: Parameters) -> NamedSolid | None:
    """Return the body inside the exit that makes its opening a ring."""
    lines = fairing_lines(p)
    if lines is None or p.exit is None or p.exit.tail_fairing is None:
        return None
    fairing = p.exit.tail_fairing
    solid = body(outer_skin(lines), "tail_fairing")
    if fairing.bore:
        first, last = fairing.stations[0].station, fairing.stations[-1].station
        start = (first - 10.0, 0.0, fairing_height(p))
        drill = cylinder(start, (1.0, 0.0, 0.0), fairing.bore / 2, last - first + 20.0)
        solid = cut(solid, [drill], "tail_fairing", "bore")

    return NamedSolid("tail_fairing", "tail_fairing", solid, (0.55, 0.60, 0.66))


def fairing_height(p: Parameters) -> float:
    """Return the waterline of the fairing's axis [mm]: its own, or the thrust line's."""
    fairing = p.exit.tail_fairing if p.exit else None
    if fairing is None or fairing.waterline is None:
        return p.propeller.waterline
    return float(fairing.waterline)


def fairing_lines(p: Parameters) -> Lines | None:
    """Lay round lines through the fairing's diameters; None when the file has no fairing."""
    if p.exit is None or p.exit.tail_fairing is None:
        return None
    rows = p.exit.tail_fairing.stations
    x = np.array([s.station for s in rows])
    radius = np.array([s.diameter / 2 for s in rows])
    return lay(round_stations(x, radius, fairing_height(p)), "exit.tail_fairing")


def round_stations(
    x: "np.ndarray", radius: "np.ndarray", height: float, nose: str = "flat", tail: str = "flat"
) -> Stations:
    """Return stations of a body of revolution about an axis along x at `height` [mm].

    `x` (n,) and `radius` (n,) are in millimetres as well [mm].
    """
    one = np.ones_like(x)
    weight = weight_of(ELLIPSE) * one
    return Stations(
        x,
        height + radius,
        height - radius,
        radius,
        height * one,
        weight,
        weight,
        nose,  # type: ignore[arg-type]
        tail,  # type: ignore[arg-type]
    )


def exit_openings(p: Parameters, pod: PodLines) -> list[Opening]:
    """Publish where the exit is measured: at the rim and ahead of it; nowhere on a closed tail."""
    if p.pod.tail != "open":
        return []
    length = pod.end - p.exit.rim_station - p.exit.gap if p.exit else 0.1 * (pod.end - pod.start)
    fairing = fairing_lines(p)
    joint = p.exit.gap if p.exit else 0.0
    openings = []
    for i in range(EXIT_PLANES):
        x = pod.end - INSIDE_RIM - i * (length - 2 * INSIDE_RIM) / EXIT_PLANES
        half = pod.half_section(x)
        seed = _exit_seed(p, pod, fairing, x, half)
        reach = float(np.ptp(half[:, 1]) + np.max(half[:, 0]))
        plane = Plane(seed, (1.0, 0.0, 0.0))
        openings.append(Opening(f"exit at STA {x:.1f}", plane, seed, reach, joint))
    return openings


def _exit_seed(
    p: Parameters, pod: PodLines, fairing: Lines | None, x: float, half: "np.ndarray"
) -> Vec3:
    """Return a point half-way between what stands in the middle and the wall, to the right."""
    height = fairing_height(p)
    outline = half[np.argsort(half[:, 1])]
    wall = float(np.interp(height, outline[:, 1], outline[:, 0])) - pod.wall
    core = 0.0
    if fairing is not None:
        rows = p.exit.tail_fairing.stations  # type: ignore[union-attr]
        if rows[0].station <= x <= rows[-1].station:
            v = fairing.at_station(x)
            core = float(fairing.curves["half_breadth"](v))
    elif p.propeller.hub_diameter:
        core = min(p.propeller.hub_diameter / 2, wall / 2)
    return (x, (core + wall) / 2, height)
