"""Rules of fittings, controls and access: one place each, bolts inside the plate."""

from collections.abc import Iterator

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.attachments import AFT, FORE, POD, BoltedFitting
from geomgen.parameters.records.structure.framing import frame_parts
from geomgen.parameters.rules.clash import FieldClash, mm, perhaps

TAKEN = "the name is taken", "a name of its own"


def attachment_clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash of fittings, controls and access with other fields."""
    return [clash for rule in RULES for clash in rule(p)]


def names_differ(p: Parameters) -> Iterator[FieldClash]:
    """Require a name of its own of each row of a kind; boxes and runs of controls are one kind."""
    controls: list[tuple[Path, str]] = []
    if p.controls:
        controls += [(("controls", "boxes", i), b.name) for i, b in enumerate(p.controls.boxes)]
        controls += [(("controls", "runs", i), r.name) for i, r in enumerate(p.controls.runs)]
    fittings: list[tuple[Path, str]] = [(("fittings", i), f.name) for i, f in enumerate(p.fittings)]
    ways: list[tuple[Path, str]] = [(("access", i), a.name) for i, a in enumerate(p.access)]
    for rows in (fittings, controls, ways):
        seen: set[str] = set()
        for path, name in rows:
            if name in seen:
                yield FieldClash((*path, "name"), TAKEN[0], name, TAKEN[1])
            seen.add(name)


def sheets_are_there(p: Parameters) -> Iterator[FieldClash]:
    """Require that the frame is in the file which a fitting is put on or a way leads through."""
    known = ["firewall", *(part for frame in p.frames for part in frame_parts(frame))]
    rows: list[tuple[Path, str | None]] = [
        *((("fittings", i, "on"), f.on) for i, f in enumerate(p.fittings)),
        *((("access", i, "through"), a.through) for i, a in enumerate(p.access)),
    ]
    for path, name in rows:
        if name is not None and name not in known:
            yield FieldClash(
                path, "this file has no such sheet", name, ", ".join(known), perhaps(name, known)
            )


def fittings_have_one_place(p: Parameters) -> Iterator[FieldClash]:
    """Require a station of a fitting, or a sheet that it is put on; and a mirror that differs."""
    for i, fitting in enumerate(p.fittings):
        path: Path = ("fittings", i)
        name = fitting.name
        if (fitting.station is None) == (fitting.on is None):
            yield FieldClash(
                (*path, "station"), f"where the foot of the fitting {name} stands",
                "nothing" if fitting.station is None else "both on and station",
                "a station, or on with the sheet that it is bolted to",
            )  # fmt: skip
        if fitting.on is not None:
            yield from _on_a_sheet(path, fitting)
        if fitting.mirrored and fitting.buttock_line == 0.0:
            yield FieldClash(
                (*path, "mirrored"), f"the fitting {name} stands in the middle and has no mirror",
                "true", "false, or a buttock_line",
            )  # fmt: skip
        if not _is_there(p, fitting.inside):
            yield FieldClash(
                (*path, "inside"), f"this file has no {fitting.inside}", fitting.inside,
                "a part that the file has",
            )  # fmt: skip


def _is_there(p: Parameters, family: str) -> bool:
    return {"tailplane": p.tailplane, "fin": p.fins}.get(family, p.pod) is not None


def _on_a_sheet(path: Path, fitting: BoltedFitting) -> Iterator[FieldClash]:
    if fitting.side not in (FORE, AFT):
        yield FieldClash(
            (*path, "side"), "a sheet has a fore and an aft face", fitting.side, "fore or aft",
            by=((*path, "on"),),
        )  # fmt: skip
    for key, value in (("tilt", fitting.tilt), ("sweep", fitting.sweep)):
        if value:
            yield FieldClash(
                (*path, key), f"{key} follows from the sheet that it is put on", f"{value:g} deg",
                "nothing", by=((*path, "on"),),
            )  # fmt: skip
    if fitting.inside != POD:
        yield FieldClash(
            (*path, "inside"), "frames and firewall stand in the pod", fitting.inside, POD,
            by=((*path, "on"),),
        )  # fmt: skip


def bolts_are_in_the_plate(p: Parameters) -> Iterator[FieldClash]:
    """Require a pitch of several bolts, holes apart from each other and inside the plate."""
    for i, f in enumerate(p.fittings):
        b, path = f.bolts, ("fittings", i, "bolts")
        rows_apart = b.row_pitch if b.row_pitch is not None else b.pitch
        row_key = "pitch" if b.row_pitch is None else "row_pitch"
        told: set[str] = set()
        for key, many, pitch, side, size in (
            ("pitch", b.columns, b.pitch, "width", f.width),
            (row_key, b.rows, rows_apart, "height", f.height),
        ):
            if many > 1 and pitch is None:
                yield FieldClash(
                    (*path, "pitch"), f"how far the bolts of the fitting {f.name} stand apart",
                    "nothing", "a pitch, or one bolt (columns = 1, rows = 1)",
                )  # fmt: skip
                break
            reach = (many - 1) * (pitch or 0.0) + b.diameter
            if many > 1 and (pitch or 0.0) <= b.diameter:
                if key in told:
                    continue
                told.add(key)
                yield FieldClash(
                    (*path, key), f"holes of the fitting {f.name} run into each other",
                    mm(pitch or 0.0), f"more than {mm(b.diameter)}",
                )  # fmt: skip
            elif reach >= size:
                yield FieldClash(
                    (*path, key if many > 1 else "diameter"),
                    f"holes of the fitting {f.name} run out of its {side}",
                    mm(reach) + " over all", f"less than {mm(size)}",
                    by=(("fittings", i, side),),
                )  # fmt: skip


def ways_lead_somewhere(p: Parameters) -> Iterator[FieldClash]:
    """Require that points which follow each other differ."""
    rows = [
        (("controls", "runs", i, "points"), r.points)
        for i, r in enumerate(p.controls.runs if p.controls else ())
    ]
    for path, points in rows:
        for j, (a, b) in enumerate(zip(points, points[1:], strict=False)):
            if a == b:
                yield FieldClash(
                    (*path, j + 1, "station"), "the same point twice", mm(b.station),
                    "points that differ",
                )  # fmt: skip
    for i, way in enumerate(p.access):
        if way.start == way.end:
            yield FieldClash(
                ("access", i, "end", "station"), f"the way to {way.name} ends where it starts",
                mm(way.end.station), "another point",
            )  # fmt: skip


RULES = (
    names_differ,
    sheets_are_there,
    fittings_have_one_place,
    bolts_are_in_the_plate,
    ways_lead_somewhere,
)
