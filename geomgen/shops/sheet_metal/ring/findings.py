"""What is measured on a ring's drawings: holes that meet, edges, lengths, laps, mass."""

import math
from itertools import combinations

import numpy as np
import shapely

from geomgen.arrays import Floats
from geomgen.drafting.record import CUT, Drawing, Path
from geomgen.parameters.rules.shops import EDGE, PITCH
from geomgen.parameters.values.quantities import Threshold
from geomgen.shops.product import found
from geomgen.shops.sheet_metal.flat_pattern.solid import fitted_hole
from geomgen.shops.sheet_metal.ring.segments import RingFlange, Segment
from geomgen.shops.sheet_metal.ring.width import least_width
from geomgen.verdicts.check import Check

# Limits, own choice [mm].
MEET, LENGTH, DRAWN = 0.05, 0.5, 0.01
OWN, COMMON = "own choice", "common practice"
LOOK = "check handoff.sheet.ring_width, rivet_diameter, ring_segments"


def ring_findings(
    ring: RingFlange,
    sheet_drawing: Drawing,
    segments_drawing: Drawing,
    density: float,
    most: Threshold | None = None,
) -> list[Check]:
    """Return what is measured, for a density [kg/m3]; holes and lengths on the drawings alone."""
    cuts = cuts_of(segments_drawing)
    return [
        _holes_meet(ring, sheet_drawing, cuts),
        _edges(ring, cuts),
        _pitch(ring),
        _length(ring, cuts),
        *_clear(ring),
        *_lap(ring),
        _mass(ring, density, most),
    ]


def centres(paths: list[Path]) -> Floats:
    """Return the centres (n, 2) [mm] of round holes, each by its own outline."""
    return np.array([fitted_hole(np.array(path.dense(0.001))[:-1]).centre for path in paths])


def cuts_of(drawing: Drawing) -> list[tuple[Path, list[Path]]]:
    """Return each segment's cut on a drawing with the holes that lie in it."""
    cut = [path for path in drawing.paths if path.layer == CUT]
    outer = [path for path in cut if path.name.startswith("ring ")]
    holes = [path for path in cut if path.name.startswith("rivet ")]
    found = []
    for path in outer:
        shape = shapely.Polygon(path.dense(0.05))
        found.append((path, [h for h in holes if shape.contains(shapely.Point(h.points[0]))]))
    return found


def rigid(points: Floats, onto: Floats) -> tuple[Floats, Floats]:
    """Return turn (2, 2) and shift [mm] that lay points (n, 2) onto others by least squares.

    >>> turn, shift = rigid(np.array([[0.0, 0.0], [1.0, 0.0]]), np.array([[5.0, 5.0], [5.0, 6.0]]))
    >>> np.round(np.array([[2.0, 0.0]]) @ turn + shift, 9).tolist()
    [[5.0, 7.0]]
    """
    a, b = points.mean(axis=0), onto.mean(axis=0)
    u, _, vt = np.linalg.svd((points - a).T @ (onto - b))
    turn = u @ np.diag([1.0, float(np.sign(np.linalg.det(u @ vt)))]) @ vt
    return np.asarray(turn), np.asarray(b - a @ turn)


def _holes_meet(
    ring: RingFlange, sheet_drawing: Drawing, cuts: list[tuple[Path, list[Path]]]
) -> Check:
    """Lay each segment of its drawing onto the sheet's holes: as the riveter does."""
    on_sheet = centres([path for path in sheet_drawing.paths if path.name.startswith("rivet ")])
    worst, where, paired = 0.0, "", 0
    for segment, (_, holes) in zip(ring.segments, cuts, strict=True):
        own = len(holes) - segment.shared
        drawn = centres(holes)
        meant = centres(list(segment.holes))
        turn, shift = rigid(drawn[:own], meant[:own])
        placed = drawn @ turn + shift
        # Joggled, a tongue comes back by what its joggle takes up.
        placed[own:] -= segment.excess
        off = np.linalg.norm(placed[:, None] - on_sheet, axis=-1).min(axis=1)
        paired += len(off)
        if float(off.max()) >= worst:
            worst, where = float(off.max()), f"ring {segment.number}, rivet {int(off.argmax()) + 1}"
    return found(
        "sheet.ring_holes", "firewall",
        f"largest distance of a rivet's hole in the ring from the sheet's, {paired} holes", worst,
        "mm", high=MEET, where=where, source=OWN,
        method="circles of both drawings, each segment laid onto the sheet by its own holes",
        advice=LOOK,
    )  # fmt: skip


def _edges(ring: RingFlange, cuts: list[tuple[Path, list[Path]]]) -> Check:
    rows = []
    for number, (path, holes) in enumerate(cuts, 1):
        edge = shapely.LineString(path.dense(0.005))
        off = shapely.distance(shapely.points(centres(holes)), edge)
        rows.append((float(off.min()), f"ring {number}"))
    sheet = shapely.LineString(ring.flat.cut.dense(0.005))
    off = shapely.distance(shapely.points(np.array(ring.rivets)), sheet)
    rows.append((float(off.min()), "the sheet's edge"))
    least, where = min(rows)
    needed = least_width(ring.whole, ring.wish)
    advice = "widen handoff.sheet.ring_width or lap, or take a smaller rivet_diameter"
    if ring.wish.width < needed:
        advice = (
            f"the flange is bent by up to {max(tab.angle for tab in ring.whole.tabs):.0f} deg, "
            f"its bend and relief cuts begin further in: {needed:.1f} mm of "
            "handoff.sheet.ring_width would do, or take a smaller rivet_diameter"
        )
    return found(
        "sheet.ring_edge", "firewall", "least distance of a rivet's centre from an edge", least,
        "mm", low=EDGE * ring.wish.rivet - DRAWN, where=where,
        method="circles of the drawing against the cuts round them",
        source=f"{COMMON}: {EDGE:g} diameters", advice=advice,
    )  # fmt: skip


def _pitch(ring: RingFlange) -> Check:
    points = np.array(ring.rivets)
    off = np.linalg.norm(points[:, None] - points, axis=-1)
    np.fill_diagonal(off, np.inf)
    return found(
        "sheet.ring_pitch", "firewall", f"least distance of two of {len(points)} rivets",
        float(off.min()), "mm", low=PITCH * ring.wish.rivet - DRAWN,
        method="circles of the sheet's drawing", source=f"{COMMON}: {PITCH:g} diameters",
        advice="lengthen handoff.sheet.lap, or take fewer ring_segments",
    )  # fmt: skip


def inner_lengths(ring: RingFlange, cuts: list[tuple[Path, list[Path]]]) -> list[float]:
    """Return the length [mm] of each segment's edge away from the flange, by its drawn lines.

    It is the run of the cut whose lines all lie the ring's width inside of the sheet's outline.
    """
    border = shapely.LinearRing(ring.flat.sheet.outline)
    lengths = []
    for segment, (path, _) in zip(ring.segments, cuts, strict=True):
        turn, shift = rigid(np.array(path.points), np.array(segment.cut.points))
        total = 0.0
        for a, b, bulge in path.pieces():
            piece = Path((a, b), (bulge, 0.0), False)
            on_sheet = np.array(piece.dense(0.001)) @ turn + shift
            off = shapely.distance(shapely.points(on_sheet), border)
            if np.abs(off - ring.wish.width).max() < 0.1:
                total += piece.length()
        lengths.append(total)
    return lengths


def _length(ring: RingFlange, cuts: list[tuple[Path, list[Path]]]) -> Check:
    """Hold the segments to the flange: a line inside of a convex outline is 2 pi depths shorter."""
    lengths = inner_lengths(ring, cuts)
    inner = sum(lengths) - sum(math.hypot(*s.excess) for s in ring.segments)
    spans = ring.spans
    border = shapely.LinearRing(ring.flat.sheet.outline)
    for i, span in enumerate(spans):
        after = spans[(i + 1) % len(spans)]
        turn = ring.line.total if i + 1 == len(spans) else 0.0
        tip = span.end if span.tip is None else span.tip
        low, high = sorted((tip, after.begin + turn))
        way = 1.0 if after.begin + turn >= tip else -1.0
        rows = ring.line.at(np.linspace(low, high, 200), ring.wish.edge)
        inner += way * float(np.linalg.norm(np.diff(rows, axis=0), axis=1).sum())
    off = abs(inner + 2 * math.pi * ring.wish.width - border.length)
    listed = ", ".join(f"{length:.1f}" for length in lengths)
    return found(
        "sheet.ring_length", "firewall",
        f"segments' inner edges of {listed} mm, gaps added and laps taken off, against the "
        f"flange's length of {border.length:.1f} mm less 2 pi widths: difference", off, "mm",
        high=LENGTH, source=OWN, method="lines and arcs of the drawing", advice=LOOK,
    )  # fmt: skip


def _clear(ring: RingFlange) -> list[Check]:
    """Return the least room from the sheet's other holes, if it has some, to the ring's leg."""
    legs = [shapely.Polygon(segment.cut.dense(0.05)) for segment in ring.segments]
    rows = [
        (min(leg.distance(shapely.Point(hole.centre)) for leg in legs) - hole.diameter / 2, i + 1)
        for i, hole in enumerate(ring.flat.sheet.holes)
    ]
    if not rows:
        return []
    room, number = min(rows)
    return [
        found(
            "sheet.ring_room", "firewall",
            "least room between the ring and a hole through the sheet",
            room, "mm", low=ring.wish.edge, where=f"H{number}",
            method="hole and cut of the ring as they lie on the sheet", source=OWN,
            advice="narrow handoff.sheet.ring_width, or move the hole in firewall.penetrations",
        )
    ]  # fmt: skip


def _lap(ring: RingFlange) -> list[Check]:
    """Return the laps as they come to lie, and how far a tongue keeps off the next one's bend."""
    wish = ring.wish
    if wish.lap is None:
        return []
    laps, rooms = [], []
    shapes = [shapely.Polygon(segment.cut.dense(0.02)) for segment in ring.segments]
    for i, segment in enumerate(ring.segments):
        after = ring.segments[(i + 1) % len(ring.segments)]
        tongue = shapely.affinity.translate(shapes[i], *(-c for c in segment.excess))
        both = shapely.intersection(tongue, shapes[(i + 1) % len(shapes)])
        laps.append(both.area / (2 * wish.edge))
        for tab in after.tabs:
            start = shapely.LineString(tab.bend).buffer(
                ring.whole.bending.allowance(tab.angle) / 2, cap_style="flat"
            )
            rooms.append(float(both.distance(start)))
    pairs = combinations(range(len(shapes)), 2) if len(shapes) > 2 else ()
    crossed = [
        (i, j) for i, j in pairs
        if j - i not in (1, len(shapes) - 1) and shapes[i].intersects(shapes[j])
    ]  # fmt: skip
    return [
        found(
            "sheet.ring_lap", "firewall", "shortest lap of a segment over the next one",
            min(laps), "mm", low=2 * EDGE * wish.rivet - DRAWN,
            method="area that a tongue covers over its width, joggled",
            source=f"{COMMON}: {EDGE:g} diameters from a rivet to each end",
            advice="lengthen handoff.sheet.lap",
        ),
        found(
            "sheet.ring_tongue", "firewall", "least room between a tongue and the next one's bend",
            min(rooms) if not crossed else 0.0, "mm", low=0.1, source=OWN,
            method="tongues as they lie on the sheet against the beginnings of bends",
            advice="widen handoff.sheet.ring_width",
        ),
    ]  # fmt: skip


def mass_of(ring: RingFlange, density: float, segment: Segment | None = None) -> float:
    """Return the mass [kg] of one segment, or of all."""
    thick = ring.whole.bending.thickness
    every = [segment] if segment else ring.segments
    return sum(each.area() for each in every) * thick * density * 1e-9


def _mass(ring: RingFlange, density: float, most: Threshold | None) -> Check:
    """Hold sheet and segments as they are made to the firewall's limit of mass, if it has one."""
    sheet = ring.flat.area() * ring.flat.sheet.thickness * density * 1e-9
    segments = mass_of(ring, density)
    return found(
        "sheet.ring_mass", "firewall",
        f"mass of the sheet, {sheet:.3f} kg, and of {len(ring.segments)} segments, "
        f"{segments:.3f} kg, without rivets; the solid in the checks lacks the legs on the sheet",
        sheet + segments, "kg", high=most.value if most else None,
        severity="fail" if most else "info",
        method="area of the cuts x thickness x density",
        source=(most.source or "given in the parameter file, no source given") if most else "",
        advice="narrow handoff.sheet.ring_width, or allow more in rules.firewall_mass",
    )  # fmt: skip
