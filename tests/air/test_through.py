"""The cooling air from measurements and file, against the balance of the same parts by hand."""

from dataclasses import replace
from math import cos, inf, radians

import pytest

from geomgen.air.cooling.balance import solve
from geomgen.air.cooling.deciding import cooling_band, rise_at_fins
from geomgen.air.cooling.losses import passage
from geomgen.air.cooling.parts import AirExit, AirMouth, AirState, CoolingParts, FinDrop
from geomgen.air.through import STATES, UNKNOWN_SLOW, cooled_states, cooling_figures
from geomgen.errors import ParameterError
from geomgen.measurements.record import Measurement
from geomgen.sizing.targets import targets
from geomgen.verdicts.judge import judge

AIR = ("air.mass=290 kg", "air.leakage=0.1", "air.discharge=0.9")
SPEED, DENSITY, AREA, THROAT, TURN, EXIT = 25.0, 1.225, 8000.0, 7600.0, 60.0, 26000.0
RAM = 0.5 * SPEED**2
CP, ANGLE, SLOW, OUTSIDE = 0.1, 12.0, 0.08, -0.15


@pytest.fixture(scope="module")
def file(variant):
    return variant(*AIR, f"flight.climb_speed={SPEED} m/s")


def measured(id_, value, unit, **more):
    return Measurement(id_, more.pop("part", "pod"), "", value, unit, "made up", **more)


def outside(state, **changed):
    """Return what is told of the air outside in a state; only the right-hand mouth is drawn."""
    ram = 0.0 if state == "standing" else RAM
    told = {
        "ram": ram,
        "rim": -60.0 if state == "standing" else OUTSIDE * RAM * DENSITY,
        **({} if state == "standing" else {"pressure scoop_cheek_right": CP}),
        **({} if state == "standing" else {"angle scoop_cheek_right": ANGLE}),
        **({} if state == "standing" else {"slow scoop_cheek_right": SLOW}),
    }
    told = {key: value for key, value in {**told, **changed}.items() if value is not None}
    return measured(f"air.{state}", 2.0, "deg", further=tuple(told.items()))


def made_up(states=STATES, without=(), exit_=EXIT, **changed):
    sides = ("scoop_cheek_right", "scoop_cheek_left")
    found = [measured("exit.way", exit_, "mm2"), *(outside(s, **changed) for s in states)]
    for side in sides:
        found += [
            measured(f"inlet.area.{side}", AREA, "mm2", part=side),
            measured(f"duct.throat_area.{side}", THROAT, "mm2", part=side),
            measured(f"duct.turn_angle.{side}", TURN, "deg", part=side),
        ]
    return [m for m in found if m.id not in without]


def by_hand(p, state="climb", exit_=EXIT):
    """Return parts and state as the balance takes them, each figure written here."""
    s = p.scoops[0]
    lip = s.lip_radius / (2 * s.width * s.height / (s.width + s.height))
    way = passage(AREA, angle=TURN, throat=THROAT, end=THROAT, spread=0.0, bay=1e9)
    standing = state == "standing"
    mouths = tuple(
        AirMouth(n, AREA, way, lip=lip)
        if standing
        else AirMouth(n, AREA, way, pressure=CP, angle=ANGLE, slow=SLOW, lip=lip)
        for n in "ab"
    )
    heat = p.cooling.heat_fraction * p.powerplant.power
    needed = heat / (1005.0 * p.cooling.air_rise)
    fins = FinDrop((needed,), (p.cooling.baffle_drop,), 1.8, p.flight.air_density)
    parts = CoolingParts(mouths, fins, AirExit(exit_, 0.9, 0.0 if standing else OUTSIDE), 0.1)
    given = AirState(
        *(state, 0.0 if standing else SPEED, heat * (p.air.glide_heat if state == "glide" else 1)),
        *(p.cooling.air_rise, p.flight.air_density, p.flight.sound_speed**2 / (1.4 * 287.05)),
        pull=-60.0 if standing else 0.0,
    )
    return parts, given


def figures(p, measurements):
    return {m.id: m for m in cooling_figures(p, measurements)}


def test_scoops_of_the_file_are_those_that_are_made_up(file):
    assert [scoop.name for scoop in file.scoops] == ["cheek"]
    assert file.flight.air_density == pytest.approx(DENSITY)


@pytest.mark.parametrize("state", ["climb", "glide", "standing"])
def test_flow_and_rise_are_those_of_the_balance(file, state):
    found, due = figures(file, made_up()), solve(*by_hand(file, state))
    assert found[f"cooling.mass_flow.{state}"].value == pytest.approx(due.flow, rel=1e-9)
    assert found[f"cooling.air_rise.{state}"].value == pytest.approx(due.rise, rel=1e-9)
    # Energy: what leaks by takes no heat, the rest takes all of it.
    heat = by_hand(file, state)[1].heat
    assert 0.9 * due.flow * 1005.0 * due.rise == pytest.approx(heat, rel=1e-9)


def test_each_state_is_told_once(file):
    found = list(cooling_figures(file, made_up()))
    assert [m.id for m in found] == [
        f"cooling.{what}.{state}" for state in STATES for what in ("mass_flow", "air_rise")
    ]
    assert [m.id for m in cooling_figures(file, made_up(("climb",)))] == [
        "cooling.mass_flow.climb", "cooling.air_rise.climb",
    ]  # fmt: skip


def test_level_flight_has_its_own_speed(file):
    found = {each.through.state.name: each.through.state for each in cooled_states(file, made_up())}
    assert found["level"].speed == pytest.approx(file.flight.level_speed)
    assert found["climb"].speed == pytest.approx(SPEED)
    assert found["standing"].speed == 0.0
    assert found["glide"].heat == pytest.approx(0.2 * found["climb"].heat)


def test_smaller_exit_makes_hotter_air(file):
    rises = [
        figures(file, made_up(exit_=area))["cooling.air_rise.climb"].value
        for area in (60000.0, 30000.0, 15000.0, 8000.0)
    ]
    assert rises == sorted(rises)
    assert rises[-1] > 1.2 * rises[0]


@pytest.mark.parametrize(
    ("change", "hotter"),
    [
        ({"pressure scoop_cheek_right": -0.4}, True),
        ({"slow scoop_cheek_right": 0.5}, True),
        ({"angle scoop_cheek_right": 40.0}, True),
        ({"angle scoop_cheek_right": 0.0}, False),
        ({"rim": 0.1 * RAM * DENSITY}, True),
        ({"rim": -0.5 * RAM * DENSITY}, False),
    ],
)
def test_worse_air_outside_makes_hotter_air(file, change, hotter):
    usual = figures(file, made_up(("climb",)))["cooling.air_rise.climb"].value
    found = figures(file, made_up(("climb",), **change))["cooling.air_rise.climb"].value
    assert (found > usual) == hotter


def test_standing_the_propeller_pulls_the_air_through(file):
    flows = [
        figures(file, made_up(("standing",), rim=pull))["cooling.mass_flow.standing"].value
        for pull in (-20.0, -60.0, -200.0)
    ]
    assert flows == sorted(flows)
    assert flows[0] > 0


def test_standing_its_pull_on_the_mouths_holds_the_air_back(file):
    free, held = (
        figures(file, made_up(("standing",), **{"pull scoop_cheek_right": pull}))
        for pull in (None, -30.0)
    )
    assert held["cooling.mass_flow.standing"].value < free["cooling.mass_flow.standing"].value
    due = solve(by_hand(file, "standing")[0], replace(by_hand(file, "standing")[1], mouth_pull=-30))
    assert held["cooling.mass_flow.standing"].value == pytest.approx(due.flow, rel=1e-9)


def test_air_that_does_not_go_through_is_a_failure_in_words(file):
    found = figures(file, made_up(("standing",), rim=5.0))["cooling.air_rise.standing"]
    assert (found.value, found.broken) == (None, True)
    assert "no air goes aft" in found.where


@pytest.mark.parametrize(
    ("gone", "words"),
    [
        ("exit.way", "the pod has no exit"),
        ("inlet.area.scoop_cheek_left", None),
        ("duct.throat_area.scoop_cheek_left", "the throat of scoop_cheek_left was not measured"),
        ("duct.turn_angle.scoop_cheek_right", "the turn of scoop_cheek_right was not measured"),
    ],
)
def test_without_one_of_its_figures_nothing_is_worked_out_and_it_is_said(file, gone, words):
    found = list(cooling_figures(file, made_up(("climb",), without=(gone,))))
    if words is None:  # nobody knows of that mouth
        assert len(found) == 2
        return
    (only,) = found
    assert (only.id, only.value, only.broken) == ("cooling.air_rise.climb", None, False)
    assert words in only.note


@pytest.mark.parametrize(
    "id_", ["exit.way", "inlet.area.scoop_cheek_left", "duct.throat_area.scoop_cheek_left"]
)
def test_mouth_or_exit_that_could_not_be_measured_is_not_left_out(file, id_):
    """With one mouth blocked the other one alone is no figure of this machine."""
    rows = [replace(m, value=None, broken=True) if m.id == id_ else m for m in made_up(("climb",))]
    (only,) = cooling_figures(file, rows)
    assert only.value is None
    assert "was not measured" in only.note
    assert list(cooled_states(file, rows)) == []


def test_mouth_without_air_outside_is_not_taken_for_one_in_still_air(file):
    gone = dict.fromkeys(("pressure scoop_cheek_right", "slow scoop_cheek_right"))
    (only,) = cooling_figures(file, made_up(("climb",), **gone))
    assert only.value is None
    assert "the air outside scoop_cheek_right was not measured" in only.note


def test_pressure_outside_the_exit_that_is_missing_is_said(file):
    (only,) = cooling_figures(file, made_up(("climb",), rim=None))
    assert only.value is None
    assert "the pressure outside the exit was not measured" in only.note


def test_slow_layer_that_could_not_be_told_is_said(file):
    rows = made_up(("climb",), **{"slow scoop_cheek_right": None})
    rows.append(measured("inlet.slow_layer.scoop_cheek_right", None, "1", part="scoop_cheek_right"))
    found = figures(file, rows)["cooling.air_rise.climb"]
    assert "slow layer before scoop_cheek_right not told, taken to eat 30%" in found.note
    (state,) = cooled_states(file, rows)
    assert state.through.mouths[0].caught == pytest.approx(
        (CP + (1 - CP) * (1 - UNKNOWN_SLOW) * cos(radians(ANGLE)) ** 2) * RAM * DENSITY
    )


def test_one_state_out_of_range_is_said_and_leaves_the_others(file):
    """A slipstream over the exit gives more than the pressure of air at rest."""
    rows = [*made_up(("level",)), outside("climb", rim=2.0 * RAM * DENSITY)]
    found = figures(file, rows)
    assert found["cooling.air_rise.climb"].value is None
    assert "exit: pressure out of range" in found["cooling.air_rise.climb"].note
    assert found["cooling.air_rise.level"].value > 0
    with pytest.raises(ParameterError):
        list(cooled_states(file, rows))


def test_panels_that_make_a_little_more_than_rest_do_not_matter(file):
    found = figures(file, made_up(("climb",), rim=1.01 * RAM * DENSITY))
    assert found["cooling.air_rise.climb"].broken


def test_density_wrong_by_a_thousand_is_refused(variant):
    for wrong in ("1225 kg/m^3", "0.001225 kg/m^3"):
        with pytest.raises(ParameterError, match="density"):
            variant(*AIR, f"flight.air_density={wrong}")


def test_without_an_air_table_or_a_scoop_nothing_is_asked(file):
    assert list(cooling_figures(file.model_copy(update={"air": None}), made_up())) == []
    assert list(cooling_figures(file.model_copy(update={"scoops": ()}), made_up())) == []


def test_air_that_could_not_be_worked_out_is_no_pass(file):
    """A check that is left out would let a machine pass that nobody looked at."""
    rows = [*made_up(()), measured("exit.pressure", None, "1", note="no attack within 30 deg")]
    found = figures(file, rows)
    assert set(found) == {f"cooling.air_rise.{state}" for state in STATES}
    assert all(m.value is None and m.note == "no attack within 30 deg" for m in found.values())
    assert all("not worked out" in m.note for m in cooling_figures(file, made_up(())))
    checks = judge(found.values(), [t for t in targets(file) if t.id.startswith("cooling.")])
    assert {c.verdict for c in checks} == {"not_measured"}
    assert any(c.stops for c in checks)


@pytest.mark.parametrize("cooked", [False, True])
def test_layer_that_could_not_be_told_passes_nothing(file, cooked):
    """Inside its limit it warns, for the layer may eat all; beyond it fails if it must."""
    rows = made_up(("climb",), **{"slow scoop_cheek_right": None})
    p = file.model_copy(
        update={"cooling": file.cooling.model_copy(update={"air_rise": 20.0 if cooked else 199.0})}
    )
    limits = [t for t in targets(p) if t.id == "cooling.air_rise.climb"]
    (check,) = judge([figures(p, rows)["cooling.air_rise.climb"]], limits)
    assert check.verdict == ("fail" if cooked else "warn")


@pytest.mark.parametrize("limit", [20.0, 199.0])
def test_what_is_not_seen_in_the_air_passes_no_rise(file, limit):
    rows = [
        replace(m, note="open cockpit") if m.id == "air.climb" else m for m in made_up(("climb",))
    ]
    p = file.model_copy(update={"cooling": file.cooling.model_copy(update={"air_rise": limit})})
    limits = [t for t in targets(p) if t.id == "cooling.air_rise.climb"]
    (check,) = judge([figures(p, rows)["cooling.air_rise.climb"]], limits)
    assert check.verdict == ("fail" if limit == 20.0 else "warn")
    assert "open cockpit" in check.note


def test_band_holds_what_the_panels_say_of_the_exit(file):
    usual, wide = (
        figures(file, made_up(("climb",), **{"rim off": off}))["cooling.air_rise.climb"]
        for off in (0.0, 2.0 * abs(OUTSIDE) * RAM * DENSITY)
    )
    assert wide.value == usual.value
    assert wide.error_bound > 1.05 * usual.error_bound


@pytest.mark.parametrize("share", [0.0, CP, 0.4])
def test_band_holds_what_the_panels_say_of_the_mouths(file, share):
    """A mouth where the skin has the pressure of the free air is known no better than another."""
    at = {"pressure scoop_cheek_right": share}
    usual, wide = (
        figures(file, made_up(("climb",), **at, **more))["cooling.air_rise.climb"]
        for more in ({}, {"pressure off scoop_cheek_right": 0.6})
    )
    assert wide.value == usual.value
    assert wide.error_bound > 1.001 * usual.error_bound


def test_lip_is_that_of_the_scoop_itself_and_not_of_one_that_begins_alike(file):
    cheek = file.scoops[0]
    alike = cheek.model_copy(update={"name": "che", "lip_radius": 0.0})
    both = file.model_copy(update={"scoops": (alike, cheek)})
    usual, found = (
        figures(p, made_up(("standing",)))["cooling.mass_flow.standing"].value for p in (file, both)
    )
    assert found == pytest.approx(usual, rel=1e-12)


def test_bound_is_that_of_the_band_towards_the_limit(file):
    parts, state = by_hand(file)
    band = cooling_band(parts, state, figure=rise_at_fins)
    found = figures(file, made_up(("climb",)))["cooling.air_rise.climb"]
    due = band.best - band.low if band.best > state.allowed else band.high - band.best
    assert found.error_bound == pytest.approx(due, rel=1e-6)
    cool = file.model_copy(update={"cooling": file.cooling.model_copy(update={"air_rise": 200.0})})
    low = figures(cool, made_up(("climb",)))["cooling.air_rise.climb"]
    assert low.value < 200.0
    assert low.error_bound > 0


def test_band_without_end_is_never_sure(file):
    """Little drives the air: at one end of an input's own band none goes through."""
    rows = made_up(("standing",), exit_=90000.0, rim=-4.0, **{"pull scoop_cheek_right": -2.5})
    little = {"air_rise": 990.0, "heat_fraction": 0.001, "baffle_drop": 0.0}
    cool = file.model_copy(update={"cooling": file.cooling.model_copy(update=little)})
    found = figures(cool, rows)["cooling.air_rise.standing"]
    assert found.value < 990.0
    assert found.error_bound == inf


def test_band_of_the_slow_layer_is_that_which_was_told(file):
    """What the layer takes at most is an end of what the balance is asked for."""
    side = "scoop_cheek_right"
    own = {f"least slow {side}": 0.5 * SLOW, f"most slow {side}": 0.9}
    plain = figures(file, made_up(("climb",)))["cooling.air_rise.climb"]
    wide = figures(file, made_up(("climb",), **own))["cooling.air_rise.climb"]
    assert wide.value == pytest.approx(plain.value)
    parts, state = by_hand(file)
    slowed = replace(parts, mouths=tuple(replace(m, slow=0.9) for m in parts.mouths))
    least = rise_at_fins(slowed, state) - wide.value
    assert wide.error_bound >= least or wide.value > state.allowed
    flows = [figures(file, made_up(("climb",), **more)) for more in ({}, own)]
    narrow, wider = (each["cooling.mass_flow.climb"].error_bound for each in flows)
    assert wider > narrow


def test_layer_that_takes_nothing_may_still_take_all(file):
    side = "scoop_cheek_right"
    told = {f"slow {side}": 0.0, f"least slow {side}": 0.0, f"most slow {side}": 1.0}
    free = figures(file, made_up(("climb",), **{f"slow {side}": 0.0}))["cooling.air_rise.climb"]
    found = figures(file, made_up(("climb",), **told))["cooling.air_rise.climb"]
    assert found.value == pytest.approx(free.value, rel=2e-3)
    assert found.error_bound > free.error_bound


def test_a_mouth_from_behind_catches_only_the_pressure_beside_it(file):
    """Its air would have to turn back; standing still there is no angle to tell."""
    found = figures(file, made_up(**{"angle scoop_cheek_right": 150.0}))
    parts, state = by_hand(file)
    shut = replace(parts, mouths=tuple(replace(m, caught=0.0) for m in parts.mouths))
    assert found["cooling.mass_flow.climb"].value == pytest.approx(solve(shut, state).flow)
    usual = figures(file, made_up())["cooling.mass_flow.standing"]
    assert found["cooling.mass_flow.standing"] == usual


@pytest.mark.parametrize("pressure", [0.1, -0.1])
def test_no_band_of_the_lip_saves_a_mouth_that_looks_aft(file, pressure):
    """140 and 357 K where 60 are allowed: no lip turns air that comes from behind."""
    side = "scoop_cheek_right"
    changed = {f"angle {side}": 120.0, f"pressure {side}": pressure}
    rise = figures(file, made_up(("climb",), **changed))["cooling.air_rise.climb"]
    (limit,) = (t for t in targets(file) if t.id == rise.id)
    assert rise.value > 2 * limit.high
    assert judge([rise], [limit])[0].verdict == "fail"


@pytest.mark.parametrize(("angle", "verdict"), [(60.0, "warn"), (89.0, "warn"), (91.0, "fail")])
def test_a_mouth_far_off_square_never_passes_and_fails_where_no_lip_could_save_it(
    file, angle, verdict
):
    """92, 138 and 140 K of 60 allowed; up to 90 deg a round enough lip might turn all of it in."""
    rise = figures(file, made_up(("climb",), **{"angle scoop_cheek_right": angle}))[
        "cooling.air_rise.climb"
    ]
    (limit,) = (t for t in targets(file) if t.id == rise.id)
    assert rise.value > 1.5 * limit.high
    assert judge([rise], [limit])[0].verdict == verdict


def test_how_far_the_angle_may_be_off_is_in_the_band_and_no_passing_leans_on_the_lip(file):
    side = "scoop_cheek_right"
    cool = file.model_copy(update={"cooling": file.cooling.model_copy(update={"air_rise": 200.0})})
    rises = [
        figures(cool, made_up(("climb",), **{f"angle off {side}": off}))["cooling.air_rise.climb"]
        for off in (0.0, 10.0, 40.0)
    ]
    assert len({rise.value for rise in rises}) == 1
    bounds = [rise.error_bound for rise in rises]
    assert bounds == sorted(bounds)
    assert bounds[2] > 1.05 * bounds[0]
    # The rise told is already that of a lip that loses all: a lip that loses less only cools.
    parts, state = by_hand(cool)
    round_ = replace(parts, mouths=tuple(replace(m, across=0.0) for m in parts.mouths))
    assert rise_at_fins(round_, state) < rises[0].value


def test_angle_that_was_not_told_in_flight_gives_no_rise(file):
    found = figures(file, made_up(("climb",), **{"angle scoop_cheek_right": None}))
    assert found["cooling.air_rise.climb"].value is None
    assert "the air outside scoop_cheek_right" in found["cooling.air_rise.climb"].note
