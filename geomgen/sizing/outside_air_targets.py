"""Targets of the air outside and of the cooling air that it drives through the bay."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

OUTSIDE = Group(
    "AIR OUTSIDE",
    "Only where the file has an [air]. Potential flow on panels with a slow layer on the skin; a "
    "computed pressure is no measurement: tuft it, and measure temperatures on the ground first. "
    "What booms, fins, wheels, legs and spinner do at most to the pressures at mouths and exit is "
    "in those bands. Not seen: what they do to the rest of the skin, swirl of the propeller, gaps, "
    "rivets, hot exhaust, yaw.",
)
STATES = ("climb", "level", "glide", "standing")
# Figures whose error bound is that of the way they are computed, the same at neighbouring states.
COMPUTED = (
    *("cooling.air_rise.", "cooling.mass_flow.", "exit.pressure", "inlet.pressure."),
    *("inlet.slow_layer.", "inlet.separated.", "wing.neutral_point", "pod.separation"),
)


@declared(
    OUTSIDE,
    {
        "inlet.pressure.*": "Share of the ram pressure that the mouth catches in climb or "
        "level flight, the lesser: what the slow layer (boundary layer) on the skin and air that "
        "is not square to the mouth leave of it. Warns only: whether enough is left to cool the "
        "engine is for cooling.air_rise, which fails. Not told where the air has left the skin "
        "ahead of the mouth. Limit: rules.inlet_pressure (own choice).",
        "inlet.slow_layer.*": "Thickness of the slow layer before the mouth over the mouth's "
        "height. Limit: rules.slow_layer (own choice).",
        "inlet.separated.*": "Length of skin up to the mouth that the air has left, in climb or "
        "level flight, the larger; 0 where it stays on. A mouth in air that has left the skin "
        "catches little. Where the air might leave the skin it warns; not measured where the air "
        "comes off another part. Air that another part slows is not seen. Limit: 0 (own choice).",
    },
)
def _mouths(p: "Parameters") -> Iterator[Target]:
    if p.air is None:
        return
    least, most = limit(p.rules.inlet_pressure), limit(p.rules.slow_layer)
    yield Target(
        "inlet.pressure.*", "share of the ram pressure that the mouth catches", "at least", "1",
        low=least.value, formula="rules.inlet_pressure", source=least.source, if_any=True,
        severity="warn",
        advice="a mouth further forward, or further off the skin (boundary_layer_gap)",
    )  # fmt: skip
    yield Target(
        "inlet.slow_layer.*", "thickness of the slow layer over the mouth's height", "at most",
        "1", high=most.value, formula="rules.slow_layer", source=most.source, if_any=True,
        severity="warn",
        advice="a mouth further forward, higher, or further off the skin (boundary_layer_gap)",
    )  # fmt: skip
    yield Target(
        "inlet.separated.*", "length of skin up to the mouth that the air has left", "at most",
        "mm", high=0.0, formula="the air stays on the skin up to the mouth", source="own choice",
        if_any=True, unsure=True,
        advice="a mouth further forward, or a pod that gets narrower more gently ahead of it",
    )  # fmt: skip


@declared(
    OUTSIDE,
    {
        "exit.pressure": "Pressure coefficient outside the exit in the climb, propeller pulling, "
        "against what the second estimate of the exit rests on. Warns where it is higher. Limit: "
        "cooling.exit_pressure."
    },
)
def _exit(p: "Parameters") -> Iterator[Target]:
    if p.air is None:
        return
    yield Target(
        "exit.pressure", "pressure coefficient outside the exit", "at most", "1",
        high=p.cooling.exit_pressure, formula="cooling.exit_pressure",
        source="the file's own figure, or own choice", severity="warn", if_any=True,
        advice="write the computed one as cooling.exit_pressure",
    )  # fmt: skip


@declared(
    OUTSIDE,
    {
        "cooling.air_rise.climb": "How much the cooling air warms up at the fins in the climb, by "
        "the balance from the mouths through passage, fins and exit to the pressure outside. "
        "Beyond the limit by less than it may be off it warns. Limit: cooling.air_rise; energy "
        "balance and Bernoulli's equation with published loss factors.",
        "cooling.air_rise.level, cooling.air_rise.glide": "The same in level flight and glide.",
        "cooling.air_rise.standing": "The same standing still, propeller turning at full power; "
        "warns only.",
    },
)
def _rise(p: "Parameters") -> Iterator[Target]:
    if p.air is None:
        return
    for state in STATES:
        yield Target(
            f"cooling.air_rise.{state}", "how much the cooling air warms up at the fins",
            "at most", "K", high=p.cooling.air_rise, formula="cooling.air_rise",
            source="energy balance and Bernoulli's equation with published loss factors",
            severity="warn" if state == "standing" else "fail", if_any=True,
            unsure=True, shut="no air goes through",
            advice="a larger exit or mouth, less drop at the fins (cooling.baffle_drop)",
        )  # fmt: skip


OUTSIDE_AIR = (
    _mouths,
    _exit,
    _rise,
    *(
        to_read(OUTSIDE, f"cooling.mass_flow.{state}", "kg/s", words)
        for state, words in zip(
            STATES,
            (
                "Cooling air that goes through in the climb; .level, .glide and .standing beside "
                "it. Only to be read.",
                *("" for _ in STATES[1:]),
            ),
            strict=True,
        )
    ),
    to_read(
        OUTSIDE, "pod.separation", "mm",
        "Station where the air leaves the pod's skin in the climb. Only to be read.",
    ),
    to_read(
        OUTSIDE, "wing.neutral_point", "mm",
        "Station of the neutral point by the flow about the machine, propeller standing still. "
        "Only to be read; the mass sheet has its own estimate.",
    ),
)  # fmt: skip
