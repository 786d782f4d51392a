"""What is said of the air: figures, bounds and words from made-up answers."""

import math
from math import inf

import pytest

from geomgen.errors import GeometryError
from geomgen.kernel.model import Model
from geomgen.kernel.plain import Opening, Passage, Plane
from geomgen.measurements.answers import refused
from geomgen.measurements.outside_air.askew import turned
from geomgen.measurements.outside_air.said import LEAST_ATTACK, LEAST_NEUTRAL, NAME, TIMES, said
from geomgen.measurements.question import from_text, text_of
from geomgen.measurements.subject import Answered

DENSITY, RAM = 1.2, 300.0
SIDES = ("scoop_a_right", "scoop_a_left")
# What a mouth 6 deg askew to the air keeps of its dynamic pressure, and of the ram pressure.
COS2 = math.cos(math.radians(6.0)) ** 2
KEPT = 1 - 0.81 * (1 - 0.9 * COS2)


def mouth_row(**changed):
    return {
        "name": "scoop_a_right",
        "at": (100.0, 300.0, 0.0),
        "pressure": 0.1,
        "speed": 0.9,
        "height": 60.0,
        "gap": 5.0,
        "thick": 12.0,
        "thick_band": (10.0, 18.0),
        "slow": (0.05, 0.1, 0.2),
        "words": ("turbulent all along",),
        "angle": 6.0,
        "why": "",
        **changed,
    }


def state_row(**changed):
    return {
        "attack": 4.0,
        "lift": 0.6,
        "rim": -0.2 * RAM * DENSITY,
        "ram": RAM,
        "lines": {"crown": [[0.0, 500.0], [300.0, 200.0], [-0.2, 0.1]]},
        "leaves": {
            "crown": [True, 900.0, "turbulent"],
            "side": [True, None, "stays on"],
            "keel": [False, None, "not told: the air stands"],
        },
        "mouths": {"scoop_a_right": mouth_row()},
        **changed,
    }


def answer(**states):
    pairs = {"climb": [state_row(), state_row(rim=-0.25 * RAM * DENSITY, attack=4.4)], **states}
    return {
        "panels": [400, 900],
        "left_out": ["wheel_main"],
        "unmeasured": {},
        "density": dict.fromkeys(pairs, DENSITY),
        "states": pairs,
        "neutral": [[150.0, 5.0], [140.0, 5.1]],
        "booms": [0.0, 0.0],
        "chord": 400.0,
    }


def model(names=SIDES):
    def way(name):
        opening = Opening(name, Plane((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (0.0, 0.0, 0.0), 10.0)
        return Passage(name, opening, (), (0.0, 0.0, 0.0), None)

    return Model(passages=[way(name) for name in names])


def told(given, names=SIDES):
    kept = from_text(text_of(given))
    return {m.id: m for m in said(Answered(model(names), (), {NAME: kept}))}


def test_what_has_no_panels_is_in_the_band_and_in_words():
    row = state_row(rim_unfelt=0.06, unfelt={"scoop_a_right": 0.05})
    found = told(answer(climb=[row, state_row(rim=-0.25 * RAM * DENSITY)]))
    exit_, mouth_ = found["exit.pressure"], found["inlet.pressure.scoop_a_right"]
    assert exit_.error_bound == pytest.approx(TIMES * 0.05 + 0.06)
    assert "wheel; together they change the pressure here by at most 6.0%" in exit_.note
    more = math.cos(math.radians(6.0 + turned(0.9, 0.05))) ** 2
    least = 0.81 * (0.9 * COS2 - 0.8 * more)
    assert mouth_.error_bound == pytest.approx(least + 0.05 * (1 - 0.9 * COS2))
    assert "at most 5.0%" in mouth_.note
    further = dict(found["air.climb"].further)
    assert further["rim off"] == pytest.approx((TIMES * 0.05 + 0.06) * RAM * DENSITY)
    narrow = state_row(rim_edge=0.02 * RAM * DENSITY)
    found = told(answer(climb=[narrow, state_row(rim=-0.25 * RAM * DENSITY)]))
    assert found["exit.pressure"].error_bound == pytest.approx(TIMES * 0.05 + 0.02)
    further = dict(found["air.climb"].further)
    assert further["rim off"] == pytest.approx((TIMES * 0.05 + 0.02) * RAM * DENSITY)


def test_how_far_the_pressure_ahead_of_a_mouth_may_be_off_goes_with_it():
    fine = state_row(unfelt={"scoop_a_right": 0.05})
    pressure = fine["mouths"]["scoop_a_right"]["pressure"]
    near = state_row(mouths={"scoop_a_right": mouth_row(pressure=pressure - 0.1)})
    off = [
        dict(told(answer(climb=[fine, other]))["air.climb"].further)["pressure off scoop_a_right"]
        for other in (near, state_row(mouths={}))
    ]
    assert off == pytest.approx([TIMES * 0.1 + 0.05, 1.0])
    near = state_row(mouths={"scoop_a_right": mouth_row(angle=8.0)})
    off = [
        dict(told(answer(climb=[fine, other]))["air.climb"].further)["angle off scoop_a_right"]
        for other in (near, state_row(mouths={}))
    ]
    assert off == pytest.approx([TIMES * 2.0 + turned(0.9, 0.05), 90.0])


def test_no_lip_lets_a_mouth_keep_what_comes_from_behind():
    """A round lip may keep all at 80 deg; at 130 it keeps no more than a sharp one."""
    for angle, most in ((80.0, 1 - 0.81 * 0.05), (130.0, 1 - 0.81)):
        row = state_row(mouths={"scoop_a_right": mouth_row(angle=angle)})
        further = dict(told(answer(climb=[row, row]))["air.climb"].further)
        assert further["most caught scoop_a_right"] == pytest.approx(most)


def test_a_mouth_square_to_the_air_loses_nothing_by_its_angle():
    """To the last digit what the slow layer alone leaves; beside the air it has no ram at all."""
    for angle, kept in ((0.0, 1 - 0.81 * 0.1), (90.0, 1 - 0.81), (130.0, 1 - 0.81)):
        row = state_row(mouths={"scoop_a_right": mouth_row(angle=angle)})
        found = told(answer(climb=[row] * 2))["inlet.pressure.scoop_a_right"]
        assert found.value == kept


def test_nothing_asked_nothing_said():
    assert said(Answered(model(), (), {})) == []


def test_refused_is_one_figure_that_is_not_measured():
    found = told(refused(GeometryError("too few cuts", part="pod", step="panels")))
    assert list(found) == ["exit.pressure"]
    assert found["exit.pressure"].value is None
    assert "too few cuts" in found["exit.pressure"].note


def test_pressure_outside_the_exit_over_the_ram_pressure():
    found = told(answer())["exit.pressure"]
    assert found.value == pytest.approx(-0.2)
    assert found.error_bound == pytest.approx(TIMES * 0.05)
    assert found.unit == "1"
    assert "climb -0.20" in found.where


def test_no_exit_no_pressure():
    shut = state_row(rim=None)
    assert "exit.pressure" not in told(answer(climb=[shut, shut]))
    assert "exit.pressure" not in told(answer(climb=[state_row(ram=0.0)] * 2))


def test_each_state_carries_its_figures():
    standing = {
        "attack": 0.0,
        "rim": -40.0,
        "ram": 0.0,
        "lift": 0.0,
        "pull": {"scoop_a_right": -6.0},
    }
    found = told(answer(standing=[standing, {**standing, "rim": -42.0}]))
    climb, still = (dict(found[f"air.{s}"].further) for s in ("climb", "standing"))
    assert climb["ram"] == RAM
    assert climb["rim"] == pytest.approx(-0.2 * RAM * DENSITY)
    assert climb["rim off"] == pytest.approx(TIMES * 0.05 * RAM * DENSITY)
    assert (climb["pressure scoop_a_right"], climb["speed scoop_a_right"]) == (0.1, 0.9)
    assert [climb[f"{w} scoop_a_right"] for w in ("least slow", "slow", "most slow")] == [
        0.05, 0.1, 0.2,
    ]  # fmt: skip
    assert (climb["crown station 2"], climb["crown pressure 2"]) == (500.0, 0.1)
    assert still["pull scoop_a_right"] == -6.0
    assert (climb["crown leaves"], climb["angle scoop_a_right"]) == (900.0, 6.0)
    assert not [name for name in climb if name.startswith(("side", "keel"))]
    assert found["air.climb"].value == 4.0
    assert found["air.climb"].error_bound == pytest.approx(TIMES * 0.4)
    same = told(answer(climb=[state_row(), state_row()]))["air.climb"]
    assert same.error_bound == LEAST_ATTACK
    assert "900 panels" in found["air.climb"].where


def test_share_that_the_mouth_catches_and_how_far_off():
    """Of what moves past, 0.81, the slow layer leaves 0.9; of that 6 deg leave the cosine's square.

    At most 0.95 of it and all of the head across, at least 0.8 and none of that.
    """
    found = told(answer())["inlet.pressure.scoop_a_right"]
    assert found.value == pytest.approx(KEPT)
    assert found.error_bound == pytest.approx(0.81 * 0.1 * COS2)
    assert "6 deg off square" in found.where
    further = dict(told(answer())["air.climb"].further)
    ends = [further[f"{end} scoop_a_right"] for end in ("least caught", "caught", "most caught")]
    low = 1 - 0.81 * (1 - 0.8 * COS2)
    assert ends == pytest.approx([low, KEPT, 1 - 0.81 * 0.05])
    assert found.points == ((100.0, 300.0, 0.0),)


def test_coarser_panels_widen_the_bounds():
    coarse = state_row(mouths={"scoop_a_right": mouth_row(slow=(0.1, 0.2, 0.3), thick=15.0)})
    found = told(answer(climb=[state_row(), coarse]))
    pressure = found["inlet.pressure.scoop_a_right"]
    assert pressure.error_bound == pytest.approx(0.81 * COS2 * (0.1 + TIMES * 0.1))
    slow = found["inlet.slow_layer.scoop_a_right"]
    assert slow.error_bound == pytest.approx((6.0 + TIMES * 3.0) / 60.0)


def test_coarse_panels_that_tell_nothing_leave_no_bound():
    lost = mouth_row(slow=None, thick=None, thick_band=None, why="has left")
    coarse = state_row(mouths={"scoop_a_right": lost})
    found = told(answer(climb=[state_row(), coarse]))
    assert found["inlet.pressure.scoop_a_right"].error_bound == inf
    assert found["inlet.slow_layer.scoop_a_right"].error_bound == inf


def test_left_mouth_gets_what_the_right_one_has():
    found = told(answer())
    for what in ("pressure", "slow_layer"):
        right, left = (found[f"inlet.{what}.{side}"] for side in SIDES)
        assert left.value == right.value
        assert left.part == "scoop_a_left"


def test_mouth_on_the_centre_plane_has_its_own():
    given = answer()
    for row in given["states"]["climb"]:
        row["mouths"] = {"scoop_a": mouth_row(name="scoop_a")}
    found = told(given, ("scoop_a",))
    assert found["inlet.pressure.scoop_a"].value == pytest.approx(KEPT)


def test_lesser_of_climb_and_level_flight_counts_and_the_glide_does_not():
    worse = state_row(mouths={"scoop_a_right": mouth_row(slow=(0.2, 0.3, 0.4), thick=30.0)})
    worst = state_row(mouths={"scoop_a_right": mouth_row(slow=(0.7, 0.8, 0.9), thick=55.0)})
    found = told(answer(level=[worse] * 2, glide=[worst] * 2))
    pressure, slow = (found[f"inlet.{w}.scoop_a_right"] for w in ("pressure", "slow_layer"))
    assert pressure.value == pytest.approx(1 - 0.81 * (1 - 0.7 * COS2))
    assert pressure.where.startswith("level")
    assert slow.value == pytest.approx(0.5)
    assert slow.where.startswith("level")


def test_thickness_over_the_mouths_height():
    found = told(answer())["inlet.slow_layer.scoop_a_right"]
    assert found.value == pytest.approx(0.2)
    assert found.error_bound == pytest.approx(0.1)
    assert "12.0 mm thick before a mouth 60 mm high" in found.where
    assert "5.0 mm off the skin" in found.where
    assert found.note == "turbulent all along"


def test_mouth_whose_layer_left_the_skin_is_not_measured():
    lost = mouth_row(slow=None, thick=None, thick_band=None, why="the layer has left the surface")
    row = state_row(mouths={"scoop_a_right": lost})
    found = told(answer(level=[row] * 2))
    for what in ("pressure", "slow_layer"):
        each = found[f"inlet.{what}.scoop_a_right"]
        assert each.value is None
        assert each.note == "level: the layer has left the surface"
    assert "slow scoop_a_right" not in dict(found["air.level"].further)


def test_layer_without_an_upper_end_passes_nothing_and_is_said():
    open_ = mouth_row(thick=20.0, thick_band=(15.0, None), slow=(0.2, 0.6, 1.0))
    row = state_row(mouths={"scoop_a_right": open_})
    thicker = state_row(mouths={"scoop_a_right": mouth_row(thick=30.0, thick_band=(20.0, 40.0))})
    found = told(answer(climb=[row] * 2, level=[thicker] * 2))
    layer = found["inlet.slow_layer.scoop_a_right"]
    assert layer.error_bound == inf
    assert "at least before" in layer.where
    assert layer.where.startswith("climb")
    pressure = found["inlet.pressure.scoop_a_right"]
    assert pressure.value - pressure.error_bound <= 1 - 0.81
    further = dict(found["air.climb"].further)
    assert "layer scoop_a_right" not in further
    assert further["most slow scoop_a_right"] == 1.0


def test_mouth_that_nobody_looked_at_is_not_told():
    found = told(answer(climb=[state_row(mouths={})] * 2))
    assert not [id_ for id_ in found if id_.startswith("inlet")]


def test_air_leaves_at_the_first_station_of_any_line():
    given = answer()
    given["states"]["climb"][0]["leaves"]["side"] = [True, 700.0, "laminar"]
    found = told(given)["pod.separation"]
    assert (found.value, found.where) == (700.0, "on the side")
    assert "keel: not told" in found.note


def test_air_that_stays_on_is_told_by_the_last_station():
    given = answer()
    given["states"]["climb"][0]["leaves"] = {"crown": [True, None, "stays on"]}
    found = told(given)["pod.separation"]
    assert found.value == 500.0
    assert found.where == "nowhere ahead of the last station looked at"


def test_air_that_could_not_be_followed_is_no_air_that_stays_on():
    given = answer()
    del given["states"]["climb"][0]["leaves"]["crown"]
    found = told(given)["pod.separation"]
    assert found.value is None
    assert "not told: the air stands" in found.note


def test_what_booms_do_to_the_wing_is_in_the_bands_and_in_words():
    given = answer(standing=[state_row(lift=0.0), state_row(lift=0.0)])
    alone, given["booms"] = told(given), [0.04, 7.0]
    found = told(given)
    more = {n: found[n].error_bound - alone[n].error_bound for n in found if "air." in n[:4]}
    # Of 0.6 / 5 rad a twenty-fifth.
    assert more == pytest.approx({"air.climb": 0.275, "air.standing": 0.0}, abs=1e-3)
    assert "0.28 deg of that for booms" in found["air.climb"].where
    assert "booms" not in found["air.standing"].where + alone["air.climb"].where
    one, other = (each["wing.neutral_point"] for each in (alone, found))
    assert other.error_bound == pytest.approx(one.error_bound + 7.0)
    assert "at most 4.0% ((1 + d/b)^2, NACA Report 1307) and the neutral point by 7 mm" in (
        other.where
    )
    assert one.value == other.value
    assert "booms" not in one.where


def test_neutral_point_with_its_slope():
    found = told(answer())["wing.neutral_point"]
    assert found.value == 150.0
    assert found.error_bound == pytest.approx(TIMES * 10.0)
    assert dict(found.further) == {"lift slope": 5.0}
    close = answer()
    close["neutral"][1][0] = 149.9
    assert told(close)["wing.neutral_point"].error_bound == pytest.approx(LEAST_NEUTRAL * 400.0)
    given = answer()
    del given["neutral"]
    assert "wing.neutral_point" not in told(given)


@pytest.mark.parametrize("missing", ["climb", "level", "glide"])
def test_states_that_are_missing_are_not_spoken_of(missing):
    rows = {s: [state_row(), state_row()] for s in ("climb", "level", "glide") if s != missing}
    given = answer(**rows)
    given["states"] = rows
    found = told(given)
    assert f"air.{missing}" not in found
    assert ("exit.pressure" in found) == (missing != "climb")
    assert "inlet.pressure.scoop_a_right" in found
