"""What is said of the engine bay on leaders: names of parts, measured figures with their limits."""

from collections.abc import Sequence

import numpy as np
import shapely

from geomgen.aircraft_drawings.bay_dimensions import fan_point, firewall_point, thrust_height
from geomgen.aircraft_drawings.bay_geometry import Bay, BaySection
from geomgen.aircraft_drawings.callouts import Callout
from geomgen.aircraft_drawings.check_words import lines_of, place_words
from geomgen.aircraft_drawings.section_lines import spans, words
from geomgen.arrays import Floats
from geomgen.drafting.record import Point
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.planes import frame_round
from geomgen.kernel.openings.border import OpeningCut
from geomgen.kernel.plain import Passage, Vec3
from geomgen.verdicts.check import Check
from geomgen.verdicts.outcome import OUTCOMES
from geomgen.verdicts.wording import figure, figure_of, raised

FIREWALL = (
    ("firewall.thickness", "sheet"),
    ("firewall.area", "area"),
    ("firewall.edge_gap", "slit to the hull"),
)
EXIT = (("exit.area", "least open area"), ("exit.to_inlet_ratio", "exit area over inlet area"))
EDGE = (("prop.trailing_edge_gap", "trailing edge to blades, least in the disc"),)
DISC = (("prop.axial_clearance", "blades to fixed parts, along the shaft"),)
ENGINE = "engine.clearance"


def upright_words(bay: Bay, checks: Sequence[Check]) -> list[Callout]:
    """Return what is said beside the upright section."""
    section = bay.upright
    found = [_firewall(bay, checks), _fan(bay), _wing(bay, checks), _exit(bay, checks)]
    found += [_disc(bay, checks), _thrust(bay), *_engine(bay, checks)]
    for family in ("pod", "pylon", "tail_fairing", "spinner"):
        lower = family in ("tail_fairing", "spinner")
        found += [_part(section, name, lower) for name in bay.names(family)]
    found += [_mouth(bay, section, passage, checks) for passage in section.passages]
    return [callout for callout in found if callout is not None]


def level_words(bay: Bay, section: BaySection, checks: Sequence[Check]) -> list[Callout]:
    """Return what is said beside the level section."""
    found = [_mouth(bay, section, passage, checks) for passage in section.passages]
    engines = [_part(section, name, False) for name in bay.names("engine")]
    total = lines_of(checks, [("inlet.area", "")])
    if total:
        engines.append(Callout(total, None, section.limits.high[1]))
    return found + [callout for callout in engines if callout is not None]


def failures(bay: Bay, checks: Sequence[Check], shown: Sequence[Callout]) -> tuple[str, ...]:
    """Return notes of what failed at parts of this drawing and is not said beside them."""
    written = " ".join(line for callout in shown for line in callout.lines)
    parts = [*bay.upright.cut.parts, *(bay.level.cut.parts if bay.level else ())]
    found = []
    for check in checks:
        line = lines_of([check], [(check.id, "")])[0]
        here = check.part == "all parts" or any(name in check.part for name in parts)
        if check.stops and here and not any(o in written for o in _tails(check)):
            found.append(line)
    return tuple(found)


def _tails(check: Check) -> tuple[str, ...]:
    measured = figure_of(check, check.measured) if check.measured is not None else check.written
    return (raised(f"{measured}, {check.target.text}, {OUTCOMES[check.verdict]}"),)


def _firewall(bay: Bay, checks: Sequence[Check]) -> Callout | None:
    at = firewall_point(bay)
    if at is None:
        return None
    shape = bay.upright.shape(bay.names("firewall"))
    x0, low, x1, high = shape.bounds
    level = low + 0.62 * (high - low)
    runs = spans(shape, (x0 - 1.0, level), (x1 + 1.0, level))
    where = "" if at[1] < low + 1.0 else " at the thrust line"
    lines = (f"firewall STA {at[0]:.1f}{where}", *lines_of(checks, FIREWALL))
    return Callout(lines, runs[0][0] if runs else at)


def _fan(bay: Bay) -> Callout | None:
    at = fan_point(bay, bay.upright)
    if at is None:
        return None
    face = spans(bay.upright.shape(bay.names("engine")), (at[0] + 0.5, at[1]), (at[0] + 0.5, 1e5))
    top = face[0][1][1] if face else at[1]
    return Callout((f"fan face STA {at[0]:.1f}",), (at[0], at[1] + 0.85 * (top - at[1])))


def _wing(bay: Bay, checks: Sequence[Check]) -> Callout | None:
    shape = bay.upright.shape(bay.names("wing"))
    if shape.is_empty:
        said = lines_of(checks, EDGE)
        return Callout(said, None, bay.upright.limits.high[1]) if said else None
    points = shapely.get_coordinates(shape)
    at = points[int(np.argmax(points[:, 0]))]
    return Callout(
        ("trailing edge of the wing", *lines_of(checks, EDGE)), (float(at[0]), float(at[1]))
    )


def _exit(bay: Bay, checks: Sequence[Check]) -> Callout | None:
    if not bay.model.exits:
        return None
    found = bay.openings[bay.model.exits[0].name]
    lines = found.lines(bay.upright.frame)
    said = lines_of(checks, EXIT) or _open_area(found)
    at = bay.upright.flat(found.where.seed)
    if lines:
        upper = max(lines, key=lambda line: float(line[0][1] + line[1][1]))
        at = _between(upper[0], upper[1])
    return Callout((f"exit{_state(found)}", *said), at)


def _disc(bay: Bay, checks: Sequence[Check]) -> Callout | None:
    shape = bay.upright.shape([bay.model.swept])
    if shape.is_empty:
        return None
    _, low, x1, high = shape.bounds
    lines = ("swept volume of the propeller", *lines_of(checks, DISC))
    return Callout(lines, (x1, low + 0.88 * (high - low)))


def _thrust(bay: Bay) -> Callout | None:
    if bay.model.thrust_line is None:
        return None
    x, z = bay.upright.limits.low[0], thrust_height(bay, bay.upright.limits.low[0])
    return Callout((f"thrust line WL {bay.model.thrust_line.origin[2]:.1f}",), (x + 20.0, z))


def _engine(bay: Bay, checks: Sequence[Check]) -> list[Callout]:
    found = [_part(bay.upright, name, False) for name in bay.names("engine")]
    callouts = [callout for callout in found if callout is not None]
    check = next((c for c in checks if c.id == ENGINE), None)
    if check is None:
        return callouts
    lines = lines_of(checks, [(ENGINE, "least gap round the engine")])
    if not check.points:
        return [*callouts, Callout(lines, None, bay.upright.limits.high[1])]
    place = place_words(check.points[0])
    return [*callouts, Callout((*lines, place), bay.upright.flat(check.points[0]))]


def _part(section: BaySection, name: str, lower: bool) -> Callout | None:
    """Return a part's name at a point of its cut; `lower` takes it low in the cut."""
    shape = section.shape([name])
    if shape.is_empty:
        return None
    if lower:
        x0, low, x1, _ = shape.bounds
        half = shapely.intersection(shape, shapely.box(x0, low, x1, shape.centroid.y))
        shape = shape if half.is_empty else half
    biggest = max(getattr(shape, "geoms", [shape]), key=lambda piece: piece.area)
    spot = shapely.point_on_surface(biggest)
    return Callout((words(name),), (float(spot.x), float(spot.y)))


def _mouth(bay: Bay, section: BaySection, passage: Passage, checks: Sequence[Check]) -> Callout:
    found = next(o for o in section.openings if o.where == passage.mouth)
    wanted = [
        (f"inlet.area.{passage.name}", "mouth"),
        (f"duct.throat_area.{passage.name}", "least along the passage"),
        (f"duct.turn_angle.{passage.name}", "turn of the air"),
    ]
    said = lines_of(checks, wanted) or _open_area(found)
    lines = found.lines(section.frame)
    at = section.flat(found.where.seed)
    if lines:
        # The end away from the hull's middle: leaders from outside reach it freely.
        ends = [p for line in lines for p in line]
        middle = 0.5 * (section.limits.low[1] + section.limits.high[1])
        end = max(ends, key=lambda p: abs(float(p[1]) - middle))
        at = (float(end[0]), float(end[1]))
    size = ""
    if found.rings:
        wide, high = _extent(found, hull_middle(bay))
        size = f" {wide:.1f} mm wide along the skin, {high:.1f} mm high off it"
    return Callout((f"{words(passage.name)}: mouth{size}{_state(found)}", *said), at)


def hull_middle(bay: Bay) -> Vec3:
    """Return the middle of what fills the hull: the firewall, or the engine without one [mm]."""
    return loose_box(bay.model.parts[(bay.names("firewall") + bay.names("engine"))[0]]).centre


def _extent(found: OpeningCut, middle: Vec3) -> tuple[float, float]:
    """Return width along the skin and height off it [mm] of an opening's border in its plane.

    Its straight sides are those of the least rectangle round it; of the two directions the one
    that looks away from the hull's middle is the height.
    """
    where = found.where
    frame = frame_round(where.plane, where.seed)
    box = shapely.MultiPoint(frame.flat(np.concatenate(found.rings))).minimum_rotated_rectangle
    corners = shapely.get_coordinates(box)[:3]
    away = -frame.flat((where.seed[0], *middle[1:]))[0]
    sides = [corners[1] - corners[0], corners[2] - corners[1]]
    first, other = (float(np.hypot(*side)) for side in sides)
    lean = [
        abs(float(side @ away)) / size for side, size in zip(sides, (first, other), strict=True)
    ]
    return (other, first) if lean[0] > lean[1] else (first, other)


def _state(found: OpeningCut) -> str:
    return {"open": "", "shut": ", SHUT", "leaks": ", NOT CLOSED ALL ROUND"}[found.state]


def _open_area(found: OpeningCut) -> tuple[str, ...]:
    return (raised(f"open area {figure(found.area, 'mm2')}"),) if found.area is not None else ()


def _between(a: Floats, b: Floats) -> Point:
    x, y = 0.5 * (a + b)
    return (float(x), float(y))
