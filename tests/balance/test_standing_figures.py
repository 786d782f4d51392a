"""What is judged of a machine on its wheels: tyres by their rating, the pitch of a tailwheel."""

import pytest
from weighed_machines import CONFIGS, PLACE, checked, contacts, machine, measured, solid

from geomgen.balance.judged import checks_of
from geomgen.balance.standing_figures import standing_figures
from geomgen.balance.state import balance_state
from geomgen.measurements.record import Measurement
from geomgen.parameters import load


def changed(p, **wheel):
    """Return a file with keys of its main wheels changed."""
    main, *rest = p.gear.wheels
    wheels = (main.model_copy(update=wheel), *rest)
    return p.model_copy(update={"gear": p.gear.model_copy(update={"wheels": wheels})})


def test_the_greatest_load_on_a_tyre_is_by_the_lever():
    """Half of what the nose wheel leaves, of the loading where that is most."""
    state = balance_state(machine(), measured())
    assert state is not None
    base = 1850.0 - 380.0
    nose = [o.body.mass * (1850.0 - o.body.centre[0]) / base for o in state.loaded]
    main = [(o.body.mass - n) / 2 for o, n in zip(state.loaded, nose, strict=True)]
    off = max(abs(o.body.centre[1]) * o.body.mass / 1500.0 for o in state.loaded)
    found = checked(machine())
    assert found["gear.tyre_load.main"].measured == pytest.approx(max(main), abs=off + 1e-9)
    assert found["gear.tyre_load.nose"].measured == pytest.approx(max(nose))
    assert found["gear.tyre_load.nose"].error_bound > 0.0


@pytest.mark.parametrize(("rated", "verdict"), [(1.3, "pass"), (1.005, "warn"), (0.95, "fail")])
def test_a_tyre_is_held_to_its_rating_with_the_band(rated, verdict):
    load_ = checked(machine())["gear.tyre_load.main"].measured
    check = checked(changed(machine(), rated_load=rated * load_))["gear.tyre_load.main"]
    assert check.verdict == verdict


def test_a_tyre_without_a_rating_is_not_judged():
    found = checked(changed(machine(), rated_load=None))
    assert "gear.tyre_load.main" not in found
    assert "gear.tyre_load.nose" in found


def test_a_centre_off_to_one_side_loads_that_sides_tyre():
    p = machine()
    loads = p.loads.model_copy(update={"baggage": tuple(
        place.model_copy(update={"buttock_line": -600.0, "most": 30.0}) for place in p.loads.baggage
    )})  # fmt: skip
    p = p.model_copy(update={"loads": loads})
    state = balance_state(p, measured())
    assert state is not None
    found = {m.id: m for m in standing_figures(p, state, [*contacts()])}["gear.tyre_load.main"]
    assert found.what.endswith("wheel_main_left")
    assert "locker" in found.where


@pytest.mark.parametrize(("bands", "verdict"), [(5.0, "pass"), (0.5, "warn")])
def test_whether_it_stands_with_nobody_in_it_has_the_band_of_the_masses(bands, verdict):
    """Mains so far behind the empty centre [its bands]: inside its band nobody can tell."""
    state = balance_state(machine(), measured())
    assert state is not None
    band = state.station_band(state.empty) + 1.0
    main = state.empty.centre[0] + bands * band
    checks = {c.id: c for c in checks_of(machine(), [*measured(), *contacts(main)])}
    check = checks["gear.load.nose.empty"]
    assert check.measured > 0.0
    assert check.error_bound == pytest.approx(band / (main - 380.0))
    assert check.verdict == verdict


# A tailwheel machine ---------------------------------------------------------------------------

BASE = 3700.0


def on_tails(nose_up, *overrides):
    """Return the checks of hayfield, as measured standing so far nose up [deg]."""
    from math import cos, radians, sin

    p = load(CONFIGS / "hayfield.toml", list(overrides))
    lean = radians(nose_up)
    normal = (("normal x", -sin(lean)), ("normal y", 0.0), ("normal z", cos(lean)))
    rows = []
    for name, x, y in (("main", 1040.0, 710.0), ("tail", 1040.0 + BASE * cos(lean), 790.0)):
        for hand, side in (("right", 1.0), ("left", -1.0)):
            z = -100.0 + (BASE * sin(lean) if name == "tail" else 0.0)
            rows.append(
                Measurement(
                    f"gear.contact.wheel_{name}_{hand}", f"wheel_{name}_{hand}", "", 0.0, "mm", "",
                    where=name, points=((x, side * y, z), (x, side * y, z + 190.0)), further=normal,
                )
            )  # fmt: skip
    parts = [row.part for row in p.mass] + ["engine"]
    made = [solid(n, 1e7, PLACE, area=1e6, family=n.split("_")[0]) for n in parts]
    return {c.id: c for c in checks_of(p, [*made, *rows])}


@pytest.mark.parametrize(
    ("up", "verdict"), [(7.0, "pass"), (8.98, "warn"), (9.2, "fail"), (4.5, "fail")]
)
def test_the_pitch_standing_is_held_to_the_builders_wish(up, verdict):
    check = on_tails(up)["gear.tail_down_angle"]
    assert check.measured == pytest.approx(up, abs=1e-6)
    assert check.verdict == verdict


def test_without_a_wish_the_pitch_is_to_read():
    p = load(CONFIGS / "hayfield.toml")
    rules = p.rules.model_copy(update={"tail_down_angle": None})
    from geomgen.sizing.targets import figures

    found = {t.id: t for t in figures(p.model_copy(update={"rules": rules}))}
    assert found["gear.tail_down_angle"].severity == "info"


# Machines that stand on no three wheels --------------------------------------------------------


@pytest.mark.parametrize(
    ("wheels", "words"),
    [
        ({"buttock_line": 0.0}, "all main wheels stand on the centre plane"),
        ({"mirrored": False}, "no main wheel stands on the left"),
    ],
)
def test_why_there_are_no_figures_of_standing_is_said(wheels, words):
    p = changed(machine(), **wheels)
    one = [m for m in contacts() if m.part != "wheel_main_left"]
    found = {c.id: c for c in checks_of(p, [*measured(), *one])}
    for id_ in ("gear.overturn_angle", "gear.tip_back_angle", "gear.load.nose",
                "gear.tyre_load.main", "ground.bank_angle"):  # fmt: skip
        assert found[id_].verdict == "not_measured"
        assert words in found[id_].note


def test_a_machine_without_a_third_wheel_is_told_so():
    p = machine()
    main, nose = p.gear.wheels
    wheels = (main, nose.model_copy(update={"role": "main"}))
    p = p.model_copy(update={"gear": p.gear.model_copy(update={"wheels": wheels})})
    found = {c.id: c for c in checks_of(p, measured())}
    assert "no nose or tail wheel" in found["gear.overturn_angle"].note
