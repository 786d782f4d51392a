"""The line of the air over a surface that ends at a place: traced back to where it begins.

The surface is points with outward normals and the air's velocity along it there, in any order:
the middles of panels, or a grid. Between them the velocity is the plane through the nearest ones.
"""

from collections.abc import Generator
from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from geomgen.air.slow_layer.edge_speed import EdgeSpeed
from geomgen.arrays import Bools, Floats, Ints
from geomgen.errors import ParameterError

# So many of the nearest points carry the velocity between them: own choice, the square of three
# and a few more.
NEAREST = 12
# Fewer than these, or ones that face elsewhere (cosine), carry nothing.
LEAST, FACING = 4, 0.3
# A step, as a share of what the points are apart: own choice.
STEP = 0.5
# Points that reach across by less than this share of how far they reach along, as those of a ring
# round a nose, carry no plane: up to so many times as many are taken. Own choice.
ACROSS, MORE = 0.25, (1, 2, 4)
# Slower than this share of the free stream the line is at the stagnation point: own choice.
STANDS = 0.05
# Points no farther than this times the last one are as far as that [1]: own choice.
AS_FAR = 1.0 + 1e-6
# A place lies off the surface, or past its border, when it is further from the nearest point than
# points are apart and its points lie to one side of it: the distance to their middle over their
# root mean square distance, which is 0.6 on a straight border. Own choice.
OFF = 0.8
MANY = 5000


@dataclass(frozen=True, eq=False)
class SweptSurface:
    """A surface in the air: `points` [mm], outward `normals` [1] and `speeds` [1], each (n, 3).

    Speeds are velocities over the free stream's. Made by `of`, which checks them.
    """

    points: Floats
    normals: Floats
    speeds: Floats
    tree: cKDTree
    spacing: float

    @classmethod
    def of(cls, points: object, normals: object, speeds: object) -> "SweptSurface":
        """Return a surface of points [mm], normals [1] and speeds [1], each (..., 3).

        Raises ParameterError for shapes that differ, too few points, or numbers that are none.
        """
        at, out, along = (np.asarray(x, float).reshape(-1, 3) for x in (points, normals, speeds))
        if not len(at) == len(out) == len(along) or len(at) <= NEAREST:
            raise ParameterError(
                "points, normals and speeds must be as many, and more than a dozen",
                written=f"{len(at)}, {len(out)} and {len(along)}",
            )
        if not all(np.all(np.isfinite(x)) for x in (at, out, along)):
            raise ParameterError("points, normals and speeds must be finite numbers")
        lengths = np.linalg.norm(out, axis=1, keepdims=True)
        if np.any(lengths < 1e-9):
            raise ParameterError("a normal has no length")
        out = out / lengths
        along = along - np.sum(along * out, axis=1, keepdims=True) * out
        tree = cKDTree(at)
        apart = float(np.median(tree.query(at, k=2)[0][:, 1]))
        if apart <= 0:
            raise ParameterError("most points of the surface lie on each other")
        return cls(at, out, along, tree, apart)

    def look(self, places: Floats) -> "list[SurfaceSpot | ParameterError]":
        """Return the surface at the spots nearest places (n, 3) [mm]; an error for one off it."""
        count = min(2 * MORE[-1] * NEAREST, len(self.points))
        far, near = self.tree.query(places, k=count)
        # What faces away is the other side of something thin.
        facing = np.einsum("nkd,nd->nk", self.normals[near], self.normals[near[:, 0]]) > FACING
        own = self._carrying(near, far, facing)
        order = np.argsort(~own, axis=1, kind="stable")[:, : int(own.sum(axis=1).max())]
        far, near, own = (np.take_along_axis(x, order, axis=1) for x in (far, near, own))
        many = own.sum(axis=1)
        points, normals = self.points[near], self.normals[near]
        off = np.where(own[:, :, None], points - places[:, None], 0.0)
        to_one_side = np.linalg.norm(off.sum(axis=1), axis=1) / many
        reach = np.sqrt(np.einsum("nkd,nkd->n", off, off) / many)
        away = (far[:, 0] > self.spacing) & (to_one_side > OFF * reach)
        weights = np.where(own, 1.0 / (far**2 + (0.3 * self.spacing) ** 2), 0.0)
        weights = weights / weights.sum(axis=1, keepdims=True)
        normal = np.einsum("nk,nkd->nd", weights, normals)
        normal = normal / np.linalg.norm(normal, axis=1, keepdims=True)
        # Half by its own normal and half by the points': exact to the third order on a round.
        lift = np.einsum("nkd,nkd->nk", 0.5 * (normals + normal[:, None]), off)
        spots = places + np.einsum("nk,nk->n", weights, lift)[:, None] * normal
        plane = (
            np.concatenate([np.ones((*near.shape, 1)), points - spots[:, None]], axis=2)
            * np.sqrt(weights)[:, :, None]
        )
        fit = np.linalg.pinv(plane, rcond=1e-6) @ (np.sqrt(weights)[:, :, None] * self.speeds[near])
        speed = fit[:, 0] - np.einsum("nd,nd->n", fit[:, 0], normal)[:, None] * normal
        return [
            _too_few() if many[i] < LEAST
            else _astray(far[i, 0]) if away[i]
            else SurfaceSpot(spots[i], normal[i], speed[i], fit[i, 1:])
            for i in range(len(places))
        ]  # fmt: skip

    def _carrying(self, near: Ints, far: Floats, facing: Bools) -> Bools:
        """Say which of the points near each place (n, k) carry a plane: no more than it takes.

        Those that are as `far` as the last of them count too: on the plane of symmetry they come
        in pairs, and no last digit may choose a side.
        """
        rank, told = np.cumsum(facing, axis=1), np.zeros(len(near), dtype=bool)
        own = facing
        for more in MORE:
            last = np.where(facing & (rank <= more * NEAREST), far, 0.0).max(axis=1)
            first = facing & (far <= AS_FAR * last[:, None])
            own = np.where(told[:, None], own, first)
            middle = np.einsum("nk,nkd->nd", first, self.points[near]) / first.sum(axis=1)[:, None]
            off = np.where(first[:, :, None], self.points[near] - middle[:, None], 0.0)
            squares = np.linalg.eigvalsh(np.einsum("nki,nkj->nij", off, off))
            told |= squares[:, 1] >= ACROSS**2 * squares[:, 2]
            if told.all():
                break
        return own


def _too_few() -> ParameterError:
    return ParameterError("the surface has too few points there to follow the air")


def _astray(far: float) -> ParameterError:
    return ParameterError(
        "the place does not lie on the surface", written=f"{far:.1f} mm off its nearest point"
    )


@dataclass(frozen=True, eq=False)
class SurfaceSpot:
    """A spot on a surface (3,) [mm]: its normal [1], speed [1], and the speed's slopes [1/mm]."""

    place: Floats
    normal: Floats
    speed: Floats
    slopes: Floats

    def spread(self) -> float:
        """Return how fast neighbouring lines part, as a share of their distance [1/mm]."""
        size = float(np.linalg.norm(self.speed))
        across = np.cross(self.normal, self.speed / size)
        return float(across @ self.slopes @ across) / size

    def stands_within(self, step: float) -> bool:
        """Say whether the air, slowing as it does here, stands less than a step [mm] ahead."""
        along = _direction(self)
        return float(np.linalg.norm(self.speed)) < step * float(along @ self.slopes @ along)


@dataclass(frozen=True, eq=False)
class Streamline:
    """A line of the air, along the flow: `places` (n, 3), `stations` (n,) [mm], `ratios` (n,) [1].

    `widths` (n,) [1] is how far apart two neighbouring lines are, over what they are at its end:
    on a body of revolution that is the radius. `words` say how the line begins.
    """

    places: Floats
    stations: Floats
    ratios: Floats
    widths: Floats
    begins_still: bool
    words: str

    def edge(self, speed: float, viscosity: float) -> EdgeSpeed:
        """Return the edge speed along the line at a speed [m/s] and a viscosity [m2/s]."""
        return EdgeSpeed.of(
            *(self.stations, self.ratios), speed=speed, viscosity=viscosity, widths=self.widths
        )


def upstream(surface: SweptSurface, place: Floats, *, longest: float | None = None) -> Streamline:
    """Return the line that the air takes over a surface to a place (3,) [mm].

    Traced back by steps of half the points' distance until the air stands (its speed below a
    twentieth, turned round, or gone within a step), the surface ends, or the line is `longest`
    [mm]. Raises ParameterError for a place off the surface or where the air stands.

    >>> x, y = (v.ravel() for v in np.meshgrid(np.arange(0.0, 200, 10), np.arange(0.0, 100, 10)))
    >>> points = np.stack([x, y, 0 * x], axis=1)
    >>> flat = SweptSurface.of(points, [[0.0, 0.0, 1.0]] * 200, [[1.0, 0.0, 0.0]] * 200)
    >>> upstream(flat, np.array([150.0, 40.0, 0.0])).words
    'begins at the border of the surface'
    """
    (line,) = upstreams(surface, np.asarray(place, float)[None], longest=longest)
    if isinstance(line, ParameterError):
        raise line
    return line


def upstreams(
    surface: SweptSurface, places: Floats, *, longest: float | None = None
) -> list[Streamline | ParameterError]:
    """Return the lines to places (n, 3) [mm], followed together, as `upstream` does; or its error.

    >>> x, y = (v.ravel() for v in np.meshgrid(np.arange(0.0, 200, 10), np.arange(0.0, 100, 10)))
    >>> points = np.stack([x, y, 0 * x], axis=1)
    >>> flat = SweptSurface.of(points, [[0.0, 0.0, 1.0]] * 200, [[1.0, 0.0, 0.0]] * 200)
    >>> line, error = upstreams(flat, np.array([[150.0, 40.0, 0.0], [150.0, 400.0, 0.0]]))
    >>> len(line.places), error.problem
    (35, 'the place does not lie on the surface')
    """
    lines = [_followed(place, STEP * surface.spacing, longest) for place in places]
    found: dict[int, Streamline | ParameterError] = {}
    wanted = {i: next(line) for i, line in enumerate(lines)}
    while wanted:
        looked = surface.look(np.array(list(wanted.values())))
        for i, spot in zip(list(wanted), looked, strict=True):
            try:
                if isinstance(spot, ParameterError):
                    wanted[i] = lines[i].throw(spot)
                else:
                    wanted[i] = lines[i].send(spot)
            except StopIteration as end:
                found[i] = end.value
            except ParameterError as error:
                found[i] = error
            if i in found:
                del wanted[i]
    return [found[i] for i in range(len(lines))]


def _followed(
    place: Floats, step: float, longest: float | None
) -> Generator[Floats, SurfaceSpot, Streamline]:
    """Follow a line by steps [mm]: yields places to look at, is sent the spots or their errors."""
    spot = yield place
    if np.linalg.norm(spot.speed) < STANDS:
        raise ParameterError("the air stands at this place: no line leads there")
    spots, why = [spot], "too long: given up"
    for _ in range(MANY if longest is None else max(1, int(longest / step))):
        if len(spots) > 1 and spots[-1].stands_within(step):
            # A step further would be beyond the stagnation point, on another line.
            why = "begins where the air stands"
            break
        try:
            middle = yield spots[-1].place - 0.5 * step * _direction(spots[-1])
            ahead = yield spots[-1].place - step * _direction(middle)
        except ParameterError:
            why = "begins at the border of the surface"
            break
        if ahead.speed @ spots[-1].speed <= 0 or middle.speed @ spots[-1].speed <= 0:
            why = "begins where the air stands"
            break
        spots.append(ahead)
        if np.linalg.norm(ahead.speed) < STANDS:
            why = "begins where the air stands"
            break
    else:
        why = "begins where it was cut off" if longest is not None else why
    return _line(spots[::-1], why)


def _direction(spot: SurfaceSpot) -> Floats:
    return np.asarray(spot.speed / max(float(np.linalg.norm(spot.speed)), 1e-12))


def _line(spots: list[SurfaceSpot], why: str) -> Streamline:
    """Return spots along the flow as a line; a still beginning gets the stagnation point itself."""
    if len(spots) < 2:
        raise ParameterError(f"the line has no length: it {why} at this very place")
    places = np.array([spot.place for spot in spots])
    ratios = np.array([float(np.linalg.norm(spot.speed)) for spot in spots])
    steps = np.linalg.norm(np.diff(places, axis=0), axis=1)
    spread = np.array([spot.spread() for spot in spots])
    still = why == "begins where the air stands"
    logs = np.concatenate([[0.0], np.cumsum(0.5 * (spread[1:] + spread[:-1]) * steps)])
    widths = np.exp(np.clip(logs - logs[-1], -30.0, 30.0))
    stations = np.concatenate([[0.0], np.cumsum(steps)])
    if still:
        # Speed and width grow from nothing in a straight line over what is left.
        slope = max((ratios[1] - ratios[0]) / steps[0], 0.25 * ratios[1] / steps[0])
        left = ratios[0] / slope
        ahead = places[0] - left * _direction(spots[0])
        places = np.concatenate([ahead[None], places])
        stations = np.concatenate([[0.0], stations + left])
        ratios = np.concatenate([[0.0], ratios])
        round_nose = spread[0] * left > 0.5
        widths = np.concatenate([[0.0 if round_nose else widths[0]], widths])
    return Streamline(places, stations, ratios, widths, still, why)
