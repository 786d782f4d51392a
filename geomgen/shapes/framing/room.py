"""What has to stay free inside: room of controls and ways of a hand. Nothing is built of it."""

from itertools import pairwise

from geomgen.kernel.plain import HandWay, KeptFree, Limb, Vec3
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.attachments import ControlBox, ControlRun, WayPoint


def kept_free(p: Parameters) -> tuple[KeptFree, ...]:
    """Return the room that the controls of a file need [mm], of mirrored ones both hands."""
    if p.controls is None:
        return ()
    found: list[KeptFree] = []
    for box in p.controls.boxes:
        sides = ((1.0, "_right"), (-1.0, "_left")) if box.mirrored else ((1.0, ""),)
        found += [_of_box(box, sign, hand) for sign, hand in sides]
    for run in p.controls.runs:
        sides = ((1.0, "_right"), (-1.0, "_left")) if run.mirrored else ((1.0, ""),)
        found += [_of_run(run, sign, hand) for sign, hand in sides]
    return tuple(found)


def _of_box(box: ControlBox, sign: float, hand: str) -> KeptFree:
    x, y, z = box.station, sign * box.buttock_line, box.waterline
    low = (x, y - box.width / 2, z - box.height / 2)
    high = (x + box.length, y + box.width / 2, z + box.height / 2)
    return KeptFree(box.name + hand, box=(low, high))


def _of_run(run: ControlRun, sign: float, hand: str) -> KeptFree:
    radius = run.diameter / 2
    points = [_point(point, sign) for point in run.points]
    rods = tuple(
        Limb(f"{run.name}{hand}, run {i}", a, b, radius, radius)
        for i, (a, b) in enumerate(pairwise(points), 1)
    )
    return KeptFree(run.name + hand, rods=rods, through=run.through)


def _point(point: WayPoint, sign: float = 1.0) -> Vec3:
    return (point.station, sign * point.buttock_line, point.waterline)


def hand_ways(p: Parameters) -> tuple[HandWay, ...]:
    """Return the straight ways that a hand must have [mm]."""
    return tuple(
        HandWay(row.name, _point(row.start), _point(row.end), row.through or "") for row in p.access
    )
