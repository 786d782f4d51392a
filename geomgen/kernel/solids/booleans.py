"""Cut, join and common part of solids, each proved by the volumes of what it made.

The kernel's booleans may lose material or return nothing without an error. Here the intersection
is worked out once and used twice: for the result and for the common part, so that the volumes must
add up; if they don't, that is a GeometryError, never a wrong solid.
"""

from collections import deque
from collections.abc import Sequence
from typing import Any

from OCP.BOPAlgo import BOPAlgo_PaveFiller
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Solid
from OCP.TopTools import TopTools_ListOfShape

from geomgen.errors import GeometryError
from geomgen.kernel.brep.boxes import boxes_meet, holds, loose_box
from geomgen.kernel.plain import Vec3
from geomgen.kernel.solids.apart import apart, pinched
from geomgen.kernel.solids.fragments import Fragment, told
from geomgen.kernel.solids.probing import Classifier, edge_within, points_on
from geomgen.kernel.solids.properties import volume as integrated
from geomgen.processes.role import threads_allowed

# Volumes of a boolean must add up to a share of the larger body, and to one of the smaller piece: a
# hole of which a part is missing is nothing beside a wing. No finer than volumes are known.
BALANCE, OF_SMALLER, KNOWN = 5e-6, 5e-3, 1e-7
# A piece smaller than this share of the whole is a crumb of the cut, not a second body.
CRUMB = 1e-9
EPS = 1e-6
FINE = 1e-9
# So many points of the pieces are looked at, at a few milliseconds each.
PROBES = 12
# Tolerances added to the kernel's own [mm], one after the other, when an answer is wrong.
FUZZY = (0.0, 1e-5, 1e-4, 1e-3)


_measured: deque[tuple[TopoDS_Shape, float]] = deque(maxlen=32)


def volume(shape: TopoDS_Shape) -> float:
    """Return the volume [mm3] by adaptive integration; remembers the last few shapes."""
    for known, size in _measured:
        if known.IsSame(shape):
            return size
    size = integrated(shape, EPS).value
    _measured.append((shape, size))
    return size


def solids_of(shape: TopoDS_Shape) -> list[TopoDS_Solid]:
    """Return the solids inside a shape."""
    found = []
    walk = TopExp_Explorer(shape, TopAbs_SOLID)
    while walk.More():
        found.append(TopoDS.Solid(walk.Current()))
        walk.Next()
    return found


def _listed(shapes: Sequence[TopoDS_Shape]) -> TopTools_ListOfShape:
    every = TopTools_ListOfShape()
    for shape in shapes:
        every.Append(shape)
    return every


def _operate(
    body: TopoDS_Shape, tools: Sequence[TopoDS_Shape], fuzzy: float
) -> tuple[list[TopoDS_Solid], list[TopoDS_Solid]] | None:
    """Return what of `body` lies outside and what inside `tools`; None when the kernel refuses."""
    filler = BOPAlgo_PaveFiller()
    filler.SetArguments(_listed([body, *tools]))
    filler.SetNonDestructive(True)
    filler.SetRunParallel(threads_allowed())
    filler.SetFuzzyValue(fuzzy)
    filler.Perform()
    if filler.HasErrors():
        return None
    found = []
    for operation in (BRepAlgoAPI_Cut(filler), BRepAlgoAPI_Common(filler)):
        operation.SetArguments(_listed([body]))
        operation.SetTools(_listed(tools))
        operation.SetRunParallel(threads_allowed())
        operation.Build()
        if not operation.IsDone():
            return None
        found.append(solids_of(operation.Shape()))
    return found[0], found[1]


def _wrong(
    body: TopoDS_Shape,
    tools: Sequence[TopoDS_Shape],
    outside: list[TopoDS_Solid],
    inside: list[TopoDS_Solid],
) -> str:
    """Return what is wrong with a division of `body`, or nothing.

    What of it lies against a tool tells nothing about either side: only points off its skin do.
    """
    sides = (outside, inside)
    whole, sizes = volume(body), [sum(map(volume, side)) for side in sides]
    if abs(whole - sum(sizes)) > _slack(whole, sizes):
        # A thin hull's two walls nearly cancel; look again, more finely, before refusing.
        whole = integrated(body, FINE).value
        sizes = [sum(integrated(part, FINE).value for part in side) for side in sides]
        lost = whole - sum(sizes)
        if abs(lost) > _slack(whole, sizes):
            return f"lost {lost:.3f} mm^3 of {whole:.3f} mm^3, pieces of {min(sizes):.3f} mm^3"
    missed = _missed(body, tools, inside)
    if missed:
        return missed
    for piece in outside:
        if not BRepCheck_Analyzer(piece).IsValid():
            return "made a faulty solid"
    for tool in tools:
        box, seen = loose_box(tool), Classifier(tool)
        left = [point for piece in outside for point in points_on(piece) if holds(box, point)]
        for point in _spread(left):
            if seen.surely_inside(point):
                return f"left material at {point}"
    seen_all = [Classifier(tool) for tool in tools]
    for point in (point for piece in inside for point in _spread(points_on(piece))):
        if all(seen.surely_outside(point) for seen in seen_all):
            return f"took material at {point}"
    return ""


def _slack(whole: float, sizes: Sequence[float]) -> float:
    """Return what volumes of a division may be off [mm3]."""
    least = min(sizes)
    apart = OF_SMALLER * least if least > 0.0 else BALANCE * whole
    return min(BALANCE * whole, max(apart, KNOWN * whole))


def _missed(
    body: TopoDS_Shape, tools: Sequence[TopoDS_Shape], inside: Sequence[TopoDS_Shape]
) -> str:
    """Return that a tool runs through the body and took nothing: of a thin one no point tells."""
    boxes = [loose_box(piece) for piece in inside]
    for tool in tools:
        if any(boxes_meet(loose_box(tool), box) for box in boxes):
            continue
        point = edge_within(tool, body)
        if point is not None:
            return f"missed what runs through it at {point}"
    return ""


def _spread(points: list[Vec3]) -> list[Vec3]:
    """Return some of the points, evenly chosen."""
    return points[:: max(1, len(points) // PROBES)]


def divide(
    body: TopoDS_Shape, tools: Sequence[TopoDS_Shape], part: str, step: str
) -> tuple[list[TopoDS_Solid], list[TopoDS_Solid]]:
    """Return the pieces of `body` outside and inside `tools`, proved by volumes and by points.

    The kernel now and then misses a crossing and hands the body back uncut; then it is asked again
    with a little more tolerance. GeometryError when no answer proves right.
    """
    wrong = ""
    for fuzzy in FUZZY:
        answer = _operate(body, tools, fuzzy)
        if answer is None:
            wrong = "the kernel refuses"
            continue
        wrong = _wrong(body, tools, *answer)
        if not wrong:
            return answer
    raise GeometryError(f"the cut failed its check: {wrong}", part=part, step=step)


def cut_pieces(
    body: TopoDS_Shape, knives: Sequence[TopoDS_Shape], part: str, step: str
) -> list[TopoDS_Solid]:
    """Return the pieces of `body` outside `knives`, largest first."""
    pieces, _ = divide(body, knives, part, step)
    return sized(pieces, volume(body))


def sized(pieces: Sequence[TopoDS_Solid], whole: float) -> list[TopoDS_Solid]:
    """Return the pieces of a body of volume `whole` [mm3], largest first, without cut's dust."""
    kept = [(volume(piece), piece) for piece in pieces]
    kept = [pair for pair in kept if pair[0] > CRUMB * whole]
    return [piece for _, piece in sorted(kept, key=lambda item: -item[0])]


def cut(body: TopoDS_Solid, knives: Sequence[TopoDS_Shape], part: str, step: str) -> TopoDS_Solid:
    """Return `body` without `knives`, one solid; GeometryError when it falls apart or vanishes.

    The knives must not overlap each other: their shares of the body are added up.
    """
    piece: TopoDS_Solid = only(cut_pieces(body, knives, part, step), part, step)
    return piece


def only(pieces: Sequence[Any], part: str, step: str) -> Any:
    """Return the one piece that a cut leaves; GeometryError where it leaves none or several."""
    if not pieces:
        raise GeometryError("the cut removes the whole part", part=part, step=step)
    if len(pieces) > 1:
        raise GeometryError(
            f"it falls into {len(pieces)} pieces: {told([Fragment(piece) for piece in pieces])}",
            part=part,
            step=step,
        )
    return pieces[0]


def common(a: TopoDS_Shape, b: TopoDS_Shape, part: str, step: str) -> list[TopoDS_Solid]:
    """Return the solids that `a` and `b` share, proved like a cut."""
    return divide(a, [b], part, step)[1]


def fuse(
    bodies: Sequence[TopoDS_Solid], part: str, step: str, names: Sequence[str] = ()
) -> TopoDS_Solid:
    """Return the one solid of bodies that touch or overlap; GeometryError when they do not.

    Bodies that meet at a point or along a line alone do not touch. `names` are what a message
    calls the bodies; the numbers of their order when left out.
    """
    known = list(names) or [f"body {number}" for number in range(1, len(bodies) + 1)]
    whole: TopoDS_Shape = bodies[0]
    for name, other in zip(known[1:], bodies[1:], strict=True):
        whole = _joined(whole, other, name, part, step)
    pieces = solids_of(whole)
    if len(pieces) != 1:
        problem = f"its bodies do not touch: {apart(bodies, known, pieces)}"
        raise GeometryError(problem, part=part, step=step)
    pinch = pinched(pieces[0], bodies, known)
    if pinch:
        raise GeometryError(pinch, part=part, step=step)
    return pieces[0]


def _joined(
    whole: TopoDS_Shape, other: TopoDS_Solid, name: str, part: str, step: str
) -> TopoDS_Shape:
    rest, _ = divide(other, [whole], part, f"{step}, {name}")
    joined = BRepAlgoAPI_Fuse(whole, other)
    if not joined.IsDone():
        raise GeometryError(f"the kernel can't join {name}", part=part, step=step)
    lost = volume(whole) + sum(map(volume, rest)) - volume(joined.Shape())
    if abs(lost) > BALANCE * volume(whole):
        raise GeometryError(f"joining {name} lost {lost:.3f} mm^3", part=part, step=step)
    return joined.Shape()
