"""Targets of mass, centre and standing: by a rule, by the builder, by common practice."""

from collections.abc import Iterator
from math import radians, tan
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.sizing.declaring import Group, declared
from geomgen.sizing.formulas.limits import UNSAID, Limit, limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.values.centre_limit import CentreLimit

BALANCE = Group(
    "MASS AND BALANCE",
    "Only where the file says what things weigh ([[mass]], [[items]]). Computed masses are no "
    "weighing: weigh the finished machine and have it checked.",
)
PART_103 = "14 CFR 103.1(e)"
# 254 lb, 5 US gal.
LIGHTEST, FUEL = units.parse("254 lb", "mass"), units.parse("5 US gal", "volume")
OTHER_COUNTRIES = "14 CFR 103 is the law of one country: other countries differ"
ESTIMATE = (
    "the neutral point is an estimate: have it confirmed by a qualified person and by careful "
    "flight test"
)
COMPUTED = (
    "the neutral point is that of the computed air (rules.neutral_point), no measurement: have it "
    "confirmed by a qualified person and by careful flight test"
)
PRACTICE = "common practice"
NOBODY = "no [loads] in the file says who flies it: its centre of gravity is not worked out"
# Less an engine and a propeller never weigh, a bare electric motor apart [kg/kW]: own choice.
LEAST = {"engine": 0.2, "propeller": 0.02}
# How far the mass of the computed air may lie outside the loadings, as a fraction: own choice.
FLOWN = 0.05
# Figures whose error bound is the band of the masses in the file, not the noise of measuring.
BANDED = (
    *("mass.", "balance.", "gear.load.", "gear.overturn_angle", "gear.tip_back_"),
    *("gear.mains_ahead_of_cg.", "gear.tyre_load."),
)
KINDS = {"station": "mm", "chord": "chord", "static margin": "1"}


def described(p: "Parameters") -> bool:
    """Say whether a file says what anything weighs."""
    return bool(p.mass or p.items)


def _none(id_: str, what: str, unit: str, key: str) -> Target:
    notice = f"no limit is set: rules.{key} would set one"
    return Target(id_, what, "none", unit, severity="warn", notices=(notice,))


@declared(
    BALANCE,
    {
        "mass.empty": "Empty mass worked out of the solids, the weighed parts and the items, "
        "unusable fuel in it, safety devices left out. Limit: your own, rules.empty_mass, or less "
        'than 254 lb with rules.weights = "14 CFR 103.1(e)".'
    },
)
def _empty(p: "Parameters") -> Iterator[Target]:
    if not described(p):
        return
    what, own = "empty mass", p.rules.empty_mass
    by_rule = p.rules.weights == PART_103
    if own is None and not by_rule:
        yield _none("mass.empty", what, "kg", "empty_mass")
        return
    least = limit(own) if own else Limit(LIGHTEST, PART_103, (OTHER_COUNTRIES,))
    yield Target(
        "mass.empty", what, "at most" if own else "less than", "kg",
        high=least.value,
        formula="rules.empty_mass" if own else "less than 254 lb",
        source=least.source, notices=least.notices,
    )  # fmt: skip


@declared(
    BALANCE,
    {"mass.gross": "Mass of the heaviest loading. Limit: your own, rules.gross_mass."},
)
def _gross(p: "Parameters") -> Iterator[Target]:
    if not described(p) or p.loads is None:
        return
    own = p.rules.gross_mass
    if own is None:
        yield _none("mass.gross", "mass of the heaviest loading", "kg", "gross_mass")
        return
    yield Target(
        "mass.gross", "mass of the heaviest loading", "at most", "kg", high=own.value,
        formula="rules.gross_mass", source=limit(own).source,
    )  # fmt: skip


@declared(
    BALANCE,
    {
        "mass.flown": "By which share air.mass, the mass that the air outside is worked out for, "
        f"is less than the lightest loading or more than the heaviest. Limit: {FLOWN:g} (own "
        "choice)."
    },
)
def _flown(p: "Parameters") -> Iterator[Target]:
    if described(p) and p.loads is not None and p.air is not None:
        yield Target(
            "mass.flown", "how far air.mass is outside the loadings", "at most", "1", high=FLOWN,
            formula="air.mass between the lightest and the heaviest loading", source="own choice",
            advice="look at the unit of air.mass: all that is told of the air rests on it",
        )  # fmt: skip


@declared(
    BALANCE,
    {
        "mass.engine, mass.propeller": "What counts as the weight of engine and propeller: items "
        'with weight_of = "engine" or "propeller". Where none says so, all of the powerplant that '
        "stands at the engine or within 250 mm of the blades: a trifle there could stand for it. "
        "Without [engine] an item has to say so. "
        "Limit: 0.2 kg/kW for the engine, 0.02 kg/kW for the propeller; less warns (own choice, "
        "far below what is flown)."
    },
)
def _power(p: "Parameters") -> Iterator[Target]:
    kilowatts = p.powerplant.power / 1000.0
    for what, each in LEAST.items():
        if described(p):
            yield Target(
                f"mass.{what}", f"mass of all that counts as the {what}", "at least", "kg",
                low=each * kilowatts, formula=f"{each:g} kg/kW x powerplant.power",
                inputs=(("power", units.both(p.powerplant.power, "power")),),
                source="own choice, far below what is flown", severity="warn", if_any=True,
                advice=f'write weight_of = "{what}" into the item that is the {what}, and its mass',
            )  # fmt: skip


@declared(
    BALANCE,
    {
        "balance.forward, balance.aft": "Most forward and most aft centre of gravity of all "
        "loadings: each pilot, tanks empty and full, baggage none and most, and those with a name. "
        "Limit: your own, rules.forward_limit and rules.aft_limit, as a station, a share of the "
        "measured mean chord, or a static margin from the neutral point: the estimated one, or "
        'with rules.neutral_point = "air" that of the computed air.'
    },
)
def _centres(p: "Parameters") -> Iterator[Target]:
    if not described(p):
        return
    if p.loads is None:
        for id_ in ("balance.forward", "balance.aft"):
            yield Target(id_, "centre of gravity", "none", "mm", severity="warn", notices=(NOBODY,))
        return
    fore, aft = p.rules.forward_limit, p.rules.aft_limit
    for row in (
        ("balance.forward", "most forward centre of gravity", "forward_limit", fore, True),
        ("balance.aft", "most aft centre of gravity", "aft_limit", aft, False),
    ):
        yield _centre(*row, _cautioned(p))


@declared(
    BALANCE,
    {
        "balance.static_margin": "How far the most aft centre lies ahead of the neutral point, in "
        "mean chords. The neutral point is estimated from the measured wing, tailplane and pod, "
        "power off, propeller left out, or taken from the computed air: rules.neutral_point. "
        "Limit: positive (common practice); inside the band of the neutral point it warns. Have it "
        "confirmed by a qualified person and by careful flight test."
    },
)
def _margin(p: "Parameters") -> Iterator[Target]:
    if not described(p) or p.loads is None:
        return
    yield Target(
        "balance.static_margin", "static margin of the most aft centre", "more than", "1",
        low=0.0, formula="the centre of gravity ahead of the neutral point",
        source="common practice: a machine whose centre is aft of it is not stable",
        notices=(_cautioned(p),),
        advice="bring the centre forward, or make the tailplane larger",
    )  # fmt: skip


def _cautioned(p: "Parameters") -> str:
    return COMPUTED if p.rules.neutral_point == "air" else ESTIMATE


def _centre(
    id_: str, what: str, key: str, own: "CentreLimit | None", forward: bool, caution: str
) -> Target:
    if own is None:
        return _none(id_, what, "mm", key)
    margin = own.kind == "static margin"
    # A static margin grows the other way: forward.
    low = forward != margin
    return Target(
        id_, what, "at least" if low else "at most", KINDS[own.kind],
        low=own.value if low else None, high=None if low else own.value,
        formula=f"rules.{key}", source=own.source or UNSAID,
        notices=(caution,) if margin else (),
        advice="move battery or ballast: geomgen balance lists what each would do",
    )  # fmt: skip


@declared(
    BALANCE,
    {
        "balance.lateral": "How far the centre of gravity of any loading lies off the centre plane."
        " Limit: rules.lateral_limit, 25 mm if you say nothing (own choice)."
    },
)
def _lateral(p: "Parameters") -> Iterator[Target]:
    if not described(p) or p.loads is None:
        return
    own = limit(p.rules.lateral_limit)
    yield Target(
        "balance.lateral", "centre of gravity off the centre plane", "at most", "mm",
        high=own.value, formula="rules.lateral_limit", source=own.source,
    )  # fmt: skip


@declared(
    BALANCE,
    {
        "fuel.volume": "All fuel that the tanks hold. Limit: your own, rules.fuel_volume, or 5 US "
        'gal with rules.weights = "14 CFR 103.1(e)".'
    },
)
def _fuel(p: "Parameters") -> Iterator[Target]:
    if not p.tanks or not described(p):
        return
    own, by_rule = p.rules.fuel_volume, p.rules.weights == PART_103
    aft = tuple(_in_the_engine_bay(p))
    if own is None and not by_rule:
        yield Target(
            "fuel.volume", "volume of all fuel", "none", "mm3",
            severity="warn" if aft else "info", notices=aft,
        )  # fmt: skip
        return
    most = limit(own) if own else Limit(FUEL, PART_103, (OTHER_COUNTRIES,))
    yield Target(
        "fuel.volume", "volume of all fuel", "at most", "mm3", high=most.value,
        formula="rules.fuel_volume" if own else "5 US gal",
        source=most.source, notices=(*most.notices, *aft),
    )  # fmt: skip


def _in_the_engine_bay(p: "Parameters") -> Iterator[str]:
    """Yield the tanks without a shape whose fuel stands behind the firewall, wherever sideways."""
    for i, tank in enumerate(p.tanks):
        if tank.station is None or tank.waterline is None:
            continue
        up = tank.waterline - p.propeller.waterline
        if tank.station > p.firewall.station + up * tan(radians(p.firewall.tilt)):
            yield (
                f"tanks.{i}: its fuel stands aft of the firewall; in the engine bay no tank may be "
                "(14 CFR 23.967, before Amdt 23-64, from memory): move it forward, or give it a "
                "shape, whose place is measured"
            )


@declared(
    BALANCE,
    {
        "tank.volume.*": "Fuel that a tank with a shape holds: the room inside its solid, as "
        "measured, less the share that stays empty for the fuel to expand: tanks.expansion, 2 % if "
        "you say nothing (14 CFR 23.969 as of 2014). Limit: its usable and unusable fuel."
    },
)
def _tanks(p: "Parameters") -> Iterator[Target]:
    for tank in p.tanks if described(p) else ():
        if tank.shape is not None:
            yield Target(
                f"tank.volume.{tank.name}", "fuel that the tank holds", "at least", "mm3",
                low=tank.usable + tank.unusable, formula="usable + unusable",
                source="own fuel, tanks.usable and tanks.unusable; room to expand: 14 CFR 23.969, "
                "as of 2014, 2 % of the capacity",
                advice="make the tank larger, or carry less fuel",
            )  # fmt: skip


WEIGHTS = (_empty, _gross, _flown, _power, _centres, _margin, _lateral, _fuel, _tanks)
