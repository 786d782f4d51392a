"""The whole machine: sums, loadings, mean chord; and the wrong tables that must not pass."""

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from weighed_machines import PLACE, checked, contacts, machine, measured, solid

from geomgen.balance.figures import balanced
from geomgen.balance.judged import checks_of
from geomgen.balance.masses.loadings import loadings
from geomgen.balance.shifts import shifts
from geomgen.balance.stability.neutral_point import NeutralPoint
from geomgen.balance.state import balance_state, bands_together
from geomgen.measurements.record import Measurement
from geomgen.parameters.records.masses import MassItem
from geomgen.parameters.records.structure.wing import RibRow


def seated(p, station):
    """Return a file whose pilot is weighed elsewhere [mm] than one may be written to sit."""
    return p.model_copy(update={"loads": p.loads.model_copy(update={"station": station})})


def test_every_combination_of_the_extremes_is_there():
    p = machine()
    found = loadings(p)
    plain = [one.name for one in found if not one.named]
    words = product(
        ("lightest", "heaviest", "builder"), ("no fuel", "full fuel"), ("no baggage", "locker")
    )
    assert plain == [", ".join(each) for each in words]
    assert [one.name for one in found if one.named] == ["count flight, half fuel"]


def test_masses_of_a_loading_add_up():
    state = balance_state(machine(), measured())
    assert state is not None
    heavy = next(o for o in state.loaded if o.loading.name == "heaviest, full fuel, locker")
    assert heavy.body.mass == pytest.approx(state.empty.mass + 95.0 + 18.0 * 0.72 + 5.0)
    light = next(o for o in state.loaded if o.loading.name == "lightest, no fuel, no baggage")
    assert light.body.mass == pytest.approx(state.empty.mass + 58.0 + 6.0)


def test_the_centre_stands_on_the_measured_chord():
    state = balance_state(machine(), measured())
    assert state is not None
    assert state.chord is not None
    assert state.chord.share(1550.0) == pytest.approx(0.25)


def test_a_file_that_weighs_nothing_has_no_checks_of_it():
    p = machine().model_copy(update={"mass": (), "items": ()})
    assert balance_state(p, measured()) is None
    ids = {check.id for check in checks_of(p, measured())}
    judged = {i for i in ids if i.startswith(("mass.", "balance.", "gear."))}
    assert judged <= {"gear.leg_clearance"}


def test_a_swapped_sign_of_an_arm_moves_the_centre_out_of_its_limits():
    good = checked(machine("rules.aft_limit=45 % chord"))
    assert good["balance.aft"].verdict in ("pass", "warn")
    bad = checked(seated(machine("rules.aft_limit=45 % chord"), -1080.0))
    assert bad["balance.forward"].verdict == "fail"


def test_a_seat_behind_the_wheels_falls_on_its_tail():
    bad = checked(seated(machine(), 2400.0))
    assert bad["gear.load.nose.least"].measured < 0.0
    assert bad["gear.tip_back_angle"].verdict == "fail"


def test_a_solid_that_could_not_be_measured_is_no_mass_of_nought():
    lost = Measurement("body.fin_left", "fin_left", "", None, "mm3", "", note="no volume")
    found = checked(machine(), lost)
    for id_ in ("mass.empty", "mass.gross", "balance.forward", "balance.lateral"):
        assert found[id_].verdict == "not_measured"
        assert "fin_left: could not be measured: no volume" in found[id_].note


def test_the_rule_of_254_lb_is_less_than():
    """14 CFR 103.1(e), PUBLISHED: less than 254 pounds, 5 US gal."""
    p = machine("rules.weights=14 CFR 103.1(e)")
    p = p.model_copy(
        update={"rules": p.rules.model_copy(update={"empty_mass": None, "fuel_volume": None})}
    )
    found = checked(p)
    assert found["mass.empty"].target.high == pytest.approx(115.21, abs=0.01)
    assert found["fuel.volume"].target.high == pytest.approx(18.927e6, rel=1e-4)
    assert "less than" in found["mass.empty"].target.text


def test_centre_limits_in_each_kind_judge_the_same_place():
    state = balance_state(machine(), measured())
    assert state is not None
    aft = max(one.body.centre[0] for one in state.loaded)
    share = 100 * (aft - 1300.0) / 1000.0
    for inside, outside in (
        (f"{aft + 60:.3f} mm", f"{aft - 60:.3f} mm"),
        (f"{share + 6:.4f} % chord", f"{share - 6:.4f} % chord"),
    ):
        assert checked(machine(f"rules.aft_limit={inside}"))["balance.aft"].verdict == "pass"
        assert checked(machine(f"rules.aft_limit={outside}"))["balance.aft"].verdict == "fail"


def test_without_a_neutral_point_a_static_margin_is_not_measured():
    found = checked(machine("rules.aft_limit=static margin 0.05"))
    assert found["balance.aft"].verdict == "not_measured"
    assert "wing.mean_aerodynamic_chord has no figure for area" in found["balance.aft"].note


def test_raw_figures_of_solids_are_not_judged():
    rows = balanced(machine(), [*measured(), *contacts()])
    assert not [row for row in rows if row.id.startswith(("body.", "gear.contact."))]


def test_what_is_said_to_move_the_centre_does():
    """Ballast and a line moved as told bring the centre forward by ten millimetres."""
    from dataclasses import replace

    from geomgen.balance.masses.inertia import RigidBody, together

    state = balance_state(machine(), measured())
    assert state is not None
    body = state.loaded[0].body
    ways = shifts(state, body, 150.0)
    more = RigidBody(ways[0].by, (150.0, 0.0, body.centre[2]))
    assert together([body, more]).centre[0] == pytest.approx(body.centre[0] - 10.0)
    heavy = next(line for line in state.lines if ways[1].what.startswith(line.name))
    x, y, z = heavy.body.centre
    moved = replace(heavy, body=heavy.body.moved((x - ways[1].by, y, z)))
    lines = [moved if line is heavy else line for line in state.lines]
    again = state.loaded[0].loading.with_(together([e.body for e in lines if e.empty]))
    assert again.centre[0] == pytest.approx(body.centre[0] - 10.0)


@pytest.mark.parametrize("part", ["wing", "pod", "boom", "pylon"])
def test_a_sum_without_a_part_is_no_figure(part):
    """Nor does a trifle in its centre stand for it."""
    p = machine()
    trifle = MassItem.model_validate(
        {"name": "light", "group": "equipment", "mass": "50 g", "at": part}
    )
    rows = tuple(row for row in p.mass if row.part != part)
    found = checked(p.model_copy(update={"mass": rows, "items": (*p.items, trifle)}))
    for id_ in ("mass.empty", "mass.gross", "balance.aft", "balance.lateral"):
        assert found[id_].verdict == "not_measured"
        assert f"{part}" in found[id_].note
        assert "nothing in the file says what it weighs" in found[id_].note
    assert found["gear.tip_back_angle"].verdict == "not_measured"
    assert found["fuel.volume"].verdict == "pass"


def test_ribs_that_nobody_weighs_are_missed_once_a_row():
    p = machine()
    row = {"name": "all", "of": "wing", "at": ["500 mm"], "thickness": "4 mm", "skin": "1 mm"}
    p = p.model_copy(update={"ribs": (RibRow(**row),)})
    pieces = [solid(f"rib_all_{i}_right", 1e5, PLACE, family="rib") for i in (1, 2, 3)]
    state = balance_state(p, measured(*pieces))
    assert [name for name, _ in state.lost] == ["rib_all"]


def test_an_engine_that_nobody_weighs_is_missed():
    p = machine()
    items = tuple(item for item in p.items if item.at != "engine")
    found = checked(p.model_copy(update={"items": items}))
    assert found["balance.aft"].verdict == "not_measured"
    assert "engine: nothing in the file says" in found["balance.aft"].note


def test_a_piece_of_a_part_that_a_joint_has_cut_is_weighed_with_it():
    state = balance_state(machine(), measured(solid("ventral_fin_left", 1e6, PLACE, family="fin")))
    assert state is not None
    assert state.lost == ()
    assert "ventral_fin_left" in {line.name for line in state.lines}


def test_fuel_that_moves_is_looked_at_part_full_too():
    p = machine()
    tank = p.tanks[0].model_copy(update={"shape": None, "low_station": 2600.0})
    p = p.model_copy(update={"tanks": (tank,)})
    names = [one.name for one in loadings(p)]
    assert "lightest, 50% fuel, no baggage" in names


def test_a_doubtful_neutral_point_never_passes(monkeypatch):
    point = NeutralPoint(
        5000.0, (4990.0, 5010.0), 1000.0, 1300.0, (), None, None, (), doubts=("a V of 38 deg",)
    )
    monkeypatch.setattr("geomgen.balance.state.neutral_point", lambda rows: (point, ""))
    check = checked(machine())["balance.static_margin"]
    assert check.verdict == "warn"
    assert "a V of 38 deg" in check.note


def test_wing_and_structure_are_no_way_to_move_the_centre():
    state = balance_state(machine(), measured())
    assert state is not None
    told = " ".join(way.what for way in shifts(state, state.loaded[0].body, 150.0))
    assert "engine with reduction gear" in told
    assert "wing" not in told
    assert "spar" not in told


def test_ballast_behind_the_centre_is_no_way_forward():
    state = balance_state(machine(), measured())
    assert state is not None
    told = [way.what for way in shifts(state, state.loaded[0].body, 1900.0)]
    assert not [what for what in told if what.startswith("ballast")]


def test_without_loads_it_is_said_that_no_centre_is_worked_out():
    p = machine().model_copy(update={"loads": None})
    found = checked(p)
    assert found["balance.aft"].verdict == "not_measured"
    assert "no [loads]" in found["balance.aft"].note
    assert not found["balance.aft"].stops


def test_the_centres_that_are_judged_are_the_outermost_of_all_loadings():
    state = balance_state(machine(), measured())
    assert state is not None
    stations = [one.body.centre[0] for one in state.loaded]
    found = checked(machine("rules.forward_limit=0 mm", "rules.aft_limit=9 m"))
    assert found["balance.forward"].measured == pytest.approx(min(stations))
    assert found["balance.aft"].measured == pytest.approx(max(stations))
    assert max(stations) > min(stations) + 10.0


def test_the_empty_mass_leaves_out_what_is_carried_and_a_rule_safety_devices_too():
    tools = MassItem.model_validate(
        {
            **{"name": "tools", "group": "useful load", "mass": "3 kg"},
            **{"station": "1 m", "waterline": "0 mm"},
        }
    )
    p = machine()
    more = p.model_copy(update={"items": (*p.items, tools)})
    before, after = balance_state(p, measured()), balance_state(more, measured())
    assert before is not None
    assert after is not None
    assert after.empty.mass == pytest.approx(before.empty.mass)
    assert len(after.every) == 2 * len(before.every) - 1
    assert before.limited.mass == pytest.approx(before.empty.mass - 9.5)
    assert checked(p)["mass.empty"].measured == pytest.approx(before.limited.mass)


@pytest.mark.parametrize(("ahead", "verdict"), [(80.0, "pass"), (20.0, "warn"), (-20.0, "fail")])
def test_the_static_margin_is_the_way_from_the_aft_centre_to_the_neutral_point(
    monkeypatch, ahead, verdict
):
    """Positive with the neutral point behind the centre, any text on stability (DERIVED)."""
    state = balance_state(machine(), measured())
    assert state is not None
    aft = max(one.body.centre[0] for one in state.loaded)
    at = aft + ahead
    point = NeutralPoint(at, (at - 30.0, at + 30.0), 1000.0, 1300.0, (), None, None, ())
    monkeypatch.setattr("geomgen.balance.state.neutral_point", lambda rows: (point, ""))
    found = checked(machine("rules.aft_limit=static margin 0.001"))
    assert found["balance.static_margin"].measured == pytest.approx(ahead / 1000.0)
    assert found["balance.static_margin"].verdict == verdict
    assert found["balance.aft"].measured == pytest.approx(ahead / 1000.0)


def test_a_trifle_in_the_engine_is_no_engine_and_a_propeller_is_missed():
    p = machine()
    light = MassItem.model_validate(
        {"name": "light", "group": "equipment", "mass": "50 g", "at": "engine"}
    )
    items = tuple(item for item in p.items if item.at != "engine")
    found = checked(p.model_copy(update={"items": (*items, light)}))
    assert "engine: nothing in the file says" in found["balance.aft"].note
    items = tuple(item for item in p.items if not item.name.startswith("propeller"))
    found = checked(p.model_copy(update={"items": items}))
    assert found["mass.empty"].verdict == "not_measured"
    assert "propeller" in found["mass.empty"].note


def carrying(p, *more):
    """Return a file that carries tools of 20 kg, 4 either way, 1 m off to the right."""
    tools = {"name": "tools", "group": "useful load", "mass": "20 kg", "band": "4 kg"}
    place = {"station": "1 m", "buttock_line": "1 m", "waterline": "700 mm"}
    return p.model_copy(
        update={"items": (*p.items, MassItem.model_validate({**tools, **place}), *more)}
    )


def test_the_band_of_what_is_carried_counts_where_it_is_carried_and_nowhere_else():
    """By hand: 4 kg at an arm moves the centre by 4 arm / mass; bands add by their squares."""
    p = carrying(machine())
    state = balance_state(p, measured())
    assert state is not None
    assert state.mass_band == pytest.approx(
        balance_state(machine(), measured()).mass_band  # type: ignore[union-attr]
    )
    seen = {True: 0, False: 0}
    for one in state.loaded:
        has = any(name == "tools" for name, _ in one.loading.bodies)
        seen[has] += 1
        bare = state.station_band(one.body), state.side_band(one.body)
        more = [4.0 * (at - c) / one.body.mass * has
                for at, c in zip((1000.0, 1000.0), one.body.centre, strict=False)]  # fmt: skip
        for band, plain, by in zip(
            (state.station_band(one.body, one.loading), state.side_band(one.body, one.loading)),
            bare,
            more,
            strict=True,
        ):
            assert band == pytest.approx((plain**2 + by**2) ** 0.5)
        due = (state.mass_band**2 + 16.0 * has) ** 0.5
        assert state.mass_band_in(one.loading) == pytest.approx(due)
    assert min(seen.values()) > 0


def test_the_bounds_of_gross_mass_and_of_the_centre_to_the_side_have_the_carried_bands():
    state = balance_state(carrying(machine()), measured())
    assert state is not None
    found = checked(carrying(machine()))
    gross = found["mass.gross"]
    assert gross.error_bound == pytest.approx((state.mass_band**2 + 16.0) ** 0.5)
    assert found["balance.lateral"].error_bound > 10.0
    assert checked(machine())["balance.lateral"].error_bound < 5.0


def test_a_loading_read_back_from_plain_values_has_the_same_bands():
    from geomgen.balance.plain import from_plain, plain

    state = balance_state(carrying(machine()), measured())
    assert state is not None
    again = from_plain(plain(state))
    for one, other in zip(state.loaded, again.loaded, strict=True):
        assert again.station_band(other.body, other.loading) == pytest.approx(
            state.station_band(one.body, one.loading)
        )


def test_bands_of_one_cause_are_those_of_a_covariance_whatever_they_are_off_together():
    """GUM (JCGM 100:2008), equation 13: no correlation from 0 to 1 within a cause gives more.

    Broken before: the pieces of one row, too heavy all at once, added by their squares.
    """
    moves = np.array([3.0, 1.0, 2.0, -2.0, 0.5])
    causes = ["spar", "spar", "booms", "booms", ""]
    most = 0.0
    for spar, booms in product(np.linspace(0.0, 1.0, 5), repeat=2):
        shares = np.eye(5)
        shares[0, 1] = shares[1, 0] = spar
        shares[2, 3] = shares[3, 2] = booms
        most = max(most, float(moves @ shares @ moves) ** 0.5)
    assert bands_together(zip(causes, moves.tolist(), strict=True)) == pytest.approx(most)


def test_a_pair_of_items_that_one_row_weighs_is_too_heavy_together():
    """1 kg too much on each side is 2 kg, and no more to one side than if each were by itself."""
    light = {"name": "pod light", "group": "equipment", "mass": "5 kg", "band": "1 kg"}
    place = {"station": "1 m", "buttock_line": "1 m", "waterline": "700 mm"}
    p = machine()
    pair = MassItem.model_validate({**light, **place, "mirrored": True})
    bare = balance_state(p, measured())
    state = balance_state(p.model_copy(update={"items": (*p.items, pair)}), measured())
    assert bare is not None
    assert state is not None
    assert state.mass_band == pytest.approx((bare.mass_band**2 + 4.0) ** 0.5)
    rest = replace(state, lines=tuple(e for e in state.lines if "pod light" not in e.name))
    aside = rest.side_band(state.empty)
    arms = [(1000.0 * way - state.empty.centre[1]) / state.empty.mass for way in (-1, 1)]
    due = (aside**2 + arms[0] ** 2 + arms[1] ** 2) ** 0.5
    assert state.side_band(state.empty) == pytest.approx(due)
