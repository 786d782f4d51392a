"""The swept volume of the propeller as measured: its profile about the thrust line."""

from dataclasses import dataclass
from itertools import pairwise

from OCP.TopoDS import TopoDS_Shape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import Box
from geomgen.kernel.brep.primitives import revolved
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Axis
from geomgen.kernel.sections.revolution import Profile, profile_of
from geomgen.kernel.solids.distance import along


@dataclass(frozen=True)
class SweptSide:
    """A straight piece of the front (`way` 1) or back (-1): station over radius [mm].

    `at` is where it stands along the axis at the inner radius, `slope` how that grows outward.
    """

    way: float
    inner: float
    outer: float
    at: float
    slope: float

    def station(self, radius: float) -> float:
        """Return where it stands along the axis [mm] at a radius [mm].

        >>> SweptSide(1.0, 80.0, 600.0, -30.0, -0.1).station(180.0)
        -40.0
        """
        return self.at + self.slope * (radius - self.inner)


@dataclass(frozen=True)
class Swept:
    """The swept volume: thrust line, profile of (along it, radius) corners [mm], the part's name.

    >>> box = ((-3.0, 10.0), (-5.0, 60.0), (5.0, 60.0), (3.0, 10.0))
    >>> swept = Swept(Axis((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), box, "prop_disc")
    >>> swept.front, swept.back, swept.hole, swept.tip
    (-5.0, 5.0, 10.0, 60.0)
    """

    axis: Axis
    profile: Profile
    name: str

    @property
    def front(self) -> float:
        """Return how far ahead it reaches along the axis [mm]."""
        return min(s for s, _ in self.profile)

    @property
    def back(self) -> float:
        """Return how far aft it reaches along the axis [mm]."""
        return max(s for s, _ in self.profile)

    @property
    def tip(self) -> float:
        """Return its largest radius [mm]."""
        return max(r for _, r in self.profile)

    @property
    def hole(self) -> float:
        """Return the radius of the hub's hole [mm]."""
        return min(r for _, r in self.profile)

    @property
    def middle(self) -> float:
        """Return the middle of the blades' roots along the axis [mm]."""
        roots = [s for s, r in self.profile if r < self.hole + 1e-5]
        return 0.5 * (min(roots) + max(roots))

    def solid(self) -> TopoDS_Shape:
        """Return the volume that the profile sweeps."""
        return revolved(self.profile, self.axis)

    def sides(self) -> list[SweptSide]:
        """Return the pieces of front and back, from the hub out."""
        radii = sorted({round(r, 6) for _, r in self.profile})
        found = []
        for inner, outer in pairwise(radii):
            spans = [line for line in self._lines() if line[0][1] < outer and line[1][1] > inner]
            sides = [_side(*line, inner, outer) for line in spans]
            middle = 0.5 * (inner + outer)
            sides.sort(key=lambda side: side.station(middle))
            fore, aft = sides[0], sides[-1]
            found += [fore, SweptSide(-1.0, aft.inner, aft.outer, aft.at, aft.slope)]
        return found

    def _lines(self) -> list[tuple[tuple[float, float], tuple[float, float]]]:
        """Return the sides of the profile that lead outward, each from its inner end."""
        ends = pairwise((*self.profile, self.profile[0]))
        return [(min(a, b, key=_radius), max(a, b, key=_radius)) for a, b in ends if _apart(a, b)]


def _radius(corner: tuple[float, float]) -> float:
    return corner[1]


def _apart(a: tuple[float, float], b: tuple[float, float]) -> bool:
    return abs(a[1] - b[1]) > 1e-5


def _side(a: tuple[float, float], b: tuple[float, float], inner: float, outer: float) -> SweptSide:
    slope = (b[0] - a[0]) / (b[1] - a[1])
    return SweptSide(1.0, inner, outer, a[0] + slope * (inner - a[1]), slope)


def swept_volume(solid: TopoDS_Shape | None, model: Model) -> Swept:
    """Measure the swept volume itself; GeometryError where there is none, or no such body.

    `model` needs no parts: thrust line and name of the swept volume are all that is looked at.
    """
    if model.thrust_line is None or solid is None:
        raise GeometryError("there is no swept volume", part=model.swept)
    return Swept(model.thrust_line, profile_of(solid, model.thrust_line, model.swept), model.swept)


def least_gap(swept: Swept, box: Box) -> float:
    """Return a gap along the shaft [mm] that a box surely is not nearer than."""
    first, last = ends_of(swept.axis, box)
    return max(swept.front - last, first - swept.back)


def ends_of(axis: Axis, box: Box) -> tuple[float, float]:
    """Return the distances along an axis between which a box stands [mm]."""
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    corners = [(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)]
    at = [along(axis, corner) for corner in corners]
    return min(at), max(at)
