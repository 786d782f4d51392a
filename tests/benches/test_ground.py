"""Machines that stand wrongly on their wheels, against hulls of their tyres' points.

How a machine can be wrong while prop.ground_clearance passes, and what sees it:

- wheels off the centre, twin wheels, second pairs, a wheel that is not there, a flat tyre on one
  side, a plane through a point of a tyre that leans: the plane is held to the lower side of the
  convex hull (scipy) of many points of every tyre (`test_standing_...`);
- nose up at take-off (`test_a_nosewheel_...`);
- another part than the propeller that comes lower: `ground.clearance`, against the corners of plain
  bodies (`test_a_boom_that_strikes_...`); it does not see what is not drawn;
- a leg, axle or fork that comes lower than its tyre when that gives way: `ground.clearance.legs`
  (`test_a_fork_...`), against the fork's lower corners; `rules.structure_clearance` is the hull's;
- what is not seen: where the weight really is (an eighth of the wheel base from the mains is
  assumed), a strut that two wheels share, ground that is not flat, wheels that give way other than
  along the waterlines' normal.
"""

import random
from itertools import product
from math import cos, pi, radians, sin

import numpy as np
import pytest
from asking import bodies_of, propeller_figures
from few_cases import few
from scipy.spatial import ConvexHull

from geomgen.kernel.brep.boxes import loose_box
from geomgen.kernel.brep.primitives import box
from geomgen.kernel.model import Model
from geomgen.measurements.fit.questions import GROUND
from geomgen.measurements.question import Given
from geomgen.measurements.subject import Answered
from geomgen.shapes.assembly.cutters import cutters
from geomgen.shapes.gear import grounds
from geomgen.shapes.leg import legs, struts
from geomgen.shapes.propeller import prop_disc, thrust_line
from geomgen.sizing.targets import targets
from geomgen.verdicts.judge import judge

STEPS = 121


def with_wheels(p, wheels, **gear):
    """Return parameters with other wheels: records, or changes of the main and third wheel."""
    return p.model_copy(update={"gear": p.gear.model_copy(update={"wheels": wheels, **gear})})


def changed(wheel, **by):
    return wheel.model_copy(update=by)


def skin(w, side, up):
    """Return points of a tyre at its foot: its tread is the arc through edges and crown."""
    half, radius = w.width / 2, w.diameter / 2
    crown = min(half, radius / 2)
    arc = (half**2 + crown**2) / (2 * crown)
    across = np.linspace(-half, half, STEPS)
    out = radius - arc + np.sqrt(arc**2 - across**2)
    turn = 1.5 * pi + np.linspace(-0.3, 0.3, STEPS)
    x = w.station + np.outer(np.cos(turn), out)
    z = w.waterline + up + np.outer(np.sin(turn), out)
    y = np.broadcast_to(side * w.buttock_line + across, x.shape)
    return np.stack([x, y, z], axis=-1).reshape(-1, 3)


def tyres(p, flat=None, times=1.0):
    """Return the points of all tyres; `flat` is a name and a side of the one that is flat."""
    found = []
    for w in p.gear.wheels:
        for side in (1, -1) if w.mirrored and w.buttock_line else (1,):
            more = w.flat + p.gear.strut_travel if flat == (w.name, side) else 0.0
            found.append(skin(w, side, times * w.deflection + more))
    return np.concatenate(found)


def under(points, station):
    """Return the plane (normal up, distance) of the hull's lower side below the weight."""
    hull = ConvexHull(points)
    low = hull.equations[hull.equations[:, 2] < -1e-9]
    height = -(low[:, 0] * station + low[:, 3]) / low[:, 2]
    a, b, c, d = low[int(np.argmax(height))]
    return np.array([-a, -b, -c]), d


def lowest(p, normal, off):
    """Return the height of the swept volume's rim over a plane, from its dimensions alone [mm]."""
    q, at = p.propeller, np.array(thrust_line(p).origin)
    way = np.array(thrust_line(p).direction)
    deep = q.blade_depth / 2 + q.mount_travel_axial + q.flex
    lean = float(normal @ way)
    rim = (q.diameter / 2 + q.mount_travel_radial) * np.sqrt(1 - lean**2)
    return float(normal @ at) - off - rim - deep * abs(lean)


def weight(p):
    """Return the assumed station of the weight."""
    mains = [w.station for w in p.gear.wheels if w.role == "main"]
    third = [w.station for w in p.gear.wheels if w.role != "main"]
    return np.mean(mains) + 0.12 * (np.mean(third) - np.mean(mains))


def figures(p):
    model = Model(
        parts={"prop_disc": prop_disc(p).solid},
        families={"prop_disc": "prop_disc"},
        thrust_line=thrust_line(p),
        grounds=grounds(p),
    )
    found = propeller_figures(
        model, {}, lambda question: question.name in ("swept volume", "ground")
    )
    return {
        id_.removeprefix("prop.ground_clearance."): found[id_]
        for id_ in found
        if id_.startswith("prop.ground")
    }


def off_centre(p):
    main, nose = p.gear.wheels
    return (main, changed(nose, buttock_line=60.0, mirrored=False))


def two_pairs(p):
    main, nose = p.gear.wheels
    more = changed(main, name="aft", station=2100.0, waterline=main.waterline - 60.0)
    return (main, more, nose)


def twins(p):
    main, third = p.gear.wheels
    return (main, changed(third, buttock_line=90.0, mirrored=True))


def short_right(p):
    main, nose = p.gear.wheels
    left = changed(main, name="far", waterline=main.waterline + 400.0, buttock_line=900.0)
    return (main, left, nose)


MACHINES = [
    ("saltmarsh", off_centre), ("saltmarsh", two_pairs), ("saltmarsh", twins),
    ("saltmarsh", short_right), ("hayfield", twins), ("hayfield", lambda p: p.gear.wheels),
]  # fmt: skip


@pytest.mark.parametrize(("config", "wheels"), few(MACHINES, 3, 4, rows=True))
def test_standing_and_flat_planes_are_the_hulls(variant, config, wheels) -> None:
    p = variant(config=config)
    p = with_wheels(p, wheels(p))
    found, at = figures(p), weight(p)
    on_all = "static" if p.gear.layout == "tricycle" else "tail_down"
    assert found[on_all].value <= lowest(p, *under(tyres(p), at)) + 0.05
    # Standing with the nose low, the level attitude may be the worse one.
    if "waterlines level" not in found[on_all].method:
        assert found[on_all].value == pytest.approx(lowest(p, *under(tyres(p), at)), abs=0.05)
    flat = [(w.name, side) for w in p.gear.wheels
            for side in ((1, -1) if w.mirrored and w.buttock_line else (1,))]  # fmt: skip
    least = min(lowest(p, *under(tyres(p, one), at)) for one in flat)
    assert found["flat_tyre"].value == pytest.approx(least, abs=0.05)
    bent = lowest(p, *under(tyres(p, times=1.5), at))
    assert found["spring"].value == pytest.approx(bent, abs=0.05)


def test_no_tyre_reaches_through_any_ground(variant) -> None:
    for config, wheels in MACHINES:
        p = with_wheels(variant(config=config), wheels(variant(config=config)))
        for ground in grounds(p):
            if ground.name in ("static", "tail_down", "take_off", "rotated"):
                over = (tyres(p) - np.array(ground.plane.origin)) @ np.array(ground.plane.normal)
                assert over.min() == pytest.approx(0.0, abs=0.02)
                assert over.min() > -1e-6


@pytest.mark.parametrize("pitch", [3.0, 5.0, 8.0])
def test_a_nosewheel_machine_is_held_to_the_rule_nose_up(variant, pitch) -> None:
    """On round tyres: the axle stands R over the ground, the disc h above and d behind it turns."""
    p = variant(f"gear.take_off_pitch={pitch} deg")
    main = p.gear.wheels[0]
    found = figures(p)["take_off"]
    turn = radians(pitch)
    normal = np.array([-sin(turn), 0.0, cos(turn)])
    axle = np.array([main.station, 0.0, main.waterline + main.deflection])
    due = lowest(p, normal, float(normal @ axle) - main.diameter / 2)
    assert found.value == pytest.approx(due, abs=1e-6)
    checks = {c.id: c for c in judge(figures(p).values(), targets(p))}
    wanted = "pass" if due >= 180.0 else "fail"
    assert checks["prop.ground_clearance.take_off"].verdict == wanted
    assert checks["prop.ground_clearance.rotated"].verdict == "pass"


def test_left_out_the_take_off_is_at_the_largest_pitch(variant) -> None:
    p = variant()
    p = with_wheels(p, p.gear.wheels, take_off_pitch=None)
    found = figures(p)
    assert found["take_off"].value == found["rotated"].value
    assert found["take_off"].value < 180.0
    checks = {c.id: c for c in judge(found.values(), targets(p))}
    assert checks["prop.ground_clearance.take_off"].verdict == "fail"


def test_a_machine_on_one_main_wheel_has_no_ground(variant) -> None:
    p = variant()
    main, nose = p.gear.wheels
    p = with_wheels(p, (changed(main, mirrored=False), nose))
    assert grounds(p) == []
    checks = {c.id: c for c in judge(figures(p).values(), targets(p))}
    for name in ("static", "take_off", "rotated", "flat_tyre"):
        check = checks[f"prop.ground_clearance.{name}"]
        assert check.verdict == "not_measured"
        assert "can't stand" in check.note
        assert check.binding


@pytest.mark.parametrize("seed", few(range(50), 0, 1))
def test_wheels_by_chance_stand_as_their_hull_does(variant, seed) -> None:
    """Every wheel elsewhere and of another size: springs and flat tyres, within the bound."""
    chance = random.Random(seed)
    p = variant(config=chance.choice(("saltmarsh", "hayfield")))
    wheels = tuple(
        changed(
            w,
            station=w.station + chance.uniform(-80, 80),
            waterline=w.waterline + chance.uniform(-25, 25),
            buttock_line=w.buttock_line * chance.uniform(0.8, 1.2),
            diameter=w.diameter * chance.uniform(0.9, 1.15),
        )
        for w in p.gear.wheels
    )
    p = with_wheels(p, wheels)
    found, at = figures(p), weight(p)
    flat = [(w.name, side) for w in p.gear.wheels
            for side in ((1, -1) if w.mirrored and w.buttock_line else (1,))]  # fmt: skip
    due = {
        "flat_tyre": min(lowest(p, *under(tyres(p, one), at)) for one in flat),
        "spring": lowest(p, *under(tyres(p, times=1.5), at)),
    }
    for name, least in due.items():
        # The hull's points stand 0.01 mm off the round treads.
        assert found[name].error_bound is not None
        assert abs(found[name].value - least) <= found[name].error_bound + 0.05


def over_ground(p, **parts):
    """Return the checks of plain bodies over the grounds of a file, by attitude."""
    model = Model(parts=parts, families={n: n for n in parts}, grounds=grounds(p))
    boxes = {name: loose_box(solid) for name, solid in parts.items()}
    given = Given(bodies=bodies_of(model))
    answers = {q.name: q.ask(given) for q in GROUND.ask(model, boxes)}
    found = GROUND.say(Answered(model, list(parts), answers))
    due = [target for target in targets(p) if target.id == "ground.clearance.*"]
    return {c.id.removeprefix("ground.clearance."): c for c in judge(found, due)}


@pytest.mark.parametrize("high", [60.0, 300.0, 900.0])
@pytest.mark.parametrize("end", [3000.0, 5200.0])
def test_a_boom_that_strikes_with_the_nose_up_fails_there(variant, end, high) -> None:
    """A straight boom, in closed form: the lowest of its eight corners."""
    p = variant()
    low, top = (1900.0, 740.0, high), (end, 800.0, high + 60.0)
    checks = over_ground(p, boom=box(low, top))
    corners = np.array(list(product(*zip(low, top, strict=True))))
    for ground in grounds(p):
        if ground.name in ("static", "take_off", "rotated", "spring"):
            up = (corners - np.array(ground.plane.origin)) @ np.array(ground.plane.normal)
            check = checks[ground.name]
            assert check.measured == pytest.approx(float(up.min()), abs=1e-3)
            assert check.verdict == ("pass" if up.min() > 0 else "fail")
            assert check.stops == (up.min() <= 0)


def test_booms_that_clear_the_ground_standing_strike_it_nose_up(variant) -> None:
    checks = over_ground(variant(), boom=box((1900.0, 740.0, 300.0), (5200.0, 800.0, 360.0)))
    assert (checks["static"].verdict, checks["rotated"].verdict) == ("pass", "fail")
    assert checks["rotated"].where.startswith("boom at STA 5200")


FORK = "gear.wheels.nose.leg.axle_diameter=90 mm"


@pytest.mark.parametrize("tyre", [110.0, 160.0, 250.0])
def test_a_fork_lower_than_its_tyre_fails_where_it_strikes(variant, tyre) -> None:
    """By hand: blades reach 45 mm below the axle along the fork, the tyre its radius less 35."""
    p = variant(FORK, f"gear.wheels.nose.diameter={tyre} mm", "gear.wheels.nose.width=60 mm",
                "rules.structure_clearance=200 mm", "gear.wheels.nose.leg.station=380 mm",
                f"gear.wheels.nose.waterline={-130 + tyre / 2 - 35} mm")  # fmt: skip
    every = legs(p, lambda family: cutters(p, family))
    solids = {piece.name: piece.solid for piece in every if "nose" in piece.name}
    model = Model(parts=solids, families=dict.fromkeys(solids, "leg"), grounds=grounds(p),
                  struts=struts(p))  # fmt: skip
    boxes, given = {n: loose_box(s) for n, s in solids.items()}, Given(bodies=bodies_of(model))
    answers = {q.name: q.ask(given) for q in GROUND.ask(model, boxes)}
    found = GROUND.say(Answered(model, list(solids), answers))
    checks = {c.id: c for c in judge(found, [t for t in targets(p) if "legs" in t.id])}
    static = checks["ground.clearance.legs.static"]
    due = tyre / 2 - 35.0 - 45.0
    assert static.measured == pytest.approx(due, abs=0.1)
    assert static.verdict == ("pass" if due > 0 else "fail")
    assert static.part == "leg_nose"
    # The nose strut is bottomed with its leg: 45 mm more of tyre are gone.
    assert checks["ground.clearance.legs.flat_tyre"].measured < due - 44.0


def test_without_gear_there_is_no_ground_and_nothing_stops(variant) -> None:
    p = variant().model_copy(update={"gear": None})
    (check,) = over_ground(p, boom=box((0, 0, 0), (1, 1, 1))).values()
    assert (check.verdict, check.stops) == ("not_measured", False)
    assert "no [gear]" in check.note
