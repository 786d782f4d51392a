"""Targets of standing on the wheels: shares, angles, the load on a tyre."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from geomgen.sizing.balance_targets import PRACTICE, described
from geomgen.sizing.declaring import Group, declared, to_read
from geomgen.sizing.formulas.limits import limit
from geomgen.sizing.propeller_targets import no_ground
from geomgen.sizing.target import Target

if TYPE_CHECKING:
    from geomgen.parameters.records.aircraft import Parameters

STANDING = Group("STANDING ON ITS WHEELS", "Only where the file says what things weigh.")


def _stands(p: "Parameters") -> bool:
    return described(p) and p.gear is not None and p.loads is not None


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
        notices=no_ground(p),
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
        formula="rules.overturn_angle", source=own.source, notices=no_ground(p),
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
        formula="rules.tip_back_angle", source=own.source, notices=no_ground(p),
    )  # fmt: skip
    yield Target(
        "gear.tip_back_spare", "tip-back angle less the pitch at which the tail touches",
        "more than", "deg", low=0.0, formula="the tail touches before it falls", source=PRACTICE,
        severity="warn", notices=no_ground(p),
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
        notices=no_ground(p),
    )  # fmt: skip


@declared(
    STANDING,
    {
        "gear.tyre_load": "Greatest static load on a tyre, of all loadings, as the mass that "
        "stands on it: by the lever, more than three wheels as springs of one stiffness. Only for "
        "wheels that say what their tyre is rated for. Limit: gear.wheels.rated_load."
    },
)
def _tyres(p: "Parameters") -> Iterator[Target]:
    if not _stands(p) or p.gear is None:
        return
    for w in p.gear.wheels:
        if w.rated_load is not None:
            yield Target(
                f"gear.tyre_load.{w.name}", "greatest static load on the tyre", "at most", "kg",
                high=w.rated_load, formula="rated_load of the wheel",
                source="the tyre's maker, as gear.wheels.rated_load gives it", notices=no_ground(p),
                advice="take a tyre that carries more, or another pressure with its maker's word",
            )  # fmt: skip


@declared(
    STANDING,
    {
        "gear.tail_down_angle": "Tailwheel: how far the nose is up as it stands on all wheels, "
        "against the waterlines. Limit: your own, rules.tail_down_angle, within "
        "rules.tail_down_angle_band, 2 deg if you say nothing (own choice): the stall's angle of "
        "attack for one who lands on all wheels. To read without it."
    },
)
def _tail_down(p: "Parameters") -> Iterator[Target]:
    own, spread = p.rules.tail_down_angle, limit(p.rules.tail_down_angle_band)
    tailwheel = p.gear is not None and p.gear.layout == "tailwheel"
    if own is None or not _stands(p) or not tailwheel:
        yield Target("gear.tail_down_angle", "", "none", "deg", severity="info")
        return
    yield Target(
        "gear.tail_down_angle", "nose up as it stands, against the waterlines", "between", "deg",
        low=own.value - spread.value, high=own.value + spread.value,
        formula="rules.tail_down_angle +/- rules.tail_down_angle_band", source=limit(own).source,
        notices=no_ground(p),
        advice="move the mains' axle or the tail wheel's up or down",
    )  # fmt: skip


STANDS = (
    *(_nose_load, _overturn, _tip_back, _mains_ahead, _tyres, _tail_down),
    to_read(STANDING, "gear.tail_touch", "deg", "Pitch at which a part touches; to read."),
    to_read(STANDING, "gear.load.tail.*", "1", "Share of the mass on the tail wheels; to read."),
)
