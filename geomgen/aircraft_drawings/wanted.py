"""Which overall dimensions each view of the machine carries, from the solids that there are."""

import math

from geomgen.aircraft_drawings.dimensioning import Side, Wanted
from geomgen.aircraft_drawings.measures import Measures
from geomgen.kernel.brep.boxes import Box, boxes_meet
from geomgen.kernel.plain import Vec3
from geomgen.kernel.visibility.look import Look

# Wheels whose axles stand nearer than this count as one pair [mm].
PAIR = 1.0
CUT = "AS CUT"
STATION = "firewall station"
# A point of the pod no further from the wing is at the edge of its cut-out [mm].
AT_CUT = 5.0
# The middle of an upright sheet stands no further behind its front [mm].
UPRIGHT = 5.0


def wanted_in(view: str, look: Look, m: Measures) -> list[Wanted]:
    """Return the dimensions of the "side", "plan" or "front" view in its coordinates [mm].

    Measures of parts that the machine does not have are left out.
    """
    found: list[Wanted | None] = []
    if view == "side":
        found = [_length(m, look), _pod(m, look, 0), _pod(m, look, 2), _firewall(m, look)]
        found += [_gap(m, look), _wheel_base(m, look), _height(m, look)]
    elif view == "plan":
        found = [
            _span(m, look),
            _pod(m, look, 1),
            _uncut(m, look),
            _booms(m, look),
            _tailplane(m, look),
        ]
    else:
        found = [_disc(m, look), _track(m, look)]
    return [wanted for wanted in found if wanted is not None]


def _between(
    look: Look, a: Vec3, b: Vec3, sides: tuple[Side, ...], prefix: str, name: str
) -> Wanted:
    return Wanted(look.flat(a), look.flat(b), sides, f"{prefix} ", name)


def _length(m: Measures, look: Look) -> Wanted:
    nose, tail = m.furthest(0, False), m.furthest(0, True)
    return _between(look, nose, tail, ("below", "above"), "LENGTH", "overall length")


def _pod(m: Measures, look: Look, axis: int) -> Wanted | None:
    pods = m.family("pod")
    if not pods:
        return None
    # Glazing is of the pod's outside.
    glazing = m.family("canopy")
    parts = [pods[0], *glazing]
    low = min((m.extreme(part, axis, False) for part in parts), key=lambda at: at[axis])
    high = max((m.extreme(part, axis, True) for part in parts), key=lambda at: at[axis])
    word = ("POD LENGTH", "POD BREADTH", "POD HEIGHT")[axis]
    sides: tuple[Side, ...] = ("left", "right") if axis == 2 else ("below", "above")
    shown = word
    if axis == 0 and m.family("exit"):
        shown = "POD LENGTH LESS EXIT"
    elif axis and (
        (m.model.glazed_skin and not glazing) or _beside_wing(m, low) or _beside_wing(m, high)
    ):
        # Uncut, as its plug is, it may reach further: see `_uncut`.
        shown = f"{word} {CUT}"
    return _between(look, low, high, sides, shown, word.lower())


def _uncut(m: Measures, look: Look) -> Wanted | None:
    """Return the breadth of the pod's plug, where the pod's own is not that of the whole skin."""
    own = _pod(m, look, 1)
    ends = m.model.uncut.get(m.family("pod")[0]) if own else None
    if own is None or ends is None or not own.prefix.endswith(f"{CUT} "):
        return None
    return _between(look, *ends, own.sides, "POD BREADTH UNCUT", "pod breadth uncut")


def _beside_wing(m: Measures, point: Vec3) -> bool:
    """Say whether a pod's extreme point [mm] stands at the edge of the wing's cut-out."""
    x, y, z = point
    low, high = (x - AT_CUT, y - AT_CUT, z - AT_CUT), (x + AT_CUT, y + AT_CUT, z + AT_CUT)
    near = Box(low, high)
    return any(
        boxes_meet(m.scene.box(part), near) and m.gap(part, point) < AT_CUT
        for part in m.family("wing")
    )


def _firewall(m: Measures, look: Look) -> Wanted | None:
    plane = m.model.firewall_plane
    parts = m.family("firewall")
    if plane is None or not parts:
        return None
    box = m.scene.box(parts[0])
    face, datum = box.low, (0.0, box.low[1], box.low[2])
    # What leans, or has its flange ahead, has no one station: the figure is where it begins.
    word = "FIREWALL" if plane.origin[0] - face[0] < UPRIGHT else "FIREWALL FOREMOST"
    return _between(look, datum, face, ("below", "above"), word, STATION)


def _gap(m: Measures, look: Look) -> Wanted | None:
    found = m.trailing_edge()
    if found is None:
        return None
    edge, disc = found
    return _between(look, edge, disc, ("within", "above"), "TE TO DISC", "trailing edge to disc")


def _axles(m: Measures) -> list[Vec3]:
    return [m.scene.box(part).centre for part in m.family("wheel")]


def _pair(m: Measures) -> tuple[Vec3, Vec3] | None:
    """Return the axles of the main wheels: of wheels abreast, those that the ground is laid under.

    The ground that the machine stands on begins at the foot of a main wheel. Without a ground
    wheels abreast are the mains only where there is no second pair of them.
    """
    axles = sorted(_axles(m), key=lambda axle: axle[1])
    pairs = [
        (a, b)
        for i, a in enumerate(axles)
        for b in axles[i + 1 :]
        if abs(a[0] - b[0]) < PAIR and b[1] - a[1] > PAIR
    ]
    ground = m.ground()
    if ground is None:
        return pairs[0] if len(pairs) == 1 else None
    x, y, _ = ground.plane.origin

    def off(pair: tuple[Vec3, Vec3]) -> tuple[float, float]:
        return abs(pair[0][0] - x), abs((pair[1][1] - pair[0][1]) / 2 - abs(y))

    return min(pairs, key=lambda pair: tuple(round(way, 3) for way in off(pair)), default=None)


def _track(m: Measures, look: Look) -> Wanted | None:
    pair = _pair(m)
    if pair is None:
        return None
    return _between(look, *pair, ("below", "above"), "TRACK", "track")


def _wheel_base(m: Measures, look: Look) -> Wanted | None:
    pair = _pair(m)
    others = [a for a in _axles(m) if pair is None or abs(a[0] - pair[0][0]) > PAIR]
    if pair is None or not others:
        return None
    other = max(others, key=lambda axle: abs(axle[0] - pair[0][0]))
    first, last = sorted((pair[0], other))
    return _between(look, first, last, ("below", "above"), "WHEELBASE", "wheel base")


def _height(m: Measures, look: Look) -> Wanted | None:
    ground = m.ground()
    if ground is None:
        return None
    top, normal = m.highest(ground), ground.plane.normal
    off = sum((t - o) * n for t, o, n in zip(top, ground.plane.origin, normal, strict=True))
    x, y, z = (t - off * n for t, n in zip(top, normal, strict=True))
    tilt = -math.degrees(math.atan2(normal[0], normal[2]))
    a, b = look.flat((x, y, z)), look.flat(top)
    return Wanted(a, b, ("right",), "HEIGHT ", "height over the ground", tilt)


def _span(m: Measures, look: Look) -> Wanted:
    left, right = m.furthest(1, False), m.furthest(1, True)
    return _between(look, right, left, ("above", "below"), "SPAN", "span")


def _booms(m: Measures, look: Look) -> Wanted | None:
    boxes = [m.scene.box(part) for part in m.family("boom")]
    sides = [[b for b in boxes if sign * b.centre[1] > 0.0] for sign in (-1.0, 1.0)]
    if not all(sides):
        return None
    # Of a boom in several parts the aftmost counts.
    a, b = (_aft_centre(max(side, key=lambda box: box.high[0])) for side in sides)
    return _between(look, a, b, ("above",), "BOOMS", "boom spacing")


def _aft_centre(box: Box) -> Vec3:
    return (box.high[0], box.centre[1], box.centre[2])


def _tailplane(m: Measures, look: Look) -> Wanted | None:
    parts = m.family("tailplane")
    if not parts:
        return None
    a = min((m.extreme(part, 1, False) for part in parts), key=lambda p: p[1])
    b = max((m.extreme(part, 1, True) for part in parts), key=lambda p: p[1])
    return _between(look, a, b, ("above",), "TAILPLANE", "tailplane span")


def _disc(m: Measures, look: Look) -> Wanted | None:
    parts = m.family(m.model.swept)
    if not parts:
        return None
    a, b = m.extreme(parts[0], 1, False), m.extreme(parts[0], 1, True)
    return _between(look, a, b, ("above", "below"), "SWEPT DIA", "swept diameter")
