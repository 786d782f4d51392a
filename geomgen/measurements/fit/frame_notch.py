"""The room of stringers in the notches of a frame, on sections of both."""

from collections.abc import Iterator, Mapping

import shapely

from geomgen.errors import GeometryError
from geomgen.kernel.interference.meeting import Body
from geomgen.kernel.plain import FlatSheet
from geomgen.kernel.plane_frame import Frame, front_of_sheet
from geomgen.kernel.sections.section import outlines, regions
from geomgen.measurements.answers import missing, refused, said_no
from geomgen.measurements.question import Answer, Given, MeasurementQuestion
from geomgen.measurements.record import Measurement

NOTCH = "frame.notch"
# Sheets are looked at in planes at these shares of the thickness: near both faces, in the middle.
SHARES = (0.02, 0.5, 0.98)
# Outlines are followed within this of their edges [mm].
CHORD = 0.02
# Exact points of a mesh's chord are at most 0.27 of it apart: their chords sag so much as much [1].
SAG = 0.27**2
# All sections lie within this of the sheet's origin [mm].
FAR = 1e5


def notch_room(
    name: str, sheet: FlatSheet, passing: tuple[str, ...], gaps: Mapping[str, float]
) -> MeasurementQuestion:
    """Return the question how much room a sheet leaves stringers beyond their gaps [mm]."""

    def ask(given: Given) -> Answer:
        try:
            rows = _rooms(sheet, name, {n: given.bodies[n] for n in (name, *passing)})
        except GeometryError as error:
            return refused(error)
        return min(([gap - gaps[other], gap, other] for gap, other in rows), default=None)

    return MeasurementQuestion(
        f"{NOTCH}.{name}", ask, bodies=(name, *passing),
        plain=(sheet, sorted(gaps.items())), weight=0.5,
    )  # fmt: skip


def _rooms(sheet: FlatSheet, name: str, bodies: Mapping[str, Body]) -> Iterator[tuple[float, str]]:
    """Yield the gaps [mm] of stringers to the sheet in planes of it, none where one is missed."""
    for share in SHARES:
        frame = front_of_sheet(sheet).moved(share * sheet.thickness)
        cuts = {part: _section(frame, body, part) for part, body in bodies.items()}
        for part, section in cuts.items():
            if part != name and not section.is_empty and not cuts[name].is_empty:
                yield _room(section, cuts[name]), part


def _section(frame: Frame, body: Body, part: str) -> shapely.Geometry:
    """Return a body's section, within `CHORD` [mm] of its edges: by its mesh where that does."""
    found = None if body.first else outlines(frame, body, FAR)
    near = found is not None and all(
        SAG * body.deviation / ring.lean <= CHORD for region in found for ring in region.rings
    )
    if found is None or not near:
        return shapely.union_all(
            [piece.polygon() for piece in regions(frame, body.solid, part, CHORD)]
        )
    rings = ([ring.known for ring in region.rings] for region in found)
    return shapely.union_all([shapely.Polygon(outer, holes) for outer, *holes in rings])


def _room(one: shapely.Geometry, other: shapely.Geometry) -> float:
    """Return the gap [mm] of two sections; where they share room minus the width of that."""
    shared = shapely.intersection(one, other)
    if shared.area == 0.0:
        return float(one.distance(other))
    return -2.0 * max(_inscribed(piece) for piece in shapely.get_parts(shared))


def _inscribed(piece: shapely.Geometry) -> float:
    return float(shapely.maximum_inscribed_circle(piece).length) if piece.area else 0.0


def said_of_notch(name: str, notch: Answer) -> Measurement:
    """Return the record of the least room beyond the stated clearance [mm]."""
    if said_no(notch):
        return missing(f"{NOTCH}.{name}", "mm", {**notch, "part": name})
    room, gap, other = notch
    return Measurement(
        f"{NOTCH}.{name}", f"{name}, {other}",
        "room round stringers in their notches, beyond the stated clearance", room, "mm",
        "sections of sheet and stringer in planes near both faces of the sheet and in its middle",
        2 * CHORD, note=f"{other} is {gap:.2f} mm clear of the sheet",
    )  # fmt: skip
