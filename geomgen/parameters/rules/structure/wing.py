"""Rules of spars and ribs: what they stand in is there, each place and size is said once."""

from collections.abc import Callable, Iterable, Iterator, Sequence

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import BOX, CHANNEL, TUBE, RibRow, Spar
from geomgen.parameters.rules.clash import FieldClash, mm
from geomgen.parameters.rules.structure.wing_joints import wing_joint_clashes

# More ribs in a row, and in all rows, are a slip of the pen; least cap between the webs [mm]: own
# choice.
MOST_RIBS, MOST_IN_ALL, LEAST_CAP = 60, 200, 3.0


def structure_is_there(p: Parameters) -> Iterator[FieldClash]:
    """Require that what spars and ribs stand in is there, and that names can be told apart."""
    absent = {"tailplane": p.tailplane is None, "fin": p.fins is None}
    tables: tuple[tuple[str, Sequence[Spar | RibRow]], ...] = (("spars", p.spars), ("ribs", p.ribs))
    for table, rows in tables:
        for i, row in enumerate(rows):
            path: Path = (table, i)
            if absent.get(row.of):
                yield FieldClash(
                    (*path, "of"), "no such part in this file", row.of, "what is there"
                )
            for other in rows[:i]:
                if _alike(row.name, other.name):
                    yield FieldClash(
                        (*path, "name"),
                        f"it can't be told from {other.name} in the names of parts",
                        row.name,
                        "a name that does not go on from another one with _",
                    )


def _alike(a: str, b: str) -> bool:
    return f"{a}_".startswith(f"{b}_") or f"{b}_".startswith(f"{a}_")


def spars_are_whole(p: Parameters) -> Iterator[FieldClash]:
    """Require one course and one set of sizes of each spar, and that its webs leave a cap."""
    for i, spar in enumerate(p.spars):
        path: Path = ("spars", i)
        yield from _course(path, spar)
        yield from _tube(path, spar) if spar.kind == TUBE else _caps(path, spar)
        if spar.end is not None and spar.end <= spar.start:
            yield FieldClash(
                (*path, "end"), "it ends before it begins", mm(spar.end), f"> {mm(spar.start)}"
            )


def _course(path: Path, spar: Spar) -> Iterator[FieldClash]:
    straight = (spar.station_start is not None, spar.station_end is not None)
    if spar.chord_share is not None and not any(straight):
        return
    if spar.chord_share is None and all(straight):
        return
    yield FieldClash(
        path,
        "where it stands fore and aft is not said once",
        spar.name,
        "chord_share, or both station_start and station_end",
    )


def _tube(path: Path, spar: Spar) -> Iterator[FieldClash]:
    if spar.cap_height is not None or spar.stations:
        yield FieldClash(path, "a tube has no caps and no taper", spar.name, "width and web alone")
    if spar.width is None:
        yield FieldClash((*path, "width"), "missing", "nothing", "the diameter of the tube")
    elif spar.web >= spar.width / 2:
        yield FieldClash(
            (*path, "web"), "the wall fills the tube", mm(spar.web), f"< {mm(spar.width / 2)}"
        )


def _caps(path: Path, spar: Spar) -> Iterator[FieldClash]:
    if spar.stations:
        yield from _taper(path, spar)
        widths = [row.width for row in spar.stations]
    elif spar.width is None or spar.cap_height is None:
        yield FieldClash(
            path, "its sizes are missing", spar.name, "width and cap_height, or stations"
        )
        return
    else:
        widths = [spar.width]
    webs = {BOX: 2, CHANNEL: 1}.get(spar.kind, 0) * spar.web + LEAST_CAP
    if min(widths) < webs:
        yield FieldClash(
            (*path, "web"),
            "the webs leave no cap",
            f"{mm(spar.web)} in a width of {mm(min(widths))}",
            f"{mm(LEAST_CAP)} of cap at least",
        )
    if spar.web > min(widths):
        yield FieldClash(
            (*path, "web"), "the web is wider than the spar", mm(spar.web), f"<= {mm(min(widths))}"
        )


def _taper(path: Path, spar: Spar) -> Iterator[FieldClash]:
    if spar.width is not None or spar.cap_height is not None:
        yield FieldClash(
            path, "its sizes are said twice", spar.name, "width and cap_height, or stations"
        )
    at = [row.at for row in spar.stations]
    if len(at) < 2 or any(b <= a for a, b in zip(at[:-1], at[1:], strict=True)):
        yield FieldClash(
            (*path, "stations"), "they must rise", str(len(at)), "two or more, from inside out"
        )


def ribs_have_places(p: Parameters) -> Iterator[FieldClash]:
    """Require that each row of ribs has places, and that a pitch has a start and an end."""
    for i, row in enumerate(p.ribs):
        path: Path = ("ribs", i)
        if not row.at and row.pitch is None and not (row.beside_boom or row.beside_joint):
            yield FieldClash(
                path, "nothing says where they stand", row.name,
                "at, pitch, beside_boom or beside_joint",
            )  # fmt: skip
        if row.beside_boom and row.of == "fin":
            yield FieldClash(
                (*path, "beside_boom"), "a fin stands on the boom", "true", "in wing or tailplane"
            )
        if len(row.at) > MOST_RIBS:
            yield FieldClash((*path, "at"), "too many", str(len(row.at)), f"<= {MOST_RIBS}")
        yield from _pitch(path, row)


def _pitch(path: Path, row: RibRow) -> Iterator[FieldClash]:
    given = (row.pitch is not None, row.start is not None, row.end is not None)
    if not any(given):
        return
    if row.pitch is None or row.start is None or row.end is None:
        yield FieldClash(path, "a pitch is not whole", row.name, "pitch with start and end")
    elif row.end <= row.start:
        yield FieldClash(
            (*path, "end"), "it ends before it begins", mm(row.end), f"> {mm(row.start)}"
        )
    elif _pitches(row) > MOST_RIBS:
        yield FieldClash(
            (*path, "pitch"), "too many ribs", mm(row.pitch), f"{MOST_RIBS} of them at the most"
        )


def _pitches(row: RibRow) -> float:
    if row.pitch is None or row.start is None or row.end is None:
        return 0.0
    return (row.end - row.start) / row.pitch


def ribs_can_be_counted(p: Parameters) -> Iterator[FieldClash]:
    """Require no more ribs on one side than somebody would cut."""
    count = 0.0
    for i, row in enumerate(p.ribs):
        before, count = (
            count,
            count
            + len(row.at)
            + min(_pitches(row), MOST_RIBS)
            + 2 * (row.beside_boom + row.beside_joint),
        )
        if before <= MOST_IN_ALL < count:
            yield FieldClash(
                ("ribs", i), "too many ribs with those of the rows before", f"{count:.0f}",
                f"{MOST_IN_ALL} of them at the most", "a larger pitch, or fewer rows",
            )  # fmt: skip


def places_are_on_the_span(p: Parameters) -> Iterator[FieldClash]:
    """Require that spars begin and end, and ribs stand, between the first and the last section."""
    for i, spar in enumerate(p.spars):
        yield from _on_span(p, spar.of, ("spars", i), _ends(spar))
        if spar.wing_joint is not None and spar.end is None:
            at = (("wing_joint", "at"), spar.wing_joint.at)
            yield from _on_span(p, spar.of, ("spars", i), (at,))
    for i, rib in enumerate(p.ribs):
        middles: list[tuple[Path, float | None]] = [(("at", k), at) for k, at in enumerate(rib.at)]
        yield from _on_span(p, rib.of, ("ribs", i), (*middles, *_ends(rib)))


def _ends(row: Spar | RibRow) -> tuple[tuple[Path, float | None], ...]:
    return (("start",), row.start), (("end",), row.end)


def _on_span(
    p: Parameters, host: str, path: Path, rows: Iterable[tuple[Path, float | None]]
) -> Iterator[FieldClash]:
    ends = _span(p, host)
    if ends is None:
        return
    low, high = ends
    for key, value in rows:
        if value is not None and not low <= value <= high:
            allowed = f"from {mm(low)} to {mm(high)}"
            yield FieldClash((*path, *key), f"it is not in the {host}", mm(value), allowed)


def _span(p: Parameters, host: str) -> tuple[float, float] | None:
    """Return the places of the first and the last section [mm], as spars and ribs have them."""
    if host == "fin":
        return None if p.fins is None else (p.fins.sections[0].height, p.fins.sections[-1].height)
    surface = p.wing if host == "wing" else p.tailplane
    if surface is None:
        return None
    return surface.sections[0].buttock_line, surface.sections[-1].buttock_line


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (
    structure_is_there,
    spars_are_whole,
    ribs_have_places,
    ribs_can_be_counted,
    places_are_on_the_span,
)


def wing_structure_clashes(p: Parameters) -> list[FieldClash]:
    """Return every clash between fields of spars and ribs."""
    return [*(clash for rule in RULES for clash in rule(p)), *wing_joint_clashes(p)]
