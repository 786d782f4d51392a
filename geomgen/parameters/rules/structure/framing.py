"""Rules of frames and stringers: inside the pod, clear of the firewall, one place each."""

from collections.abc import Iterator
from math import cos, radians

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.framing import CANOPY, WING, FrameOpening, FrameSheet
from geomgen.parameters.rules.clash import FieldClash, mm

# What the parts of a pair end in: what is written of one hand would be taken for its twin's.
HANDS = ("_left", "_right")


def framing_clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash of frames and stringers with other fields, or with each other."""
    return [clash for rule in RULES for clash in rule(p)]


def hollow_ends(p: Parameters) -> tuple[float, float]:
    """Return the stations [mm] between which the pod can hold something: flat ends have walls."""
    start, end = p.pod.stations[0].station, p.pod.stations[-1].station
    if p.exit:
        return start + p.pod.wall, p.exit.rim_station
    return start + p.pod.wall, end if p.pod.tail == "open" else end - p.pod.wall


def thickness_along(frame: FrameSheet) -> float:
    """Return how long a frame's sheet is fore and aft at one waterline [mm]: more if it leans."""
    return frame.thickness / cos(radians(frame.tilt))


def names_differ(p: Parameters) -> Iterator[FieldClash]:
    """Require that no two frames, and no two stringers, have one name, and none one of a hand."""
    tables = {"frames": [f.name for f in p.frames], "stringers": [s.name for s in p.stringers]}
    for table, names in tables.items():
        for i, name in enumerate(names):
            if name in names[:i]:
                yield FieldClash((table, i, "name"), "the name is taken", name, "a name of its own")
            if name.endswith(HANDS):
                yield FieldClash(
                    (table, i, "name"), "it ends as the name of a left or right part does", name,
                    "a name that does not end in _left or _right", "write left_... or right_...",
                )  # fmt: skip


def frames_stand_in_the_pod(p: Parameters) -> Iterator[FieldClash]:
    """Require that a frame stands between the pod's ends, and not in the firewall."""
    low, high = hollow_ends(p)
    fire = p.firewall
    sheet = fire.thickness / cos(radians(fire.tilt))
    for i, frame in enumerate(p.frames):
        path: Path = ("frames", i, "station")
        last = high - thickness_along(frame)
        if not low <= frame.station <= last:
            yield FieldClash(
                path, f"the frame {frame.name} is not inside the pod", mm(frame.station),
                f"from {mm(round(low, 3))} to {mm(round(last, 3))}",
            )  # fmt: skip
        ahead, behind = fire.station - thickness_along(frame), fire.station + sheet
        if ahead < frame.station < behind:
            yield FieldClash(
                path, f"the frame {frame.name} stands in the firewall, which is a sheet of its own",
                mm(frame.station), f"at most {mm(round(ahead, 3))}, or at least "
                f"{mm(round(behind, 3))}", by=(("firewall", "station"),),
            )  # fmt: skip


def half_frames_end_once(p: Parameters) -> Iterator[FieldClash]:
    """Require one end above and one below of a half frame, in order, at what the file has."""
    for i, frame in enumerate(p.frames):
        path: Path = ("frames", i)
        for key, at, other, of in (
            ("top", frame.top, "under", frame.under),
            ("bottom", frame.bottom, "over", frame.over),
        ):
            if at is not None and of is not None:
                yield FieldClash(
                    (*path, key), f"where the frame {frame.name} is cut off is given twice", mm(at),
                    f"{key} or {other}, one of the two", by=((*path, other),),
                )  # fmt: skip
        if frame.top is not None and frame.bottom is not None and frame.top <= frame.bottom:
            yield FieldClash(
                (*path, "top"), f"nothing of the frame {frame.name} is left between its two cuts",
                mm(frame.top), f"more than {mm(frame.bottom)}", by=((*path, "bottom"),),
            )  # fmt: skip
        if frame.under == frame.over == WING:
            yield FieldClash(
                (*path, "over"), f"the frame {frame.name} is to stand under and over the wing",
                WING, "two frames with names of their own", by=((*path, "under"),),
            )  # fmt: skip
        if frame.under == CANOPY and p.canopy is None:
            yield FieldClash(
                (*path, "under"), "this file has no canopy", CANOPY, f"{WING}, or a top"
            )


def openings_have_a_shape(p: Parameters) -> Iterator[FieldClash]:
    """Require of an opening a diameter, or width and height that its corners leave room in."""
    for i, frame in enumerate(p.frames):
        for j, opening in enumerate(frame.openings):
            yield from _opening(("frames", i, "openings", j), opening)


def _opening(path: Path, o: FrameOpening) -> Iterator[FieldClash]:
    both = o.width is not None and o.height is not None
    either = o.width is not None or o.height is not None
    if o.diameter is None and not both:
        key = "width" if o.width is None else "height"
        yield FieldClash(
            (*path, key), f"the opening for {o.use} has no size", "nothing",
            "a diameter, or width and height",
        )  # fmt: skip
    if o.diameter is not None and (either or o.corner_radius):
        yield FieldClash(
            (*path, "diameter"), f"the opening for {o.use} is round and a rectangle at once",
            mm(o.diameter), "a diameter alone, or width, height and corner_radius",
        )  # fmt: skip
    elif both and 2 * o.corner_radius > min(o.width or 0.0, o.height or 0.0):
        most = min(o.width or 0.0, o.height or 0.0) / 2
        yield FieldClash(
            (*path, "corner_radius"), "more than half of its least side", mm(o.corner_radius),
            f"at most {mm(most)}",
        )  # fmt: skip
    if o.mirrored and o.buttock_line == 0.0:
        yield FieldClash(
            (*path, "mirrored"), "an opening in the middle has no mirror", "true",
            "false, or a buttock_line",
        )  # fmt: skip


def stringers_have_a_place(p: Parameters) -> Iterator[FieldClash]:
    """Require of a stringer one place round the pod, and a length inside of it."""
    low, high = hollow_ends(p)
    for i, s in enumerate(p.stringers):
        path: Path = ("stringers", i)
        if (s.waterline is None) == (s.girth is None):
            yield FieldClash(
                (*path, "waterline" if s.waterline is None else "girth"),
                f"where the stringer {s.name} lies round the pod",
                "nothing" if s.waterline is None else "both",
                "a waterline or a girth, one of the two",
            )
        if s.girth in (0.0, 1.0) and s.mirrored:
            yield FieldClash(
                (*path, "mirrored"), f"the stringer {s.name} lies in the centre plane", "true",
                "false there",
            )  # fmt: skip
        if s.end <= s.start:
            yield FieldClash(
                (*path, "end"), f"the stringer {s.name} ends before it starts", mm(s.end),
                f"more than {mm(s.start)}", by=((*path, "start"),),
            )  # fmt: skip
        for key, value in (("start", s.start), ("end", s.end)):
            if not low <= value <= high:
                yield FieldClash(
                    (*path, key), f"the stringer {s.name} leaves the pod", mm(value),
                    f"from {mm(round(low, 3))} to {mm(round(high, 3))}",
                )  # fmt: skip


RULES = (
    names_differ,
    frames_stand_in_the_pod,
    half_frames_end_once,
    openings_have_a_shape,
    stringers_have_a_place,
)
