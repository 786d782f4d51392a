"""The engine's boxes and cylinders make one body: which stands apart, which way it joins, how far.

Whether bodies that come near each other meet is the kernel's to tell; here is what surely does not.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import dist, hypot, pi, prod

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.rules.clash import FieldClash, mm

Vec = tuple[float, float, float]
# Bodies nearer to each other than this [mm] are left to the kernel.
NEAR = 0.01
# Feet are dropped from one body on the other until what is known of the gap is this true [mm].
TRUE, STEPS = 1e-3, 400
KEYS = ("station", "buttock_line", "waterline")
WAYS = (("aft", "forward"), ("right", "left"), ("up", "down"))


@dataclass(frozen=True)
class EngineBody:
    """A box or an upright or level cylinder: middle and half sizes [mm], its round axis if any."""

    path: Path
    name: str
    middle: Vec
    half: Vec
    axis: int | None = None

    @property
    def words(self) -> str:
        """The body as a message calls it."""
        return f"{'.'.join(map(str, self.path))} {self.name!r}"

    @property
    def volume(self) -> float:
        """Its volume [mm3]."""
        return 8.0 * prod(self.half) * (1.0 if self.axis is None else pi / 4.0)

    def foot(self, at: Vec) -> Vec:
        """Return the place of the body [mm] that is nearest to a point [mm]."""
        off = [a - m for a, m in zip(at, self.middle, strict=True)]
        radius = [k for k in range(3) if self.axis is not None and k != self.axis]
        length = hypot(*(off[k] for k in radius))
        for k in range(3):
            if k not in radius:
                off[k] = min(max(off[k], -self.half[k]), self.half[k])
            elif length > self.half[k]:
                off[k] *= self.half[k] / length
        x, y, z = (m + o for m, o in zip(self.middle, off, strict=True))
        return (x, y, z)

    def reach(self, way: Vec) -> float:
        """Return how far the body reaches along a direction [mm]."""
        flat = [k for k in range(3) if self.axis is None or k == self.axis]
        round_ = [k for k in range(3) if k not in flat]
        far = sum(m * w for m, w in zip(self.middle, way, strict=True))
        far += sum(self.half[k] * abs(way[k]) for k in flat)
        return far + (self.half[round_[0]] * hypot(*(way[k] for k in round_)) if round_ else 0.0)


def bodies_of(p: Parameters) -> list[EngineBody]:
    """Return the bodies of a file's engine, boxes first."""
    if p.engine is None:
        return []
    found = [
        EngineBody(
            ("engine", "boxes", i),
            b.name,
            (b.station + b.length / 2, b.buttock_line, b.waterline),
            (b.length / 2, b.width / 2, b.height / 2),
        )
        for i, b in enumerate(p.engine.boxes)
    ]
    for i, c in enumerate(p.engine.cylinders):
        axis = "xyz".index(c.axis)
        x, y, z = (c.length / 2 if k == axis else c.diameter / 2 for k in range(3))
        middle = c.station + (c.length / 2 if axis == 0 else 0.0)
        at = (middle, c.buttock_line, c.waterline)
        found.append(EngineBody(("engine", "cylinders", i), c.name, at, (x, y, z), axis))
    return found


def gap(a: EngineBody, b: EngineBody) -> Vec | None:
    """Return the way [mm] that `a` has to go to meet `b`; None where they may meet already.

    The feet of each on the other come to the nearest places; a plane between the two, square to
    the way from one to the other, shows that they stand apart.

    >>> gap(EngineBody((), "a", (0, 0, 0), (1, 1, 1)), EngineBody((), "b", (5, 0, 0), (2, 2, 2), 2))
    (2.0, 0.0, 0.0)
    """
    on_b = b.middle
    for _ in range(STEPS):
        on_a = a.foot(on_b)
        on_b = b.foot(on_a)
        far = dist(on_a, on_b)
        if far < NEAR:
            return None
        x, y, z = ((q - p) / far for p, q in zip(on_a, on_b, strict=True))
        sure = -b.reach((-x, -y, -z)) - a.reach((x, y, z))
        if sure > far - TRUE:
            return (x * far, y * far, z * far)
    return None


def engine_is_one_body(p: Parameters) -> Iterator[FieldClash]:
    """Require that no body of the engine surely stands apart from all the others."""
    heaps = _heaps(bodies_of(p))
    if len(heaps) < 2:
        return
    heaps.sort(key=lambda heap: -sum(body.volume for body in heap))
    for heap in heaps[1:]:
        others = [body for other in heaps if other is not heap for body in other]
        pairs = [(a, b, way) for a in heap for b in others if (way := gap(a, b)) is not None]
        yield _stands_apart(*min(pairs, key=lambda pair: hypot(*pair[2])), len(heap))


def _heaps(bodies: Sequence[EngineBody]) -> list[list[EngineBody]]:
    """Return the bodies in heaps of those that may meet."""
    heaps: list[list[EngineBody]] = []
    for body in bodies:
        near = [heap for heap in heaps if any(gap(body, other) is None for other in heap)]
        heaps = [heap for heap in heaps if heap not in near]
        heaps.append([body, *(other for heap in near for other in heap)])
    return heaps


def _stands_apart(body: EngineBody, other: EngineBody, way: Vec, together: int) -> FieldClash:
    steps = [(k, step) for k, step in enumerate(way) if abs(step) >= TRUE]
    said = " and ".join(f"{mm(round(abs(step), 3))} {WAYS[k][step < 0]}" for k, step in steps)
    path, written, allowed = (
        body.path,
        f"{mm(round(hypot(*way), 3))} from it",
        "bodies that overlap",
    )
    if len(steps) == 1:
        ((k, step),) = steps
        path, at = (*path, KEYS[k]), _key_value(body, k)
        written = mm(at)
        allowed = f"{'more' if step > 0 else 'less'} than {mm(round(at + step, 3))}"
    them = f", with the {together - 1} that it carries" if together > 1 else ""
    return FieldClash(
        path,
        f"{body.name!r} stands apart from the rest of the engine, nearest to {other.words}",
        written,
        allowed,
        f"move it{them} more than {said}, or make it or the other larger until they overlap",
    )


def _key_value(body: EngineBody, k: int) -> float:
    """Return what stands in the file of a body's place along an axis [mm]: front or centre."""
    front = k == 0 and body.axis in (None, 0)
    return body.middle[k] - (body.half[k] if front else 0.0)


RULES: tuple[Callable[[Parameters], Iterator[FieldClash]], ...] = (engine_is_one_body,)
