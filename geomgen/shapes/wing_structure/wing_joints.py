"""Joints where the outer wing comes off, as solids: plates, packings, pins, the webs drilled."""

from dataclasses import replace

import numpy as np
from OCP.TopoDS import TopoDS_Solid

from geomgen.errors import looking_at
from geomgen.kernel.brep.plates import flat_face, pierced_face, plate
from geomgen.kernel.brep.primitives import mirrored
from geomgen.kernel.brep.wires import outer_wire
from geomgen.kernel.plain import BoltedPlate, FlatSheet, PinJoint, Plane, Vec3, vec
from geomgen.kernel.trimming.drilling import Drill, drilled
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.wing import AFT, skin_gap_of, socket_of, wing_joint_names
from geomgen.shapes.piece import NamedSolid, left_of
from geomgen.shapes.wing_structure.inner_room import InnerRoom
from geomgen.shapes.wing_structure.joint_plan import JointPlan, JointPlate, joint_plans, pin_axis
from geomgen.shapes.wing_structure.spar_lines import OUTER
from geomgen.shapes.wing_structure.spars import spars
from geomgen.shapes.wing_structure.webs import mirror_sheet

COLOUR, PIN_COLOUR = (0.45, 0.47, 0.52), (0.72, 0.66, 0.42)
CAUTION = (
    "the joint of the outer wing is geometry, not strength: plates, pins, webs and what holds them "
    "have to be designed and checked by someone qualified"
)
# A drill runs past both ends of its pin [mm].
PAST = 1.0


def spars_and_joints(p: Parameters) -> list[NamedSolid]:
    """Return the spars, webs drilled for pins, and what stands at their joints, both hands."""
    # Whether there is room for a joint is known before its spar is parted.
    plans = joint_plans(p)
    found: list[NamedSolid] = []
    for piece in spars(p):
        right = next((one for one in found if left_of(one.name) == piece.name), None)
        if plans and right is not None:
            piece = piece.trimmed(mirrored(right.solid))
        found.append(_drilled(piece, plans) if right is None else piece)
    for i, plan in enumerate(plans):
        with looking_at(f"spars.{plan.spar.name}.wing_joint"):
            own = [*_plates(plan), *_pins(plan)]
        own[0] = own[0].noted(CAUTION) if i == 0 else own[0]
        found += [hand for one in own for hand in (one, one.on_the_left())]
    return found


def _plates(plan: JointPlan) -> list[NamedSolid]:
    return [
        NamedSolid(_name(plan, one), "joint_plate", plate_solid(plan, one), COLOUR)
        for one in plan.plates
    ]


def _name(plan: JointPlan, one: JointPlate) -> str:
    return f"{wing_joint_names(plan.spar)[0]}_{one.name}_right"


def plate_solid(plan: JointPlan, one: JointPlate) -> TopoDS_Solid:
    """Return a plate or packing [mm], its holes cut."""
    face, half = plan.frame.moved(plan.foot(one)), plan.joint.plate_depth / 2
    sides = ((one.low, -half), (one.high, -half), (one.high, half), (one.low, half))
    outline = outer_wire(flat_face([face.lifted(corner) for corner in sides]))
    drilled = [] if one.packs else [face.lifted(pin) for pin in plan.pins]
    sheet = pierced_face(face.plane, outline, (), drilled, plan.hole / 2)
    return plate(sheet, vec(plan.joint.plate_thickness * np.array(face.normal)))


def _pins(plan: JointPlan) -> list[NamedSolid]:
    name = wing_joint_names(plan.spar)[1]
    return [
        NamedSolid(
            f"{name}_{number}_right", "joint_pin",
            _along(plan, pin, plan.joint.pin_diameter, 0.0).rod(), PIN_COLOUR,
        )
        for number, pin in enumerate(plan.pins, start=1)
    ]  # fmt: skip


def _along(plan: JointPlan, pin: tuple[float, float], diameter: float, more: float) -> Drill:
    low, high = plan.ends[0] - more, plan.ends[1] + more
    return Drill(pin_axis(plan, pin, low), plan.frame.normal, diameter / 2, high - low)


def _for_nut(plan: JointPlan, pin: tuple[float, float]) -> Drill:
    """Return what drills the other web of a box in line with a pin."""
    assert plan.joint.nut_hole is not None
    way, far = plan.frame.normal, plan.breadth + PAST
    if plan.joint.side == AFT:
        way = vec(-np.array(way))
    # From between the webs on.
    start = pin_axis(plan, pin, 0.0 if plan.joint.side == AFT else plan.spar.web)
    return Drill(start, way, plan.joint.nut_hole / 2, far)


def _drilled(piece: NamedSolid, plans: list[JointPlan]) -> NamedSolid:
    """Return a spar's piece, none of the left, with the holes of the pins that go through it."""
    for plan in plans:
        stem = f"spar_{plan.spar.name}_"
        rest = piece.name.removeprefix(stem)
        what = rest.removesuffix("_right").removesuffix("_left").removesuffix(OUTER)
        if piece.name.startswith(stem) and what in (*plan.webs, *plan.other_webs):
            outer = OUTER in rest.removeprefix(what)
            own = [pin for pin in plan.pins if (pin[0] > 0.0) == outer]
            drills = [_along(plan, pin, plan.hole, PAST) if what in plan.webs
                      else _for_nut(plan, pin) for pin in own]  # fmt: skip
            if not piece.on_the_right:
                drills += [drill.on_the_left() for drill in drills]
            if drills:
                return piece.trimmed(drilled(piece.solid, drills, piece.name, "holes for pins"))
    return piece


def joint_sheets(p: Parameters) -> dict[str, FlatSheet]:
    """Return plates and packings as flat sheets [mm] by name, both hands; front face forward."""
    found: dict[str, FlatSheet] = {}
    for plan in joint_plans(p):
        for one in plan.plates:
            face, name = plan.frame.moved(plan.foot(one)), _name(plan, one)
            sheet = FlatSheet(face.plane, face.up, plan.joint.plate_thickness, name)
            found |= {name: sheet, left_of(name): mirror_sheet(sheet)}
    return found


def joint_feet(p: Parameters) -> dict[str, BoltedPlate]:
    """Return what each plate and packing lies on [mm], by part, both hands."""
    found: dict[str, BoltedPlate] = {}
    for plan in joint_plans(p):
        joint = plan.joint
        for one in plan.plates:
            face = plan.frame.moved(one.foot)
            normal = vec(one.side * np.array(face.normal))
            foot = BoltedPlate(
                Plane(face.lifted(((one.low + one.high) / 2, 0.0)), normal), face.up,
                joint.plate_thickness, joint.plate_gap,
            )  # fmt: skip
            name = _name(plan, one)
            found |= {name: foot, left_of(name): _left(foot)}
    return found


def _left(foot: BoltedPlate) -> BoltedPlate:
    plane = Plane(_across(foot.plane.origin), _across(foot.plane.normal))
    return replace(foot, plane=plane, up=_across(foot.up))


def _across(v: Vec3) -> Vec3:
    return (v[0], -v[1], v[2])


def pin_joints(p: Parameters) -> tuple[PinJoint, ...]:
    """Return where outer wings come off and along which way [mm], both hands."""
    found = []
    for plan in joint_plans(p):
        right = PinJoint(
            plan.spar.name, "right", plan.spar.of, plan.joint.gap, _parting(plan),
            plan.frame.across, plan.frame.normal, skin_gap_of(plan.joint), plan.joint.pin_ends,
            socket_of(plan.joint), plan.joint.socket_length, plan.opening_from,
        )  # fmt: skip
        found += [right, _other_hand(right)]
    return tuple(found)


def _parting(plan: JointPlan) -> Plane:
    room: InnerRoom = plan.room
    return Plane(plan.frame.origin, room.sections[0].span)


def _other_hand(one: PinJoint) -> PinJoint:
    plane = Plane(_across(one.parting.origin), _across(one.parting.normal))
    return replace(
        one, hand="left", parting=plane, way=_across(one.way), pins_along=_across(one.pins_along)
    )
