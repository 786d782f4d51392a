"""Targets of the whole: room round the engine, parts that meet and hold each other, meshes."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas.limits import Limit, limit
from geomgen.sizing.formulas.shaft import shaft_advice
from geomgen.sizing.propeller_targets import GROUND, no_ground
from geomgen.sizing.structure_targets import FITTINGS
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

# Least share of a section that should bear on a joint [1]: own choice.
SEAT = 0.5
ALOFT = "own choice: nothing but tyres and what the file leaves out touches the ground"
# Legs come lower than the hull by their nature: rules.structure_clearance does not hold for them.
LEGS_ALOFT = "own choice: the tyres touch the ground, no leg, axle or fork does"
APART = (
    "move one of the two by the depth or more, or make it smaller; families that are built into "
    "each other, such as wing and pod, are trimmed by an entry in [[joints]]"
)
WHOLE = '; the spar {spar} is not cut with the {of}: let [[joints]] have trim = "{to}", to = "{of}"'
JOINTS = Group("JOINTS, ENGINE AND MESH")
PLANFORM = Group(
    "PLANFORM",
    "Figures to read, without a limit; the neutral point is estimated from them. An edge that a "
    "joint cuts away is drawn straight on; ends hidden in booms do not count.",
)


@declared(
    JOINTS,
    {
        "engine.clearance": "Least gap between the engine and any part that does not turn with it "
        "or stand in engine.fixed_parts, with the two closest points. Limit: your own, "
        "rules.engine_clearance (room for hands)."
    },
)
def _room(p: "Parameters") -> Iterator[Target]:
    room = limit(p.rules.engine_clearance)
    absent = () if p.engine else ("the file has no [engine]: nothing to measure",)
    yield Target(
        "engine.clearance.*",
        "room between engine and what stands round it",
        "at least",
        "mm",
        low=room.value,
        formula="rules.engine_clearance",
        source=room.source,
        severity="warn" if absent else "fail",
        notices=absent,
    )


@declared(
    JOINTS,
    {
        "parts.interference": "Depth of the worst place where two parts share space: how far a "
        "point of one lies below the skin of the other, from the side it was entered. The spinner "
        "is drawn solid: a shaft ends at its base. Limit: rules.interference, 0 mm if you say "
        "nothing."
    },
)
def _interference(p: "Parameters") -> Iterator[Target]:
    depth = limit(p.rules.interference)
    yield Target(
        "parts.interference.*",
        "depth to which parts run into each other, as a negative figure",
        "at least",
        "mm",
        low=-depth.value if depth.value else 0.0,
        formula="no deeper than rules.interference",
        source=depth.source,
        advice=shaft_advice(p) or APART + _spar_advice(p),
    )


def _spar_advice(p: "Parameters") -> str:
    """Return what to do where a spar stands in what is trimmed; empty when none does."""
    cuts = {joint.trim: joint.to for joint in p.joints if joint.to in ("boom", "pod")}
    said = (WHOLE.format(spar=s.name, of=s.of, to=cuts[s.of]) for s in p.spars if s.of in cuts)
    return next(said, "")


@declared(
    JOINTS,
    {
        "parts.attached": "Number of parts from which no chain of joints leads to the pod. A leg "
        "must reach what the file roots it in, its wheel the leg. The engine and wheels without a "
        "leg do not count: their mounts and legs are not drawn. A part that the engine "
        "carries, such as a tail fairing about the shaft, is named in the file: "
        'fixed_parts = ["tail_fairing"] in [engine]. Limit: none (own choice).'
    },
)
def _attached(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "parts.attached.*",
        "parts from which no chain of joints leads to the pod",
        "at most",
        "1",
        high=0.0,
        formula="every part is joined; one that the engine carries stands in engine.fixed_parts",
        source="own choice: a part that nothing holds can't be built",
    )


@declared(
    JOINTS,
    {
        "parts.seat": "Least share of its section that tailplane, a fin, the pylon, a boom or a "
        "leg's root bears on, on its best way to the pod; of a wing on pylon or booms, of "
        "theirs. Limit: half; less warns (own choice)."
    },
)
def _seat(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "parts.seat.*",
        "share of a part's section that it bears on, on its best way to the pod",
        "at least",
        "1",
        low=SEAT,
        formula="half of the section",
        source="own choice",
        severity="warn",
    )


@declared(
    JOINTS,
    {
        "tank.fit": "Least gap of a tank that has a shape to any other part: skin, frames through "
        "whose openings it stands, firewall, engine; not to what its rests_on names. Straps, "
        "lines and pumps are not drawn. Limit: gap of its shape, 5 mm if you say nothing (own "
        "choice)."
    },
)
def _tank_room(p: "Parameters") -> Iterator[Target]:
    for i, tank in enumerate(p.tanks):
        if tank.shape is not None:
            yield Target(
                f"tank.fit.{tank.name}", "room round the tank", "at least", "mm",
                low=tank.shape.gap, formula=f"tanks.{i}.shape.gap",
                source=f"tanks.{i}.shape.gap of the parameter file, or our own choice",
                advice="move the tank, make it smaller, or an opening larger; what carries it "
                f"stands in tanks.{i}.shape.rests_on",
            )  # fmt: skip


@declared(
    JOINTS,
    {
        "tank.firewall": "Least gap of a tank that has a shape to the firewall; negative where it "
        "stands on the engine side. Limit: 1/2 in (14 CFR 27.1185(c), for rotorcraft; of airplanes "
        "14 CFR 23.967, before Amdt 23-64, from memory)."
    },
)
def _tank_wall(p: "Parameters") -> Iterator[Target]:
    for i, tank in enumerate(p.tanks):
        if tank.shape is not None:
            yield Target(
                f"tank.firewall.{tank.name}", "tank ahead of the firewall", "at least", "mm",
                low=12.7, formula="on the pilot's side of the sheet, 1/2 in off it",
                source="14 CFR 27.1185(a) and (c), for rotorcraft: a firewall between tank and "
                "engine, 1/2 in of clear air at it; of airplanes 14 CFR 23.967, before Amdt 23-64, "
                "from memory",
                advice=f"move the tank forward (tanks.{i}.shape.station) or the firewall aft",
            )  # fmt: skip


@declared(
    JOINTS,
    {
        "tank.out": "Parts that bar a tank on a straight way out, on the side that out of its "
        "shape names, with what its off names taken off and the pod closed. Limit: none."
    },
)
def _tank_out(p: "Parameters") -> Iterator[Target]:
    for i, tank in enumerate(p.tanks):
        if tank.shape is not None and tank.shape.out is not None:
            yield Target(
                f"tank.out.{tank.name}", "parts that bar the tank's way out", "at most", "1",
                high=0.0, formula=f"tanks.{i}.shape.out, tanks.{i}.shape.off",
                source=f"tanks.{i}.shape.out of the parameter file",
                advice="another side, a larger opening, or name what comes off before it in off",
            )  # fmt: skip


@declared(
    JOINTS,
    {
        "mesh.deviation": "Largest distance between a mesh and its solid, both ways. Limit: "
        "output.mesh_tolerance."
    },
)
def _deviation(p: "Parameters") -> Iterator[Target]:
    yield Target(
        "mesh.deviation.*",
        "distance between mesh and solid, both ways",
        "at most",
        "mm",
        high=p.output.mesh_tolerance,
        formula="output.mesh_tolerance",
        source="output.mesh_tolerance of the parameter file",
    )


@declared(
    GROUND,
    {
        "ground.clearance": "Lowest place of all parts but tyres, legs and propeller, in each of "
        "these attitudes: a boom or fin that strikes with the nose up, a hull on a flat tyre. "
        "Not seen: exhaust and what else is not drawn. Limit: your own, "
        "rules.structure_clearance; positive if you say nothing (own choice)."
    },
)
def _ground(p: "Parameters") -> Iterator[Target]:
    absent, own = no_ground(p), p.rules.structure_clearance
    least = limit(own) if own else Limit(0.0, ALOFT)
    yield Target(
        "ground.clearance.*",
        "lowest part but tyres, legs and propeller over the ground",
        "at least" if least.value else "more than",
        "mm",
        low=least.value,
        formula="rules.structure_clearance" if own else "positive clearance",
        source=least.source,
        severity="fail" if p.gear else "warn",
        notices=absent,
    )


@declared(
    GROUND,
    {
        "ground.clearance.legs": "Lowest place of the legs, axles and forks that the file has, in "
        "the same attitudes. A leg goes up with a strut that is bottomed; what else gives way "
        "counts as the tyre's. Limit: positive (own choice)."
    },
)
def _legs(p: "Parameters") -> Iterator[Target]:
    if p.gear is None or all(w.leg is None for w in p.gear.wheels):
        return
    yield Target(
        "ground.clearance.legs.*",
        "lowest leg over the ground",
        "more than",
        "mm",
        low=0.0,
        formula="positive clearance",
        source=LEGS_ALOFT,
        notices=no_ground(p),
    )


@declared(
    GROUND,
    {
        "ground.bank_angle": "How far the machine banks further, to each side, from standing on "
        "that side's flat main tyre (all else under its static load) until the first part touches: "
        "a wing tip, a boom, a leg; nothing or less where it is in the ground already. The nose or "
        "tail wheel stays on the ground; the propeller is left out, "
        "prop.ground_clearance.flat_tyre measures it. Limit: rules.bank_angle, 5 deg if you "
        "say nothing (own choice: no rule for light aeroplanes that we know names an angle)."
    },
)
def _bank(p: "Parameters") -> Iterator[Target]:
    if p.gear is None:
        return
    own = limit(p.rules.bank_angle)
    yield Target(
        "ground.bank_angle.*",
        "bank over a flat main tyre until a part touches the ground",
        "at least",
        "deg",
        low=own.value,
        formula="rules.bank_angle",
        source=own.source,
        notices=(*no_ground(p), *_full_when_flat(p)),
        advice="raise the gear, widen the track, or give the wing more dihedral",
    )


def _full_when_flat(p: "Parameters") -> Iterator[str]:
    """Yield the main wheels that a flat tyre does not let down: what is over it proves little."""
    for w in p.gear.wheels if p.gear else ():
        if w.role == "main" and w.flat == 0.0:
            yield (
                f"gear.wheels.{w.name}: flat is 0 mm or left out, so on its flat tyre the machine "
                "stands as on a full one; write how far the axle drops further"
            )


@declared(
    GROUND,
    {
        "gear.leg_clearance": "Least true distance between any leg or wheel and pod, booms, wing, "
        "tail and what else is built, while the axles are drawn up from no load by the static "
        "deflection, as at 1.5 times the load and until the struts are bottomed. A leg moves "
        "stiffly about its root; a leg and the part that it roots in do not count, its wheel does. "
        "gear.strut_travel counts for every wheel that has no travel of its own. Limit: positive "
        "(own choice)."
    },
)
def _legs_up(p: "Parameters") -> Iterator[Target]:
    if p.gear is None:
        return
    yield Target(
        "gear.leg_clearance",
        "legs and wheels to the rest of the machine, axles drawn up",
        "more than",
        "mm",
        low=0.0,
        formula="positive clearance, with the gear deflected",
        source="own choice: a leg that gives way strikes nothing",
        advice="move wheel or root away from that part, or let tyre and strut give way less "
        "(gear.wheels.travel)",
    )


PLANFORMS = (
    to_read(
        PLANFORM,
        "wing.mean_aerodynamic_chord",
        "mm",
        "Mean aerodynamic chord of the wing, all its parts together. Measured with it: the places "
        "of its leading edge and quarter point, area, span, sweep, dihedral.",
    ),
    to_read(PLANFORM, "tailplane.planform", "mm2", "Area of the tailplane, with the same."),
    to_read(
        PLANFORM,
        "pod.breadths",
        "mm",
        "Largest breadth of the pod with its scoops. Measured with it: that at 40 stations.",
    ),
)
ASSEMBLY = (
    _ground,
    _legs,
    _bank,
    _legs_up,
    _room,
    _interference,
    _attached,
    _seat,
    _tank_room,
    _tank_wall,
    _tank_out,
    _deviation,
    *PLANFORMS,
)


@declared(
    FITTINGS,
    {
        "access.hand": "Widest ball that passes along the straight way of a hand, from where it "
        "starts to the place; the way must lead through an opening of the sheet that its through "
        "names. Limit: hand of the row."
    },
)
def _access(p: "Parameters") -> Iterator[Target]:
    for i, row in enumerate(p.access):
        yield Target(
            f"access.hand.{row.name}", "widest hand that gets there", "at least", "mm",
            low=row.hand, formula=f"access.{i}.hand",
            source=f"access.{i}.hand of the parameter file",
            advice="a larger opening, another way, or what stands in it moved aside",
            shut="the way does not lead through the opening",
        )  # fmt: skip


@declared(
    FITTINGS,
    {
        "assembly.order": "With [assembly]: parts that can't be put in along a straight way, with "
        "the parts before them in place. Looked for backwards, along the axes and square to "
        "sheets that lean; touching by 0.25 mm or less does not bar, nor does the edge of a sheet "
        "as thin as that. The note tells the order, from which side each part comes, what bars "
        "one. The pod's skin counts as two halves, parted at assembly.pod_split; what stands "
        "inside the wing is laid into it, and what is not drawn bars nothing. Limit: none but "
        "those in assembly.built_in_place (own choice)."
    },
)
def _order(p: "Parameters") -> Iterator[Target]:
    if p.assembly is not None:
        yield Target(
            "assembly.order", "parts that no straight way leads to their place", "at most", "1",
            high=0.0, formula="assembly.order, assembly.built_in_place",
            source="own choice: what can't be put in can't be built",
            advice="another assembly.order or pod_split, a larger opening, a part in two pieces; "
            "what is bent in or built round others stands in assembly.built_in_place",
        )  # fmt: skip


PUT_TOGETHER = (_access, _order)
