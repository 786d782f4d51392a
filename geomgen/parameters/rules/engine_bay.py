"""Rules between fields of the engine bay: its air, firewall, its holes, scoops, engine."""

from collections.abc import Callable, Iterator
from itertools import pairwise
from math import hypot, radians, tan

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.body import PodStation
from geomgen.parameters.records.engine_bay import ON_ENGINE, Scoop
from geomgen.parameters.rules.clash import FieldClash, mm
from geomgen.units import DIMENSIONS


def _hull_end(p: Parameters, station: float) -> tuple[Path, ...]:
    """Return the key that can let the hull end behind a station [mm]; none where none can."""
    first, last = p.pod.stations[0].station, p.pod.stations[-1].station
    if station <= first:
        return ()
    if p.exit is None:
        return (("pod", "stations", len(p.pod.stations) - 1),)
    return (("exit", "rim_station"),) if station < last - p.exit.gap else ()


def neighbours(p: Parameters, station: float) -> tuple[PodStation, PodStation] | None:
    """Return the control stations ahead of and behind a station [mm]; None off the pod."""
    for fore, aft in pairwise(p.pod.stations):
        if fore.station <= station <= aft.station:
            return fore, aft
    return None


def leaning_station(p: Parameters, edge: str, tilt: float | None = None) -> float | None:
    """Return the station [mm] where the firewall's plane meets the crown or keel; None off the pod.

    The line is taken straight between its stations. `tilt` [deg] stands in for the file's.
    """
    slope = tan(radians(p.firewall.tilt if tilt is None else tilt))

    def off(x: float, height: float) -> float:
        return x - p.firewall.station - slope * (height - p.propeller.waterline)

    rows = [(s.station, getattr(s, edge)) for s in p.pod.stations]
    found = []
    for (x0, z0), (x1, z1) in pairwise(rows):
        a, b = off(x0, z0), off(x1, z1)
        if a <= 0.0 <= b or b <= 0.0 <= a:
            found.append(x0 if a == b else x0 + (x1 - x0) * a / (a - b))
    return min(found, key=lambda x: abs(x - p.firewall.station)) if found else None


def most_tilt(p: Parameters, room: tuple[float, float]) -> float:
    """Return the largest tilt [deg], to the tenth, that keeps the sheet between stations [mm]."""
    for tenths in range(300, 0, -1):
        if _stays(p, tenths / 10, room) and _stays(p, -tenths / 10, room):
            return tenths / 10
    return 0.0


def _stays(p: Parameters, tilt: float, room: tuple[float, float]) -> bool:
    reach = [leaning_station(p, edge, tilt) for edge in ("crown", "keel")]
    return all(x is not None and room[0] < x < room[1] for x in reach)


def firewall_in_pod(p: Parameters) -> Iterator[FieldClash]:
    """Require that the sheet, leaning as it does, stands between nose and exit of the pod."""
    f = p.firewall
    pair = neighbours(p, f.station)
    start = p.pod.stations[0].station
    end = p.exit.rim_station if p.exit else p.pod.stations[-1].station
    if pair is None or not start < f.station < end:
        yield FieldClash(
            ("firewall", "station"),
            "not inside the pod",
            mm(f.station),
            f"between {mm(start)} and {mm(end)}",
            by=_hull_end(p, f.station),
        )
        return
    flange = f.flange + f.thickness
    fore, aft = (-flange, 0.0) if f.flange_direction == "forward" else (0.0, flange)
    if not _stays(p, f.tilt, (start - fore, end - aft)):
        yield FieldClash(
            ("firewall", "tilt"),
            "leaning so far, the firewall leaves the pod",
            f"{f.tilt:g} deg at station {mm(f.station)}",
            f"at most {most_tilt(p, (start - fore, end - aft)):.1f} deg there, either way; "
            f"the pod runs from {mm(start)} to {mm(end)}",
            by=(("firewall", "station"),),
        )
    if not min(s.keel for s in pair) < p.propeller.waterline < max(s.crown for s in pair):
        yield FieldClash(
            ("propeller", "waterline"),
            "the thrust line does not pass through the firewall",
            mm(p.propeller.waterline),
            f"between {mm(min(s.keel for s in pair))} and {mm(max(s.crown for s in pair))}",
            by=(("firewall", "station"),),
        )


def holes_in_sheet(p: Parameters) -> Iterator[FieldClash]:
    """Require that each hole lies on the sheet and clear of the others."""
    f = p.firewall
    pair = neighbours(p, f.station)
    if pair is None:
        return
    half = max(s.breadth for s in pair) / 2 - p.pod.wall
    low, high = min(s.keel for s in pair) + p.pod.wall, max(s.crown for s in pair) - p.pod.wall
    for i, hole in enumerate(f.penetrations):
        path: Path = ("firewall", "penetrations", i)
        r = hole.diameter / 2
        if abs(hole.buttock_line) + r >= half:
            yield FieldClash(
                (*path, "buttock_line"),
                "the hole leaves the firewall",
                mm(hole.buttock_line),
                f"within {mm(half - r)} of the centre plane",
                by=((*path, "diameter"),) if abs(hole.buttock_line) < half else (),
            )
        if not low + r < hole.waterline < high - r:
            yield FieldClash(
                (*path, "waterline"),
                "the hole leaves the firewall",
                mm(hole.waterline),
                f"between {mm(low + r)} and {mm(high - r)}",
                by=((*path, "diameter"),) if low < hole.waterline < high else (),
            )
        for j, other in enumerate(f.penetrations[:i]):
            apart = hypot(hole.buttock_line - other.buttock_line, hole.waterline - other.waterline)
            if apart <= r + other.diameter / 2:
                yield FieldClash(
                    path,
                    f"the hole runs into that of penetration {j} ({other.use})",
                    f"{mm(apart)} apart",
                    f"more than {mm(r + other.diameter / 2)}",
                    by=(("firewall", "penetrations", j),),
                )


def scoop_shapes(p: Parameters) -> Iterator[FieldClash]:
    """Require that corner, lip and lengths of a scoop fit each other."""
    for i, s in enumerate(p.scoops):
        path: Path = ("scoops", i)
        most = min(s.width, s.height) / 2
        if s.corner_radius >= most:
            yield FieldClash(
                (*path, "corner_radius"),
                "as large as half the mouth or larger",
                mm(s.corner_radius),
                f"less than {mm(most)}",
                by=((*path, "width" if s.width < s.height else "height"),),
            )
        if s.lip_radius > s.wall / 2:
            yield FieldClash(
                (*path, "lip_radius"),
                "the lip is thicker than the wall behind it",
                mm(s.lip_radius),
                f"at most half of the wall, {mm(s.wall / 2)}",
                by=((*path, "wall"),),
            )
        if s.fairing_length <= s.passage_length:
            yield FieldClash(
                (*path, "fairing_length"),
                "the fairing ends ahead of the passage",
                mm(s.fairing_length),
                f"more than the passage, {mm(s.passage_length)}",
                by=((*path, "passage_length"),),
            )
        if s.lip_radius >= s.passage_length:
            yield FieldClash(
                (*path, "passage_length"),
                "shorter than the lip",
                mm(s.passage_length),
                f"more than {mm(s.lip_radius)}",
                by=((*path, "lip_radius"),),
            )
        yield from _scoop_place(p, s, path)


def _scoop_place(p: Parameters, s: Scoop, path: Path) -> Iterator[FieldClash]:
    start = p.pod.stations[0].station
    end = p.exit.rim_station if p.exit else p.pod.stations[-1].station
    at_firewall = isinstance(s.mouth, str)
    mouth = p.firewall.station - s.mouth_ahead if isinstance(s.mouth, str) else s.mouth
    key = "mouth_ahead" if at_firewall else "mouth"
    shown = mm(s.mouth_ahead if at_firewall else mouth)
    if not start < mouth < end:
        yield FieldClash(
            (*path, key),
            "the mouth is not on the pod",
            f"{shown} (station {mm(mouth)})",
            f"a station between {mm(start)} and {mm(end)}",
            by=(("firewall", "station"),) if at_firewall else _hull_end(p, mouth),
        )
        return
    if mouth + s.fairing_length >= end:
        yield FieldClash(
            (*path, "fairing_length"),
            "the fairing runs past the end of the hull",
            mm(s.fairing_length),
            f"less than {mm(end - mouth)}",
            by=((*path, key), *_hull_end(p, mouth + s.fairing_length)),
        )
    if mouth + s.passage_length <= p.firewall.station:
        yield FieldClash(
            (*path, "passage_length"),
            "the passage ends ahead of the firewall, in the cabin",
            mm(s.passage_length),
            f"more than {mm(p.firewall.station - mouth)}",
            by=((*path, key),),
        )
    if not at_firewall and s.mouth_ahead != 0.0:
        yield FieldClash(
            (*path, "mouth_ahead"),
            "only goes with a mouth at the firewall",
            mm(s.mouth_ahead),
            '0 mm, or mouth = "at firewall"',
        )
    pair = neighbours(p, mouth)
    if pair and s.width >= max(max(n.breadth, n.crown - n.keel) for n in pair):
        yield FieldClash(
            (*path, "width"),
            "wider than the pod",
            mm(s.width),
            f"less than {mm(max(max(n.breadth, n.crown - n.keel) for n in pair))}",
            by=((*path, key),),
        )


def engine_in_bay(p: Parameters) -> Iterator[FieldClash]:
    """Require that an engine has a body, and that all of them stand behind the firewall."""
    if p.engine is None:
        return
    f = p.firewall
    bodies: list[tuple[Path, float, float, float, float]] = [
        (("engine", "boxes", i, "station"), b.station, 0.0, b.waterline, b.height / 2)
        for i, b in enumerate(p.engine.boxes)
    ]
    for i, c in enumerate(p.engine.cylinders):
        ahead = 0.0 if c.axis == "x" else c.diameter / 2
        half = (c.length if c.axis == "z" else c.diameter) / 2
        bodies.append((("engine", "cylinders", i, "station"), c.station, ahead, c.waterline, half))
    if not bodies:
        yield FieldClash(
            ("engine",),
            "no boxes and no cylinders",
            "none",
            "at least one body",
            "add [[engine.boxes]], or leave the whole [engine] out",
        )
    for path, station, ahead, height, half in bodies:
        # The sheet leans: what counts is where it stands ahead of this body.
        above = height - p.propeller.waterline
        lean = min((above + side) * tan(radians(f.tilt)) for side in (half, -half))
        least = f.station + f.thickness + lean
        if station - ahead <= least:
            centre = f", its centre: it begins at {mm(station - ahead)}" if ahead else ""
            yield FieldClash(
                path,
                "begins ahead of the firewall",
                f"{mm(station)}{centre}",
                f"more than {mm(least + ahead)}",
                by=(("firewall", "station"),),
            )


def sheet_leaves_room(p: Parameters) -> Iterator[FieldClash]:
    """Require that gap and sheet leave something of the section."""
    pair = neighbours(p, p.firewall.station)
    if pair is None:
        return
    room = min(min(s.breadth, s.crown - s.keel) for s in pair) / 2 - p.pod.wall
    if 0.0 < room <= p.firewall.gap + p.firewall.thickness:
        yield FieldClash(
            ("firewall", "gap"),
            "gap and sheet leave nothing of the firewall",
            mm(p.firewall.gap),
            f"less than {mm(room - p.firewall.thickness)}",
            by=(("pod", "wall"),),
        )


def fixed_parts_are_there(p: Parameters) -> Iterator[FieldClash]:
    """Require that what is said to be fixed to the engine is a part of this aircraft."""
    if p.engine is None:
        return
    there = {
        "exit": p.exit is not None,
        "tail_fairing": p.exit is not None and p.exit.tail_fairing is not None,
        "scoop": bool(p.scoops),
        "pylon": p.pylon is not None,
        "firewall": True,
    }
    names = ", ".join(f'"{name}"' for name in ON_ENGINE if there[name])
    for i, name in enumerate(p.engine.fixed_parts):
        if not there[name]:
            yield FieldClash(
                ("engine", "fixed_parts", i),
                "this aircraft has no such part",
                f'"{name}"',
                names,
                "take it out of the list, or give the aircraft that part",
            )


def climb_within_level(p: Parameters) -> Iterator[FieldClash]:
    """Require that the climb, which the cooling is sized for, is no faster than level flight."""
    climb, level = p.flight.climb_speed, p.flight.level_speed
    if climb > level:
        yield FieldClash(
            ("flight", "climb_speed"),
            "no machine climbs faster than it flies level at full power: the inlets would be too "
            "small",
            _speed(climb),
            f"at most {_speed(level)}, of flight.level_speed",
            "look at the units of both speeds",
            by=(("flight", "level_speed"),),
        )


def _speed(value: float) -> str:
    """Render a speed [m/s] as builders write it.

    >>> _speed(41.1556)
    '41.16 m/s / 80.0 kt'
    """
    return f"{value:.2f} m/s / {value / DIMENSIONS['speed'].factors['kt']:.1f} kt"


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (
    climb_within_level,
    firewall_in_pod,
    holes_in_sheet,
    scoop_shapes,
    engine_in_bay,
    sheet_leaves_room,
    fixed_parts_are_there,
)
