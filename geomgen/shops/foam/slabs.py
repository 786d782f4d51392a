"""The slabs of a foam stack: where they begin and end, their sections, which face is the larger."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from OCP.TopoDS import TopoDS_Solid
from shapely import Polygon, distance, points

from geomgen.arrays import Floats
from geomgen.errors import GeometryError
from geomgen.kernel.lofting.bodies import body
from geomgen.kernel.lofting.offsets import offset_skin
from geomgen.parameters.records.shops import FoamStations
from geomgen.shapes.hull import PodLines
from geomgen.shops.flat_areas import SNAP, united
from geomgen.shops.foam.sections import FaceStrip, sections

Section = tuple[Floats, Floats]
# Faces that differ by less than this are not told apart by sanding [mm].
ALIKE = 0.05
FINE = 0.005
# A face is called the larger on a side where it stands out so much further than the other.
LEAD = 1.2
SIDES = ("above", "below", "at the sides")


@dataclass(frozen=True)
class Slab:
    """One slab: its two stations [mm]; outline (n, 2) y, z and normals (n, 3) at both and midway.

    An outline is empty where the slab ends in the point of a round nose or tail.
    """

    number: int
    front: float
    aft: float
    sections: tuple[Section, Section, Section]

    @cached_property
    def shapes(self) -> tuple[Polygon, Polygon, Polygon]:
        """Return the outlines of front, middle and aft as polygons."""
        a, m, b = (Polygon(o) if len(o) else Polygon() for o, _ in self.sections)
        return a, m, b

    @property
    def thickness(self) -> float:
        """Return the thickness [mm]."""
        return self.aft - self.front

    @property
    def volume(self) -> float:
        """Return the volume [mm3] as sanded: Simpson's rule over the three sections."""
        a, m, b = (shape.area for shape in self.shapes)
        return float((a + 4 * m + b) * self.thickness / 6)

    @property
    def cut_volume(self) -> float:
        """Return the volume [mm3] as cut from its blank, straight by the outer of all outlines."""
        return float(united(self.shapes).area * self.thickness)

    def box(self) -> tuple[Floats, Floats]:
        """Return the box (2,) each [mm] round all three outlines."""
        every = np.vstack([o for o, _ in self.sections if len(o)])
        return every.min(axis=0), every.max(axis=0)

    def bulge(self) -> float:
        """Return how far the middle stands out beyond both faces' outlines [mm]."""
        both = united([self.shapes[0], self.shapes[2]])
        out = float(_out(self.sections[1][0], both).max(initial=0.0))
        # Outlines are united on a grid; less than its width is none.
        return out if out > SNAP else 0.0

    @cached_property
    def standing_out(self) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the sides on which the front face stands out beyond the aft one, and the reverse.

        One of them is empty where one face's outline holds the other's; both where they are alike.
        """
        front, _, aft = self.shapes
        return _sides(
            _depths(self.sections[0][0], aft),
            _depths(self.sections[2][0], front),
        )


def _out(outline: Floats, shape: Polygon) -> Floats:
    """Return how far each point of an outline lies outside of a shape [mm]."""
    if not len(outline):
        return np.zeros(0)
    if shape.is_empty:
        return np.full(len(outline), np.inf)
    return np.asarray(distance(points(outline), shape.simplify(FINE)))


def _depths(outline: Floats, other: Polygon) -> tuple[float, Floats]:
    """Return how far [mm] an outline stands out of a shape: at most, and on average on SIDES."""
    if not len(outline):
        return 0.0, np.zeros(3)
    depth = _out(outline, other)
    low, high = outline.min(axis=0), outline.max(axis=0)
    y, z = ((outline - 0.5 * (low + high)) / (0.5 * (high - low))).T
    where = (z > np.abs(y), -z > np.abs(y), np.abs(y) >= np.abs(z))
    return float(depth.max()), np.array([depth[here].mean() for here in where])


def _sides(
    front: tuple[float, Floats], aft: tuple[float, Floats]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the sides of each face's outline where it stands out the further of both."""
    both = []
    for (most, mine), (others, its) in ((front, aft), (aft, front)):
        names = [side for side, a, b in zip(SIDES, mine, its, strict=True) if a > LEAD * b + FINE]
        if most <= ALIKE:
            names = []
        elif others <= ALIKE:
            names = ["all round"]
        both.append(tuple(names or ["in part"] if most > ALIKE else []))
    return both[0], both[1]


def core_body(
    pod: PodLines, skin: float, start: float | None = None, end: float | None = None
) -> TopoDS_Solid:
    """Return the full body `skin` [mm] inside the loft, whole or between two stations [mm].

    Its flat ends stay in their places, for the laminate goes round and not over them.
    """
    first = None if pod.lines.nose == "round" else pod.start
    last = None if pod.lines.tail == "round" else pod.end
    inset = offset_skin(
        pod.lines, skin, first if start is None else start, last if end is None else end, "pod"
    )
    return body(inset, "pod")


def reach(pod: PodLines, skin: float) -> tuple[float, float]:
    """Return the stations [mm] between which the core lies."""
    return (
        pod.start + (skin if pod.lines.nose == "round" else 0.0),
        pod.end - (skin if pod.lines.tail == "round" else 0.0),
    )


def spans(foam: FoamStations, ends: tuple[float, float]) -> list[tuple[float, float]]:
    """Return the stations [mm] of front and aft face of each slab, a template after each.

    No slab is thicker than the foam; the last is what remains. A rest thinner than the template
    makes no slab: the stack ends short of it.
    """
    start = ends[0] if foam.start is None else max(foam.start, ends[0])
    end = ends[1] if foam.end is None else min(foam.end, ends[1])
    if end - start < foam.slab:
        raise GeometryError(
            f"from station {start:.1f} mm to {end:.1f} mm there is no room for one slab",
            part="pod",
            step="foam stations",
            look_at=["handoff.foam.start", "handoff.foam.end", "handoff.foam.slab"],
        )
    pitch = foam.slab + foam.template_thickness
    count = int(np.ceil((end - start) / pitch - 1e-9))
    fronts = [start + i * pitch for i in range(count)]
    # Neighbours have to name the very same station, or its outline is made twice.
    afts = [x - foam.template_thickness for x in fronts[1:]] + [min(fronts[-1] + foam.slab, end)]
    return list(zip(fronts, afts, strict=True))


def cut_slabs(along: list[FaceStrip], pairs: Sequence[tuple[float, float]]) -> list[Slab]:
    """Return the slabs between pairs of stations [mm], cut from a body's faces."""
    wanted = sorted({x for a, b in pairs for x in (a, 0.5 * (a + b), b)})
    made = dict(zip(wanted, sections(along, wanted), strict=True))
    return [
        Slab(i, a, b, (made[a], made[0.5 * (a + b)], made[b]))
        for i, (a, b) in enumerate(pairs, start=1)
    ]
