"""Openings in the skin in line with the pins of a joint, that they are drawn through."""

from collections.abc import Sequence

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.kernel.brep.boxes import boxes_meet
from geomgen.kernel.brep.primitives import cylinder, mirrored
from geomgen.kernel.plain import vec
from geomgen.kernel.solids.fragments import Fragment
from geomgen.kernel.trimming.cutting import cut
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import AFT
from geomgen.shapes.piece import NamedSolid, left_of
from geomgen.shapes.wing_structure.joint_plan import JointPlan, joint_plan, pin_axis

STEP = "openings for pins"


def with_openings(p: Parameters, host: str, pieces: Sequence[NamedSolid]) -> list[NamedSolid]:
    """Return the parts of a host's skin with the openings that its joints ask for.

    GeometryError, naming the part, where they leave it in pieces.
    """
    joints = ((s, s.wing_joint) for s in p.spars if s.of == host and s.wing_joint)
    spars = [spar for spar, joint in joints if joint.access_hole is not None]
    if not spars:
        return list(pieces)
    far = max(max(Fragment(piece.solid).box.size) for piece in pieces)
    plans = [joint_plan(p, spar) for spar in spars]
    drills = [one for plan in plans for one in _drills(plan, far)]
    found: list[NamedSolid] = []
    for piece in pieces:
        right = next((one for one in found if left_of(one.name) == piece.name != one.name), None)
        found.append(_opened(piece, drills) if right is None else right.on_the_left())
    return found


def _drills(plan: JointPlan, far: float) -> list[TopoDS_Solid]:
    """Return a rod for each pin, from beside its end out through the skin [mm]."""
    wide = plan.joint.access_hole
    assert wide is not None
    aft = plan.joint.access_side == AFT
    way = vec((1 if aft else -1) * np.array(plan.frame.normal))
    off = plan.opening_from
    start = plan.ends[1] + off if aft else plan.ends[0] - off
    return [cylinder(pin_axis(plan, pin, start), way, wide / 2, far) for pin in plan.pins]


def _opened(piece: NamedSolid, drills: Sequence[TopoDS_Solid]) -> NamedSolid:
    body = piece.solid if piece.half is None else piece.half
    box = Fragment(body).box
    both = not piece.on_the_right and piece.half is None
    every = [*drills, *map(mirrored, drills)] if both else drills
    knives = [one for one in every if boxes_meet(box, Fragment(one).box)]
    if not knives:
        return piece
    solid = cut(body, knives, piece.name, STEP)
    return piece.trimmed(solid) if piece.half is None else piece.trimmed_half(solid)
