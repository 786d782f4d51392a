"""Where the halves of a mould part: a plane, or a sheet that follows the maximum-breadth line."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from OCP.TopoDS import TopoDS_Shape, TopoDS_Solid
from shapely.geometry import LineString, Polygon

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.plates import flat_face
from geomgen.kernel.brep.primitives import cube
from geomgen.kernel.lofting.panels import ruled_halves
from geomgen.kernel.lofting.quadrants import sewn_pieces, side_lines
from geomgen.kernel.lofting.sewing import sew
from geomgen.kernel.lofting.surfaces import bezier_knots, bspline_surface, face_of
from geomgen.kernel.plain import Vec3, vec
from geomgen.kernel.solids.booleans import divide
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.shops import Mould
from geomgen.shapes.aerofoil import HALF, angles
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop import course, passage_rows
from geomgen.shops.moulds.bodies import (
    ON_LINES,
    body_grown,
    key_of,
    pull_directions,
    scoop_index,
    skin_grown,
    tip_ended,
)
from geomgen.shops.moulds.tip import Tip

# A breadth line that keeps its height to this [mm] is parted by a plane.
LEVEL = 1e-6
# Four corners that lie in a plane to this [mm] bound a plane face.
FLAT = 1e-9
# A sheet reaches this far past what it parts [mm].
PAST = 20.0
# Beyond the body's ends a sheet goes on as it ran for this share of what it reaches out [1].
EASE = 0.1
# A breadth line is followed in flat facets, this near to it [mm]; it is asked at so many points.
FACET, FINE = 0.2, 800


@dataclass(frozen=True)
class RuledStrip:
    """A strip of a sheet: poles (2, m, 3) [mm], straight across, a spline of `degree` along."""

    poles: Floats
    knots: Floats
    degree: int

    def moved(self, by: Floats) -> "RuledStrip":
        """Return the strip moved by a vector (3,) [mm]."""
        return replace(self, poles=self.poles + by)

    def surface_of(self, poles: Floats) -> TopoDS_Shape:
        """Return the face on other poles (2, m, 3) [mm] of the spline; a plane where it is one."""
        if poles.shape[1] == 2:
            a, b, c, d = poles[0, 0], poles[0, 1], poles[1, 1], poles[1, 0]
            corner = np.cross(b - a, d - a)
            if abs(np.dot(c - a, corner)) < FLAT * np.linalg.norm(corner):
                return flat_face([vec(at) for at in (a, b, c, d)])
        degrees = (1, self.degree)
        return face_of(
            bspline_surface(poles, bezier_knots(1), self.knots, degrees, np.ones(poles.shape[:2]))
        )


@dataclass(frozen=True)
class Split:
    """A split: a point of it [mm], its unit normal (the first half's pull), strips unless plane.

    `near` is how near [mm] the strips follow the line that they part the body on.
    """

    origin: Vec3
    normal: Vec3
    strips: tuple[RuledStrip, ...] = ()
    near: float = 0.0


@dataclass(frozen=True)
class MouldHalf:
    """One half of a moulded body: its name, its pull (unit vector away from the split), solid."""

    name: str
    pull: Vec3
    solid: TopoDS_Solid


def split_of(p: Parameters, mould: Mould, gap: float, reach: float) -> Split:
    """Return the split of a body grown by `gap` [mm]; a sheet reaches out by `reach` [mm]."""
    normal = pull_directions(p, mould)[0][1]
    if mould.part == "wing_tip":
        tip = tip_ended(p, mould, gap)
        if not tip.early:
            return _chord_sheet(tip.rows, normal, reach + PAST)
        return _thin_sheet(tip.rows, normal, reach + PAST)
    if mould.part in ON_LINES:
        if mould.split == "centre plane":
            return Split((0.0, 0.0, 0.0), normal)
        return _breadth_sheet(p, mould, gap, normal, reach + PAST)
    return Split(_middle_of_scoop(p, mould), normal)


def _breadth_sheet(p: Parameters, mould: Mould, gap: float, normal: Vec3, reach: float) -> Split:
    line = side_lines(skin_grown(p, mould, gap).faces[0], 0.0)
    x, y, z = line.poles[0]
    if np.ptp(line.poles[:, 2]) < LEVEL:
        return Split((float(x), float(y), float(z)), normal)
    wide = float(np.max(np.abs(line.poles[:, 1]))) + reach
    along = line.at(np.linspace(line.knots[0], line.knots[-1], FINE))[:, [0, 2]]
    bends = np.array(LineString(along).simplify(FACET).coords)
    bends = np.vstack(
        [
            *_level(bends[1], bends[0], reach),
            *bends[1:-1],
            *_level(bends[-2], bends[-1], reach)[::-1],
        ]
    )
    ruled = [np.array([[x, wide, z], [x, -wide, z]]) for x, z in bends]
    return Split((float(x), float(y), float(z)), normal, _strips(ruled), FACET)


def _level(inner: Floats, end: Floats, reach: float) -> tuple[Floats, Floats]:
    """Return where a breadth line (station, height) is level again beyond its end, outermost first.

    Not at the end itself: there the fold would touch a round nose, and no line tells where a
    touching line ends.
    """
    way = np.sign(end[0] - inner[0])
    slope = (end[1] - inner[1]) / abs(end[0] - inner[0])
    fold = end + EASE * reach * np.array([way, slope])
    level = np.array([way * (1 - EASE) * reach, 0.0])
    return fold + level, fold


def _strips(rows: list[Floats]) -> tuple[RuledStrip, ...]:
    return tuple(
        RuledStrip(np.stack([a, b], axis=1), bezier_knots(1), 1) for a, b in pairwise(rows)
    )


def _chord_sheet(rows: list[Floats], normal: Vec3, reach: float) -> Split:
    """Return the sheet through the chords of a wing tip, carried on beyond them on all sides."""
    chords = _chords(rows)
    first = _carried(chords[1], chords[0], reach)
    last = _carried(chords[-2], chords[-1], reach)
    wide = []
    for chord in [first, *chords, last]:
        way = (chord[1] - chord[0]) / np.linalg.norm(chord[1] - chord[0])
        wide.append(np.stack([chord[0] - reach * way, chord[1] + reach * way]))
    return _through(chords, wide, normal)


def _thin_sheet(rows: list[Floats], normal: Vec3, reach: float) -> Split:
    """Return the sheet through the chords of a tip that ends early, by foam just thick enough.

    Carried on by one share of each chord, it runs through the chords between outlines as well,
    where a twisted one that is carried on by one length leaves them by more than such an end's
    thickness; beyond the ends the chords are kept, that they may not shrink to nothing.
    """
    chords = _chords(rows)
    share = reach / min(np.linalg.norm(chord[1] - chord[0]) for chord in chords)
    ends = [_kept(chords[1], chords[0], reach), *chords, _kept(chords[-2], chords[-1], reach)]
    more = [share * (chord[1] - chord[0]) for chord in ends]
    wide = [chord + np.stack([-by, by]) for chord, by in zip(ends, more, strict=True)]
    return _through(chords, wide, normal)


def require_chords(p: Parameters, mould: Mould, tip: Tip) -> None:
    """Raise GeometryError where a tip that ends early is left by a chord, thin and much cambered.

    The halves of such a tip part on its chords.
    """
    for row in tip.rows if tip.early else ():
        for side in (row[: HALF + 1], row[HALF:]):
            ring = np.vstack([side, (row[0] + row[-1]) / 2])[:, [0, 2]]
            if not Polygon(ring).is_valid:
                raise GeometryError(
                    f"the split, through the chords, leaves the section at BL {row[0, 1]:.0f} mm: "
                    "what the skin leaves there is thinner than its camber is high; a thinner "
                    "laminate, or a section with less camber or more thickness, helps",
                    part=mould.part,
                    step="split",
                    look_at=["handoff.laminate", "wing.sections", key_of(p, mould)],
                )


def _chords(rows: list[Floats]) -> list[Floats]:
    return [np.stack([row[HALF], (row[0] + row[-1]) / 2]) for row in rows]


def _through(chords: list[Floats], wide: list[Floats], normal: Vec3) -> Split:
    x, y, z = np.mean(chords, axis=(0, 1))
    return Split((float(x), float(y), float(z)), normal, _strips(wide))


def _kept(inner: Floats, outer: Floats, reach: float) -> Floats:
    """Return the chord of `outer`, `reach` [mm] further out from `inner`."""
    way = outer.mean(axis=0) - inner.mean(axis=0)
    return np.asarray(outer + way * reach / abs(way[1]))


def _carried(inner: Floats, outer: Floats, reach: float) -> Floats:
    """Return the chord `reach` [mm] beyond `outer`, on the panel from `inner` to `outer`."""
    width = abs(float(outer[0, 1] - inner[0, 1]))
    return np.asarray(outer + (outer - inner) * reach / width)


def _middle_of_scoop(p: Parameters, mould: Mould) -> Vec3:
    """Return a point of a scoop's split: on its own middle plane, or where its mouth is widest."""
    pod, index = pod_lines(p), scoop_index(p, mould)
    s, c = p.scoops[index], course(p, pod, index)
    if mould.split == "centre plane":
        return (c.mouth, *c.frame.origin)
    middle = float(passage_rows(p, index, c, np.zeros(1)).middle[0])
    aside, off = s.width / 2 - s.corner_radius, s.height / 2 - s.corner_radius
    corners = c.frame.place(
        np.full(4, c.mouth),
        np.array([aside, -aside, aside, -aside]),
        middle + np.array([off, off, -off, -off]),
    )
    outboard = corners[:, 1] * (1.0 if c.frame.out[0] > -1e-9 else -1.0)
    widest = outboard > outboard.max() - LEVEL
    x, y, z = corners[widest].mean(axis=0)
    return (float(x), float(y), float(z))


def slab(strips: tuple[RuledStrip, ...], by: Vec3, part: str) -> TopoDS_Solid:
    """Return the solid between a sheet and the sheet moved by a vector [mm]."""
    way = np.array(by)
    faces: list[TopoDS_Shape] = []
    for strip in strips:
        faces += [strip.surface_of(strip.poles), strip.surface_of(strip.poles + way)]
        for side in strip.poles:
            faces.append(strip.surface_of(np.stack([side, side + way])))
    for edge in (strips[0].poles[:, 0], strips[-1].poles[:, -1]):
        flat = RuledStrip(np.stack([edge, edge + way]), bezier_knots(1), 1)
        faces.append(flat.surface_of(flat.poles))
    return sew(faces, part)


def half_space(split: Split, size: float) -> TopoDS_Solid:
    """Return the box behind a plane split (against its normal), `size` [mm] long on each side."""
    normal = np.array(split.normal)
    along = np.cross(normal, np.eye(3)[np.argmin(np.abs(normal))])
    along /= np.linalg.norm(along)
    corner = np.array(split.origin) - size / 2 * (along + np.cross(-normal, along))
    return cube(vec(corner), vec(-normal), vec(along), size)


def halves(p: Parameters, mould: Mould, gap: float) -> list[MouldHalf]:
    """Return both halves of the body grown by `gap` [mm], as it stands on the right.

    Raises GeometryError when a half falls into pieces, and as `body_grown` does.
    """
    named = pull_directions(p, mould)
    if mould.part in ON_LINES:
        skin = skin_grown(p, mould, gap)
        return [MouldHalf(n, way, sewn_pieces(skin, n, (), mould.part)[0]) for n, way in named]
    if mould.part == "wing_tip" and (tip := tip_ended(p, mould, gap)).early:
        # Foam just thick enough at its end: a cut through it would not prove right.
        require_chords(p, mould, tip)
        solids = ruled_halves(tip.rows, angles(), mould.part)
        return [MouldHalf(n, way, solid) for (n, way), solid in zip(named, solids, strict=True)]
    body = body_grown(p, mould, gap)
    size = 4.0 * max(loose_box(body).size)
    split = split_of(p, mould, gap, PAST)
    if split.strips:
        x, y, z = -size * np.array(split.normal)
        behind = slab(split.strips, (float(x), float(y), float(z)), mould.part)
    else:
        behind = half_space(split, size)
    made = divide(body, [behind], mould.part, "split")
    for pieces in made:
        if len(pieces) != 1:
            raise GeometryError(
                f"the split leaves {len(pieces)} pieces on one side",
                part=mould.part,
                step="split",
                look_at=[key_of(p, mould, "split")],
            )
    return [MouldHalf(n, way, found[0]) for (n, way), found in zip(named, made, strict=True)]
