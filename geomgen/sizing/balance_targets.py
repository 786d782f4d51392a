"""Targets of mass, centre and standing: by a rule, by the builder, by common practice."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen import units
from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.limits import UNSAID, Limit, limit
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters
    from geomgen.parameters.values.centre_limit import CentreLimit

BALANCE = Group(
    "MASS AND BALANCE",
    "Only where the file says what things weigh ([[mass]], [[items]]). Computed masses are no "
    "weighing: weigh the finished machine and have it checked.",
)
STANDING = Group("STANDING ON ITS WHEELS", "Only where the file says what things weigh.")
PART_103 = "14 CFR 103.1(e)"
# 254 lb, 5 US gal.
LIGHTEST, FUEL = units.parse("254 lb", "mass"), units.parse("5 US gal", "volume")
OTHER_COUNTRIES = "14 CFR 103 is the law of one country: other countries differ"
ESTIMATE = (
    "the neutral point is an estimate: have it confirmed by a qualified person and by careful "
    "flight test"
)
PRACTICE = "common practice"
NOBODY = "no [loads] in the file says who flies it: its centre of gravity is not worked out"
# Figures whose error bound is the band of the masses in the file, not the noise of measuring.
BANDED = (
    *("mass.", "balance.", "gear.load.", "gear.overturn_angle", "gear.tip_back_"),
    "gear.mains_ahead_of_cg.",
)
KINDS = {"station": "mm", "chord": "chord", "static margin": "1"}


def _described(p: "Parameters") -> bool:
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
    if not _described(p):
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
    if not _described(p) or p.loads is None:
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
        "balance.forward, balance.aft": "Most forward and most aft centre of gravity of all "
        "loadings: each pilot, tanks empty and full, baggage none and most, and those with a name. "
        "Limit: your own, rules.forward_limit and rules.aft_limit, as a station, a share of the "
        "measured mean chord, or a static margin from the estimated neutral point."
    },
)
def _centres(p: "Parameters") -> Iterator[Target]:
    if not _described(p):
        return
    if p.loads is None:
        for id_ in ("balance.forward", "balance.aft"):
            yield Target(id_, "centre of gravity", "none", "mm", severity="warn", notices=(NOBODY,))
        return
    fore, aft = p.rules.forward_limit, p.rules.aft_limit
    yield _centre("balance.forward", "most forward centre of gravity", "forward_limit", fore, True)
    yield _centre("balance.aft", "most aft centre of gravity", "aft_limit", aft, False)


@declared(
    BALANCE,
    {
        "balance.static_margin": "How far the most aft centre lies ahead of the neutral point, in "
        "mean chords. The neutral point is estimated from the measured wing, tailplane and pod, "
        "power off, propeller left out. Limit: positive (common practice); inside the band of the "
        "estimate it warns. Have it confirmed by a qualified person and by careful flight test."
    },
)
def _margin(p: "Parameters") -> Iterator[Target]:
    if not _described(p) or p.loads is None:
        return
    yield Target(
        "balance.static_margin", "static margin of the most aft centre", "more than", "1",
        low=0.0, formula="the centre of gravity ahead of the neutral point",
        source="common practice: a machine whose centre is aft of it is not stable",
        notices=(ESTIMATE,),
        advice="bring the centre forward, or make the tailplane larger",
    )  # fmt: skip


def _centre(id_: str, what: str, key: str, own: "CentreLimit | None", forward: bool) -> Target:
    if own is None:
        return _none(id_, what, "mm", key)
    margin = own.kind == "static margin"
    # A static margin grows the other way: forward.
    low = forward != margin
    return Target(
        id_, what, "at least" if low else "at most", KINDS[own.kind],
        low=own.value if low else None, high=None if low else own.value,
        formula=f"rules.{key}", source=own.source or UNSAID,
        notices=(ESTIMATE,) if margin else (),
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
    if not _described(p) or p.loads is None:
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
    if not p.tanks or not _described(p):
        return
    own, by_rule = p.rules.fuel_volume, p.rules.weights == PART_103
    if own is None and not by_rule:
        yield Target("fuel.volume", "volume of all fuel", "none", "mm3", severity="info")
        return
    most = limit(own) if own else Limit(FUEL, PART_103, (OTHER_COUNTRIES,))
    yield Target(
        "fuel.volume", "volume of all fuel", "at most", "mm3", high=most.value,
        formula="rules.fuel_volume" if own else "5 US gal",
        source=most.source, notices=most.notices,
    )  # fmt: skip


def _stands(p: "Parameters") -> bool:
    return _described(p) and p.gear is not None and p.loads is not None


@declared(
    STANDING,
    {
        "gear.load.nose": "Least and largest share of the mass on the nose wheel, of all loadings, "
        "by the lever. Limit: rules.nose_load_least and rules.nose_load_most, 8 to 15 % if you say "
        "nothing (common practice; outside it warns).",
        "gear.load.nose.empty": "The same with nobody in it: with less than nothing it falls on "
        "its tail as the pilot gets out. Limit: positive; less warns (own choice).",
    },
)
def _nose_load(p: "Parameters") -> Iterator[Target]:
    if not _stands(p) or p.gear is None or p.gear.layout != "tricycle":
        return
    low, high = limit(p.rules.nose_load_least), limit(p.rules.nose_load_most)
    usual = {PRACTICE} == {low.source, high.source}
    yield Target(
        "gear.load.nose.*", "share of the mass on the nose wheel", "between", "1",
        low=low.value, high=high.value,
        formula="rules.nose_load_least to rules.nose_load_most", source=low.source,
        severity="warn" if usual else "fail",
    )  # fmt: skip
    yield Target(
        "gear.load.nose.empty", "share of the empty mass on the nose wheel", "more than", "1",
        low=0.0, formula="it stands on its nose wheel with nobody in it",
        source="own choice", severity="warn", if_any=True,
    )  # fmt: skip


@declared(
    STANDING,
    {
        "gear.overturn_angle": "Between the ground and the line from the axis through two wheels "
        "up to the centre of gravity; the larger of both sides, over all loadings. Limit: "
        "rules.overturn_angle, 63 deg if you say nothing (common practice)."
    },
)
def _overturn(p: "Parameters") -> Iterator[Target]:
    if not _stands(p):
        return
    own = limit(p.rules.overturn_angle)
    yield Target(
        "gear.overturn_angle", "overturn angle", "at most", "deg", high=own.value,
        formula="rules.overturn_angle", source=own.source,
    )  # fmt: skip


@declared(
    STANDING,
    {
        "gear.tip_back_angle": "Nosewheel: how far the nose comes up before the centre of gravity "
        "is over the mains. Limit: rules.tip_back_angle, 15 deg if you say nothing (common "
        "practice).",
        "gear.tip_back_spare": "How much of that is left where the tail or the propeller's "
        "structure touches the ground: with less than nothing it falls on its tail when rocked "
        "so far. Limit: positive; less warns (common practice).",
    },
)
def _tip_back(p: "Parameters") -> Iterator[Target]:
    if not _stands(p) or p.gear is None or p.gear.layout != "tricycle":
        return
    own = limit(p.rules.tip_back_angle)
    yield Target(
        "gear.tip_back_angle", "tip-back angle", "at least", "deg", low=own.value,
        formula="rules.tip_back_angle", source=own.source,
    )  # fmt: skip
    yield Target(
        "gear.tip_back_spare", "tip-back angle less the pitch at which the tail touches",
        "more than", "deg", low=0.0, formula="the tail touches before it falls", source=PRACTICE,
        severity="warn",
    )  # fmt: skip


@declared(
    STANDING,
    {
        "gear.mains_ahead_of_cg": "Tailwheel: the angle at the mains' contact from the upright "
        "back to the centre of gravity, waterlines level, of all loadings. Limit: "
        "rules.mains_ahead_least and rules.mains_ahead_most, 16 to 25 deg if you say nothing "
        "(common practice)."
    },
)
def _mains_ahead(p: "Parameters") -> Iterator[Target]:
    if not _stands(p) or p.gear is None or p.gear.layout != "tailwheel":
        return
    low, high = limit(p.rules.mains_ahead_least), limit(p.rules.mains_ahead_most)
    yield Target(
        "gear.mains_ahead_of_cg.*", "mains ahead of the centre of gravity", "between", "deg",
        low=low.value, high=high.value,
        formula="rules.mains_ahead_least to rules.mains_ahead_most", source=low.source,
    )  # fmt: skip


WEIGHTS = (
    *(
        _empty,
        _gross,
        _centres,
        _margin,
        _lateral,
        _fuel,
        _nose_load,
        _overturn,
        _tip_back,
        _mains_ahead,
    ),
    to_read(STANDING, "gear.tail_touch", "deg", "Pitch at which a part touches; to read."),
    to_read(STANDING, "gear.tail_down_angle", "deg", "Tailwheel: pitch standing; to read."),
    to_read(STANDING, "gear.load.tail.*", "1", "Share of the mass on the tail wheels; to read."),
)
