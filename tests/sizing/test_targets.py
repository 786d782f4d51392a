from math import pi

import numpy as np
import pytest

from geomgen.kernel.openings.window import angle_between
from geomgen.measurements.record import Measurement
from geomgen.shapes.gear import grounds
from geomgen.shapes.hull import pod_lines
from geomgen.shapes.scoop_route import routes
from geomgen.sizing.targets import conversions, targets
from geomgen.verdicts.judge import judge


def by_id(p):
    found = {target.id: target for target in targets(p)}
    assert len(found) == len(targets(p))
    return found


def test_every_target_is_there(parameters):
    ids = set(by_id(parameters()))
    wanted = {
        "prop.radial_clearance",
        "prop.axial_clearance",
        "prop.trailing_edge_gap",
        "prop.ground_clearance.static",
        "prop.clearance",
        "prop.spinner_clearance",
        "prop.ground_clearance.take_off",
        "prop.ground_clearance.rotated",
        "prop.ground_clearance.spring",
        "prop.ground_clearance.flat_tyre.*",
        "prop.tip_mach",
        "firewall.area",
        "firewall.fill",
        "firewall.edge_gap",
        "firewall.open_holes",
        "firewall.astray_fittings",
        "firewall.material",
        "firewall.fittings",
        "firewall.thickness",
        "firewall.mass",
        "inlet.area",
        "exit.area",
        "exit.to_inlet_ratio",
        "exit.area_by_heat",
        "exit.way",
        "inlet.way",
        "engine.clearance.*",
        "parts.interference.*",
        "parts.attached.*",
        "parts.seat.*",
        "mesh.deviation.*",
    }
    assert wanted <= ids


def test_each_says_where_it_comes_from(parameters):
    for target in targets(parameters()):
        limited = target.low is not None or target.high is not None or target.allowed_words
        assert limited or target.notices
        assert target.source or target.comparison == "none"
        assert target.formula


def test_inlet_follows_the_rule_of_thumb_with_its_band(parameters):
    """Rule of thumb (PRACTICE): 40 bhp at 50 kt ask for 31.02 in^2."""
    target = by_id(parameters())["inlet.area"]
    assert target.low / 25.4**2 == pytest.approx(31.02, abs=0.005)
    assert target.band[0] / target.low == pytest.approx(50 / 54)
    assert target.band[1] / target.low == pytest.approx(50 / 46)
    assert ("shaft power", "40.00 bhp") in target.inputs
    assert any("84.39 ft/s (written as 50 kt)" in value for _, value in target.inputs)


def test_exit_is_the_ratio_of_the_needed_inlet(parameters):
    found = by_id(parameters())
    assert found["exit.area"].low == pytest.approx(0.6 * found["inlet.area"].low)
    ratio = found["exit.to_inlet_ratio"]
    assert (ratio.low, ratio.usual) == pytest.approx((0.6, 1.0))
    assert ratio.high is None


def test_what_heat_and_pressure_ask_for_is_a_check_of_its_own(parameters):
    """Energy balance and Bernoulli by hand, 40 bhp in warm air (DERIVED), spread a fifth."""
    p = parameters("cooling.baffle_drop=200 Pa", "cooling.spread=0.2")
    found = by_id(p)["exit.area_by_heat"]
    assert "needed by engine heat and pressure" in found.what
    flow = 0.6 * p.powerplant.power / (1005 * p.cooling.air_rise)
    ram = 0.5 * p.flight.air_density * p.flight.climb_speed**2
    left = 0.8 * ram - 200.0
    warm = p.flight.sound_speed**2 / (1.4 * 287.05)
    density = p.flight.air_density * warm / (warm + p.cooling.air_rise)
    wanted = flow / (density * (left / ram) ** 0.5 * p.flight.climb_speed) * 1e6
    assert found.wanted == pytest.approx(wanted, rel=2e-3)
    assert found.low == pytest.approx(0.8 * wanted, rel=2e-3)
    assert not found.hopeless


def test_air_that_can_not_get_out_fails_whatever_the_exit(parameters):
    found = by_id(parameters("cooling.baffle_drop=900 Pa"))["exit.area_by_heat"]
    assert "the ram pressure can't push this flow" in found.hopeless
    assert "900.0 Pa" in found.hopeless
    area = Measurement("exit.area_by_heat", "exit", "", 1e9, "mm2", "exact", error_bound=0.1)
    (check,) = judge([area], [found])
    assert check.verdict == "fail"
    assert check.stops
    assert "can't push" in check.note


@pytest.mark.parametrize(
    ("speed", "right", "wrong"),
    [("50 kt", "31.02 in^2", "52.36 in^2"), ("57.5389723 mph", "31.02 in^2", "45.50 in^2")],
)
def test_speed_in_another_unit_is_told_loudly(parameters, speed, right, wrong):
    """What the number fed in as it stands would have given (PRACTICE)."""
    notice = by_id(parameters(f"flight.climb_speed={speed}"))["inlet.area"].notices[0]
    assert notice.startswith("UNITS")
    assert speed in notice
    for figure in (right, wrong):
        assert figure in notice
    assert notice.count("cm^2") == 2
    assert "too much" in notice


def test_a_number_that_makes_the_inlet_too_small_is_told(parameters):
    notice = by_id(parameters("flight.climb_speed=92.6 km/h"))["inlet.area"].notices[0]
    assert "too little" in notice


def test_no_warning_for_feet_a_second(parameters):
    notices = by_id(parameters("flight.climb_speed=84.39 ft/s"))["inlet.area"].notices
    assert not any("UNITS" in notice for notice in notices)


def test_scoops_have_a_target_a_part(parameters):
    p = parameters("scoops.0.mirrored=true", "scoops.0.clock_angle=0 deg")
    scoop, found = p.scoops[0], by_id(p)
    drawn = scoop.width * scoop.height - (4 - pi) * scoop.corner_radius**2
    for side in ("right", "left"):
        part = f"scoop_{scoop.name}_{side}"
        area = found[f"inlet.area.{part}"]
        assert (area.low, area.high) == pytest.approx((0.98 * drawn, 1.02 * drawn))
        assert found[f"duct.throat_area.{part}"].low == pytest.approx(0.95 * drawn)
        assert found[f"duct.turn_angle.{part}"].high == 140


@pytest.mark.parametrize("around", ["90 deg", "-90 deg"])
def test_a_scoop_on_the_centre_plane_stands_once(parameters, around):
    p = parameters("scoops.0.mirrored=true", f"scoops.0.clock_angle={around}")
    assert f"inlet.area.scoop_{p.scoops[0].name}" in by_id(p)


def test_mouths_that_are_too_small_are_told_before_anything_is_built(parameters):
    p = parameters("powerplant.power=200 bhp")
    assert any("the mouths as drawn" in n for n in by_id(p)["inlet.area"].notices)


def test_clearances_follow_the_rule_set(parameters):
    """14 CFR 23.925 and CS 22.925 (PUBLISHED)."""
    american = by_id(parameters("rules.clearances=14 CFR 23.925"))
    european = by_id(parameters("rules.clearances=CS 22.925"))
    assert american["prop.radial_clearance"].low == pytest.approx(25.4)
    assert european["prop.radial_clearance"].low == 25
    assert american["prop.axial_clearance"].low == pytest.approx(12.7)
    assert european["prop.axial_clearance"].low == 13


def test_own_clearance_keeps_its_source_and_less_than_the_rule_is_told(parameters):
    own = 'rules.radial_clearance={ value = "20 mm", source = "own tests" }'
    target = by_id(parameters("rules.clearances=CS 22.925", own))["prop.radial_clearance"]
    assert (target.low, target.source) == (20, "own tests")
    assert "less than the 25 mm of CS 22.925" in target.notices[0]
    more = parameters("rules.radial_clearance=40 mm")
    assert by_id(more)["prop.radial_clearance"].notices == ()


def test_ground_tricycle_asks_for_the_rule_at_take_off_too(parameters):
    """14 CFR 23.925(a): level, normal take-off or taxying; (b): no contact nose-up at rotation."""
    p = parameters("rules.clearances=14 CFR 23.925")
    assert p.gear.layout == "tricycle"
    found = by_id(p)
    for key in ("static", "take_off"):
        target = found[f"prop.ground_clearance.{key}"]
        assert (target.comparison, target.low) == ("at least", pytest.approx(177.8))
    for key in ("rotated", "flat_tyre.*", "spring"):
        target = found[f"prop.ground_clearance.{key}"]
        assert (target.comparison, target.low) == ("more than", 0)
    assert "prop.ground_clearance.tail_down" not in found


@pytest.mark.parametrize(("rule", "least"), [("14 CFR 23.925", 12.7), ("CS 22.925", 13.0)])
def test_true_clearance_is_held_to_the_lesser_of_both_limits(parameters, rule, least):
    p = parameters(f"rules.clearances={rule}")
    p = p.model_copy(update={"rules": p.rules.model_copy(update={"axial_clearance": None})})
    assert by_id(p)["prop.clearance"].low == pytest.approx(least)
    assert by_id(p)["prop.spinner_clearance"].low == 0.0
    assert "prop.spinner_clearance" not in by_id(p.model_copy(update={"spinner": None}))


def test_the_shake_of_the_mounts_is_no_blade(parameters):
    """Blades of 1.40 m at 2,500 rpm and 25 m/s: Mach 0.5435, however they shake (DERIVED)."""
    p = parameters(
        "propeller.diameter=1.4 m",
        "propeller.mount_travel_radial=20 mm",
        "powerplant.rpm=2500 rpm",
        *("flight.level_speed=25 m/s", "flight.climb_speed=24 m/s"),
        "flight.sound_speed=340.29 m/s",
    )
    (row,) = [c for c in conversions(p) if c.id == "prop.tip_mach"]
    assert row.apply(700.0 + 20.0) == pytest.approx(0.5435, abs=5e-5)


def test_ground_tailwheel_on_three_points_asks_for_the_rule_too(parameters):
    """14 CFR 23.925(a): the taxying attitude of a tailwheel aeroplane is on three points."""
    p = parameters("rules.clearances=14 CFR 23.925")
    rules = p.rules.model_copy(update={"ground_clearance": None})
    gear = p.gear.model_copy(update={"layout": "tailwheel"})
    found = by_id(p.model_copy(update={"gear": gear, "rules": rules}))
    for key in ("static", "tail_down"):
        assert found[f"prop.ground_clearance.{key}"].low == pytest.approx(228.6)


@pytest.mark.parametrize("tail", ["open", "flat", "round"])
def test_a_closed_tail_leaves_the_air_no_way_out_and_fails(parameters, tail):
    """Closed, with scoops: the exit has no area, which the target must not let pass."""
    p = parameters()
    closed = {"pod": p.pod.model_copy(update={"tail": tail}), "exit": None}
    target = by_id(p.model_copy(update=closed))["exit.area"]
    told = [notice for notice in target.notices if notice.startswith("NO EXIT")]
    assert len(told) == (tail != "open")
    assert all(f'"{tail}"' in notice and 'pod.tail = "open"' in notice for notice in told)
    assert target.severity == "fail"
    assert target.low > 0.0


def test_tables_left_out_warn_only(parameters):
    found = by_id(parameters().model_copy(update={"gear": None, "engine": None}))
    assert found["prop.ground_clearance.static"].severity == "warn"
    assert found["engine.clearance.*"].severity == "warn"
    assert all(t.severity == "warn" for key, t in found.items() if key.startswith("duct.turn"))
    assert found["prop.radial_clearance"].severity == "fail"


def test_aluminium_has_no_thickness(parameters):
    found = by_id(parameters("firewall.material=aluminium"))
    assert "aluminium" not in found["firewall.material"].allowed_words
    assert "never" in found["firewall.material"].notices[0]
    assert found["firewall.thickness"].low is None
    assert "no thickness" in found["firewall.thickness"].notices[0]


def test_firewall_area_and_mass_only_when_asked_for(parameters):
    p = parameters("rules.firewall_area=2000 cm^2", "rules.firewall_mass=1 kg")
    found = by_id(p)
    area = found["firewall.area"]
    assert (area.low, area.high) == pytest.approx((0.98 * 200000, 1.02 * 200000))
    assert found["firewall.mass"].high == 1
    rules = p.rules.model_copy(update={"firewall_mass": None, "firewall_area": None})
    bare = by_id(p.model_copy(update={"rules": rules}))
    assert "firewall.area" not in bare
    mass = bare["firewall.mass"]
    assert mass.comparison == "none"
    assert "rules.firewall_mass" in mass.notices[0]


def test_conversions_give_mach_and_mass(parameters):
    p = parameters(
        *("flight.level_speed=25 m/s", "flight.climb_speed=24 m/s", "powerplant.rpm=2500 rpm")
    )
    rows = {c.id: c for c in conversions(p)}
    assert rows["prop.tip_mach"].apply(700.0 + p.propeller.mount_travel_radial) == pytest.approx(
        0.5435, abs=5e-5
    )
    assert rows["firewall.mass"].apply(1e6) == pytest.approx(p.firewall.density / 1000)


def test_interference_allows_the_stated_depth(parameters):
    assert by_id(parameters("rules.interference=0 mm"))["parts.interference.*"].low == 0
    assert by_id(parameters("rules.interference=2 mm"))["parts.interference.*"].low == -2


def test_parts_that_share_space_are_told_what_to_do(parameters):
    told = by_id(parameters())["parts.interference.*"].advice
    assert "move one of the two" in told
    assert "[[joints]]" in told


def test_a_loose_part_fails_and_a_poor_seat_warns(parameters):
    found = by_id(parameters())
    assert (found["parts.attached.*"].high, found["parts.attached.*"].severity) == (0.0, "fail")
    assert (found["parts.seat.*"].low, found["parts.seat.*"].severity) == (0.5, "warn")
    assert "own choice" in found["parts.seat.*"].source


def drawn_turn(p):
    """Return the turn [deg] of the first scoop's air along the openings as drawn."""
    way = routes(p, pod_lines(p))[0]
    line = [o.seed for o in (way.mouth, *way.throats)] + [way.into_bay, way.fan.origin]
    steps = [np.subtract(b, a) for a, b in zip(line[:-1], line[1:], strict=True)]
    return sum(
        angle_between(tuple(a), tuple(b))
        for a, b in zip([way.mouth.plane.normal, *steps], [*steps, way.fan.normal], strict=True)
    )


@pytest.mark.parametrize(
    "change",
    [
        "engine.fan_face.station=2230 mm",
        "scoops.cheek.mouth_ahead=60 mm",
        "scoops.cheek.passage_length=210 mm",
        "engine.fan_face.buttock_line=30 mm",
    ],
)
def test_each_key_that_is_to_lower_the_turn_does(parameters, change):
    p = parameters()
    key = change.partition("=")[0]
    assert key in by_id(p)["duct.turn_angle.scoop_cheek_right"].advice
    assert drawn_turn(parameters(change)) < drawn_turn(p) - 5.0


@pytest.mark.parametrize(("facing", "least"), [("aft", 180), ("up", 90), ("left", 90)])
def test_a_fan_that_does_not_look_forward_is_told_what_that_costs(parameters, facing, least):
    p = parameters(f"engine.fan_face.facing={facing}")
    advice = by_id(p)["duct.turn_angle.scoop_cheek_right"].advice
    assert f"looks {facing}" in advice
    assert f"by {least} deg" in advice
    assert drawn_turn(p) > least - 1e-6


@pytest.mark.parametrize(
    ("nose_pair", "words"), [(False, "on all 3 wheels"), (True, "on all 4 wheels")]
)
def test_the_wheels_are_counted(parameters, nose_pair, words):
    changes = ["gear.layout=tailwheel", "gear.wheels.nose.role=tail"]
    if nose_pair:
        changes += ["gear.wheels.nose.buttock_line=300 mm", "gear.wheels.nose.mirrored=true"]
    p = parameters(*changes)
    assert words in by_id(p)["prop.ground_clearance.tail_down"].what
    told = [ground.note for ground in grounds(p) if ground.name == "tail_down"]
    assert told
    assert told[0].startswith(words)


@pytest.mark.parametrize("way", ["aft", "forward"])
def test_a_way_that_is_narrowed_says_what_may_stand_in_it(parameters, way):
    p = parameters("firewall.flange=20 mm", f"firewall.flange_direction={way}")
    told = [t.advice for t in targets(p) if t.id.startswith("inlet.way.")]
    assert told
    for words in told:
        assert "passage_length" in words
        assert ("flange_direction" in words) is (way == "aft")


def test_all_ways_together_are_asked_for_what_the_single_ones_are_in_sum(parameters):
    found = by_id(parameters())
    each = [target.low for id_, target in found.items() if id_.startswith("inlet.way.")]
    assert len(each) == 2
    assert found["inlet.way"].low == pytest.approx(sum(each), rel=1e-12)


def test_one_mouth_is_asked_for_no_way_together(parameters):
    found = by_id(parameters("scoops.0.mirrored=false"))
    assert "inlet.way" not in found
    assert sum(id_.startswith("inlet.way.") for id_ in found) == 1


@pytest.mark.parametrize(
    ("written", "comparison", "low"),
    [((), "more than", 0.0), (("rules.structure_clearance=4 in",), "at least", 101.6)],
)
def test_the_rest_of_the_machine_stands_over_the_ground_by_the_builders_own_limit(
    variant, written, comparison, low
):
    aim = by_id(variant(*written))["ground.clearance.*"]
    assert (aim.comparison, aim.low) == (comparison, pytest.approx(low))
    assert ("rules.structure_clearance" in aim.formula) == bool(written)
