"""Which bodies of a union do not touch the others, how far off they are, and what would do."""

from collections.abc import Sequence

from OCP.TopoDS import TopoDS_Shape

from geomgen.kernel.distance import Closest, closest
from geomgen.kernel.plain import Vec3
from geomgen.kernel.probing import Classifier, points_on
from geomgen.kernel.properties import volume

# Bodies nearer than this meet, if only at a point or along a line [mm].
MEET = 1e-4


def apart(
    bodies: Sequence[TopoDS_Shape], names: Sequence[str], pieces: Sequence[TopoDS_Shape]
) -> str:
    """Say of each body outside the largest piece of a union where it stands to the nearest other.

    >>> from geomgen.kernel.primitives import box
    >>> gear, silencer = box((0, 0, 0), (9, 9, 9)), box((11, 0, 0), (13, 9, 9))
    >>> print(apart([gear, silencer], ["gear", "silencer"], [gear, silencer]))
    silencer stands 2 mm clear of gear: move it more than 2 mm, or make it larger
    """
    own = [_piece_of(body, pieces) for body in bodies]
    sizes = [volume(piece, 1e-6).value for piece in pieces]
    main = sizes.index(max(sizes))
    return "; ".join(_told(i, bodies, names, own) for i in range(len(bodies)) if own[i] != main)


def _piece_of(body: TopoDS_Shape, pieces: Sequence[TopoDS_Shape]) -> int:
    """Return the number of the piece that holds a body: none of its points lies outside it."""
    points = points_on(body)
    return min(range(len(pieces)), key=lambda i: _outside(points, pieces[i]))


def _outside(points: Sequence[Vec3], piece: TopoDS_Shape) -> int:
    seen = Classifier(piece)
    return sum(seen.is_outside(point) for point in points)


def _told(
    number: int, bodies: Sequence[TopoDS_Shape], names: Sequence[str], own: Sequence[int]
) -> str:
    others = [j for j in range(len(bodies)) if own[j] != own[number]]
    near = {j: closest(bodies[number], bodies[j]) for j in others}
    nearest = min(others, key=lambda j: near[j].distance)
    found = near[nearest]
    if found.distance > MEET:
        far = f"{found.distance:.3g} mm"
        return (
            f"{names[number]} stands {far} clear of {names[nearest]}: move it more than {far}, "
            "or make it larger"
        )
    return (
        f"{names[number]} meets {names[nearest]} at a point or along a line only, at "
        f"{_place(found)}: let them overlap"
    )


def _place(found: Closest) -> str:
    x, y, z = (f"{value + 0.0:.1f}" for value in found.first)
    return f"STA {x}, BL {y}, WL {z} mm"
