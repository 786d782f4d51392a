"""The plain geometry that is published beside the solids: where and along what to measure."""

from geomgen.errors import looking_at
from geomgen.kernel.model import Model
from geomgen.kernel.plain import AssemblyPlan, Inlay, Plane, Shake, TankRoom
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.records.structure.assembly import CENTRE
from geomgen.parameters.records.structure.wing import skin_gap_of, wing_joint_names
from geomgen.shapes import firewall, gear, hull, leg, propeller, scoop_route
from geomgen.shapes.assembly import canopy, pilot_places
from geomgen.shapes.assembly.flight_states import flight_states
from geomgen.shapes.framing.fittings import bolted_plates, inside_others
from geomgen.shapes.framing.published import bond_gaps, sheets
from geomgen.shapes.framing.room import hand_ways, kept_free
from geomgen.shapes.wing_structure.published import inner_sheets
from geomgen.shapes.wing_structure.wing_joints import joint_feet, pin_joints

WEIGHED = (
    *("pod", "exit", "tail_fairing", "scoop", "firewall", "wing", "boom", "tailplane", "fin"),
    *("pylon", "engine", "spinner", "wheel", "leg", "tank", "canopy", "spar", "rib"),
)


def places(p: Parameters) -> Model:
    """Return a model that has no parts yet: axes, planes, seeds, openings [mm]."""
    with looking_at("scoops", "pod.stations", "pod.wall"):
        pod = hull.pod_lines(p)
        passages = scoop_route.routes(p, pod)
    plane, seed = firewall.mid_plane(p)
    with looking_at("exit", "pod.stations"):
        exits = hull.exit_openings(p, pod)
    with looking_at(*canopy.KEYS):
        skin = canopy.glazed_skin(p, pod)
    gaps = _gaps(p)
    return Model(
        rotating=("prop_disc", "spinner"),
        on_engine=p.engine.fixed_parts if p.engine else (),
        joint_gap=max(gap for one, other, gap in gaps if one != other),
        joint_gaps=gaps,
        thrust_line=propeller.thrust_line(p),
        shake=Shake(p.propeller.mount_travel_axial, p.propeller.mount_travel_radial),
        passages=passages,
        exits=exits,
        grounds=gear.grounds(p),
        struts=leg.struts(p),
        firewall_plane=plane,
        firewall_seed=seed,
        fittings=firewall.fittings(p),
        sheets=sheets(p) | inner_sheets(p),
        pilot=pilot_places.limbs(p),
        eye=pilot_places.eye(p),
        other_eyes=pilot_places.other_eyes(p),
        glass=pilot_places.glass(p),
        glazed_skin=skin,
        climb_pitch=p.flight.climb_pitch,
        weighed=_weighed(p),
        wheels=gear.roles(p),
        flights=flight_states(p),
        trip=p.air.trip if p.air else None,
        inlays=_inlays(p),
        bolted=bolted_plates(p) | joint_feet(p),
        pin_joints=pin_joints(p),
        kept_free=kept_free(p),
        hand_ways=hand_ways(p),
        assembly=_assembly(p),
        tank_rooms=_tank_rooms(p),
    )


def _tank_rooms(p: Parameters) -> dict[str, TankRoom]:
    shapes = {f"tank_{tank.name}": tank.shape for tank in p.tanks if tank.shape is not None}
    return {
        name: TankRoom(shape.gap, shape.rests_on, shape.out or "", shape.off)
        for name, shape in shapes.items()
    }


def _assembly(p: Parameters) -> AssemblyPlan | None:
    if p.assembly is None:
        return None
    plan, split = p.assembly, None
    if plan.split_waterline is not None:
        split = Plane((0.0, 0.0, plan.split_waterline), (0.0, 0.0, 1.0))
    elif plan.pod_split == CENTRE:
        split = Plane((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    return AssemblyPlan(split, plan.order, plan.built_in_place)


def _inlays(p: Parameters) -> tuple[Inlay, ...]:
    spars = (Inlay(f"spar_{spar.name}", spar.of) for spar in p.spars)
    ribs = (Inlay(f"rib_{row.name}", row.of) for row in p.ribs)
    joints = ((name, spar.of) for spar in p.spars if spar.wing_joint
              for name in wing_joint_names(spar))  # fmt: skip
    return (
        *spars,
        *ribs,
        *(Inlay(*one) for one in joints),
        *(Inlay(part, host) for part, host in inside_others(p).items()),
    )


def _weighed(p: Parameters) -> tuple[str, ...]:
    """Return the families whose bodies are measured: all, once the file says what anything weighs.

    A part that no row weighs has to be seen to be missed.
    """
    if not (p.mass or p.items):
        return ()
    joints = [spar for spar in p.spars if spar.wing_joint]
    own = (
        ("joint_plate", joints),
        ("joint_pin", joints),
        ("frame", p.frames),
        ("stringer", p.stringers),
        ("fitting", p.fittings),
    )
    return (*WEIGHED, *(family for family, rows in own if rows))


def _gaps(p: Parameters) -> tuple[tuple[str, str, float], ...]:
    """Return the gaps [mm] that the file states between parts that are joined, with these."""
    rim = [("exit", "pod", p.exit.gap)] if p.exit else []
    joints = [(joint.trim, joint.to, joint.gap) for joint in p.joints]
    canopies = [("canopy", "pod", p.canopy.gap)] if p.canopy and canopy.is_part(p) else []
    scoops = [(f"scoop_{scoop.name}", "pod", scoop.gap) for scoop in p.scoops]
    legs = [
        (f"leg_{wheel.name}", wheel.leg.rooted_in, wheel.leg.gap)
        for wheel in (p.gear.wheels if p.gear else ())
        if wheel.leg
    ]
    parted = [(s.of, s.of, skin_gap_of(s.wing_joint)) for s in p.spars if s.wing_joint]
    own = (*rim, *joints, *canopies, *scoops, *legs, *parted, *bond_gaps(p))
    return (("firewall", "pod", p.firewall.gap), *own)
