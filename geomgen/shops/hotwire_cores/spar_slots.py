"""Slots for the webs of spars: cores cut through at both faces of a web, its thickness taken off.

What is left is a nose piece and a tail piece. A straight wire from template to template leaves a
flat or twisted face; how far it is off the web's own face is measured on the web's solid.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.record import CAP, Drawing
from geomgen.errors import GeometryError
from geomgen.parameters.records.shops import Cores
from geomgen.shops.hotwire_cores.blank import in_flight
from geomgen.shops.hotwire_cores.outline import PAST, Outline, along_chord, trough
from geomgen.shops.hotwire_cores.pieces import CorePiece
from geomgen.shops.hotwire_cores.printed_face import FACES, across
from geomgen.shops.hotwire_cores.sections import CoreSection
from geomgen.shops.layout_lines import InsidePart, Laid, laid_along
from geomgen.shops.product import found
from geomgen.verdicts.check import Check

# What the name of a web ends in, behind that of its spar; outside of a joint of the wing, outer.
WEB = re.compile(r"_web(_fore|_aft)?(_outer)?(_right|_left)?$")
# Faces of a web are parallel within this [1]; corners of its section are found within FINE [mm].
PARALLEL, FINE = 0.05, 0.02
STEP = "slot for a spar"


@dataclass(frozen=True)
class WebSlot:
    """A slot at one template: the web's name, its fore and aft face, each from below up.

    Both are (2, 2) [mm] in the chord's frame.
    """

    name: str
    fore: Floats
    aft: Floats

    @property
    def words(self) -> str:
        """Return what stands beside it."""
        return f"{self.name.upper().replace('_', ' ')} - CUT THROUGH, 2ND PASS"

    def way(self, core: Outline, kerf: float) -> Floats:
        """Return the wire's way (4, 2) [mm]: down the fore face and up the aft one.

        It keeps half a kerf [mm] inside of the slot, and goes out past the core above and below.
        """
        square = _square(self.fore)
        if float(np.min((self.aft - self.fore[:1]) @ square)) <= kerf:
            raise GeometryError(
                f"{self.name} is no thicker than the wire's kerf of {kerf:g} mm",
                part="wing",
                step=STEP,
                look_at=["handoff.cores.kerf", "handoff.cores.spar_slots"],
            )
        fore, aft = (_through(face, core) for face in (self.fore, self.aft))
        return np.concatenate([fore[::-1] + kerf / 2 * square, aft - kerf / 2 * _square(self.aft)])

    def area(self, core: Outline) -> shapely.Polygon:
        """Return what is taken out of a core's section."""
        both = np.concatenate([_through(self.fore, core)[::-1], _through(self.aft, core)])
        return shapely.Polygon(both).intersection(core.polygon())


def _square(face: Floats) -> Floats:
    """Return the way aft square to a face [1]."""
    way = face[1] - face[0]
    return np.asarray(np.array([way[1], -way[0]]) / np.hypot(*way))


def _through(face: Floats, core: Outline) -> Floats:
    """Return a face's line, from below up, as far as it goes through a core and past it [mm]."""
    way = (face[1] - face[0]) / np.hypot(*(face[1] - face[0]))
    far = shapely.LineString([face[0] - core.chord * way, face[0] + core.chord * way])
    inside = shapely.get_coordinates(far.intersection(core.polygon()))
    if len(inside) < 2:
        raise GeometryError("a web stands outside of the core", part="wing", step=STEP)
    at = (inside - face[0]) @ way
    return np.asarray(face[0] + np.outer([at.min() - PAST, at.max() + PAST], way))


def slots_of(piece: CorePiece, ends: Sequence[Laid]) -> list[tuple[WebSlot, WebSlot]]:
    """Return the slots of the webs that run through a core, at its root and its tip.

    `ends` has what parts take up at both templates.
    """
    names = [name for name in ends[0].areas if WEB.search(name) and name in ends[1].areas]
    return [
        (
            _slot(name, ends[0].areas[name], piece.ends[0]),
            _slot(name, ends[1].areas[name], piece.ends[1]),
        )
        for name in names
    ]


def ending_within(
    piece: CorePiece, ends: Sequence[Laid], inside: Sequence[InsidePart]
) -> list[str]:
    """Return the webs in a core that miss one of its templates, or both: they have no slot."""
    one, other = ({name for name in end.areas if WEB.search(name)} for end in ends)
    between = (
        part.name
        for part in inside
        if WEB.search(part.name) and part.name not in one | other and _within(piece, part)
    )
    return sorted((one ^ other) | set(between))


def _within(piece: CorePiece, part: InsidePart) -> bool:
    """Say whether a part stands in a core between its templates."""
    side = piece.panel.side
    a, b = sorted(side * y for y in (part.box.low[1], part.box.high[1]))
    low, high = max(a, piece.span[0]), min(b, piece.span[1])
    if high - low <= FINE:
        return False
    y = (low + high) / 2
    body = shapely.Polygon(piece.panel.section(y).ring())
    return bool(laid_along([part], side * y, body).areas)


def _slot(name: str, area: shapely.Geometry, section: CoreSection) -> WebSlot:
    """Return a web's faces: the two longest sides of its section."""
    piece = max(shapely.get_parts(area), key=lambda part: part.area)
    ring = along_chord(section, shapely.get_coordinates(piece.exterior.simplify(FINE)))
    sides = sorted(
        np.stack([ring[:-1], ring[1:]], axis=1), key=lambda side: -np.hypot(*(side[1] - side[0]))
    )[:2]
    upright = [side if side[1, 1] > side[0, 1] else side[::-1] for side in sides]
    fore, aft = sorted(upright, key=lambda side: float(side[:, 0].mean()))
    if abs(float(np.cross([*_square(fore), 0.0], [*_square(aft), 0.0])[2])) > PARALLEL:
        raise GeometryError(f"{name} has no two faces along it", part="wing", step=STEP)
    return WebSlot(name, np.asarray(fore), np.asarray(aft))


def taken_out(piece: CorePiece, slots: Sequence[tuple[WebSlot, WebSlot]], shop: Cores) -> float:
    """Return the foam [mm3] that slots take out of a core, beside what its cap troughs do."""
    areas = []
    for i, core in enumerate(piece.outlines):
        cut = shapely.union_all([pair[i].area(core) for pair in slots])
        caps = [np.concatenate(trough(core, cap, 0.0)) for cap in shop.caps]
        hulls = [shapely.MultiPoint(points).convex_hull for points in caps]
        areas.append(float(cut.difference(shapely.union_all(hulls)).area))
    low, high = piece.span
    return (high - low) * sum(areas) / 2


def slot_findings(
    piece: CorePiece,
    slots: Sequence[tuple[WebSlot, WebSlot]],
    lost: Sequence[str],
    drawings: Sequence[Drawing],
    inside: Sequence[InsidePart],
    shop: Cores,
) -> list[Check]:
    """Return how far the faces that the wire leaves are off each web's own ones [mm].

    The way is taken from both templates as drawn, and held to the web's solid there and midway.
    A warning for each web that is `lost`: it ends within the core.
    """
    rows = [
        found(
            f"core.slot.{piece.name}.{name}", "wing",
            f"{name} ends within this core: no slot for it; the core's length",
            piece.span[1] - piece.span[0], "mm", severity="warn",
            method="sections of the web at both templates and between", source="own choice",
            advice="cut the slot by hand as far as the web goes",
        )
        for name in lost
    ]  # fmt: skip
    for name in (pair[0].name for pair in slots):
        drawn = [_drawn(piece, drawings[i], i, name, shop.kerf) for i in (0, 1)]
        lines = [np.stack([in_flight(face, piece.ends[i])[:, [0, 2]] for face in drawn[i]])
                 for i in (0, 1)]  # fmt: skip
        places = (lines[0], (lines[0] + lines[1]) / 2, lines[1])
        at = [end.buttock_line for end in piece.ends]
        off = [
            _off(piece, places[k], y, name, inside)
            for k, y in enumerate((at[0], (at[0] + at[1]) / 2, at[1]))
        ]
        worst = int(np.argmax(off))
        rows.append(
            found(
                f"core.slot.{piece.name}.{name}", "wing",
                f"faces of the slot for {name} off the faces of the web", off[worst], "mm",
                high=shop.surface_tolerance.value, where=("root", "midway", "tip")[worst],
                method="lines of both templates, half a kerf off, to the web's solid at root, "
                "midway and tip",
                source=shop.surface_tolerance.source or "",
                advice="a wire cuts straight: part the core where the spar bends (handoff.cores."
                "bow), or set handoff.cores.spar_slots to false",
            )
        )  # fmt: skip
    return rows


def _drawn(
    piece: CorePiece, drawing: Drawing, end: int, name: str, kerf: float
) -> tuple[Floats, Floats]:
    """Return fore and aft face (2, 2) of a slot as a template has it, in the chord's frame."""
    (path,) = [one for one in drawing.paths if one.layer == CAP and one.name == name]
    points = np.array(path.points) * [across(piece.panel.side, FACES[end]), 1.0]
    fore, aft = points[1::-1], points[2:]
    return fore - kerf / 2 * _square(fore), aft + kerf / 2 * _square(aft)


def _off(
    piece: CorePiece, lines: Floats, y: float, name: str, inside: Sequence[InsidePart]
) -> float:
    """Return how far lines (2, 2, 2), station and waterline, are off a web's faces at a place."""
    section = piece.panel.section(abs(y))
    body = shapely.Polygon(section.ring())
    web = laid_along([part for part in inside if part.name == name], y, body).areas
    if name not in web:
        return float("inf")
    slot = _slot(name, web[name], section)
    off = [
        abs((in_flight(face, section)[:, [0, 2]] - line[0]) @ _square(line))
        for face, line in zip((slot.fore, slot.aft), lines, strict=True)
    ]
    return float(np.max(off))
