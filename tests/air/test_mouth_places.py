"""Places for a mouth: what each fails by, one thing at a time, and the order that is told."""

from dataclasses import replace

import pytest
from aired_machines import machine

from geomgen.air.mouth_places import mouth_places, wanted_mouth
from geomgen.air.record import WantedMouth
from geomgen.measurements.record import Measurement

MOUTH = WantedMouth(160.0, 50.0, 0.0)


def spot(number=1, at=(1000.0, 300.0, 700.0), line="side", note="", without=(), **changed):
    figures = {
        "glass": 0.0,
        "turn": 40.0,
        "way": 900.0,
        "near wing": 300.0,
        "near boom_left": 900.0,
    }
    for state in ("climb", "level"):
        figures |= {f"pressure {state}": -0.1, f"speed {state}": 1.0, f"shape {state}": 9 / 7}
        figures |= {
            f"least thick {state}": 8.0,
            f"thick {state}": 10.0,
            f"most thick {state}": 20.0,
        }
    figures |= {key.replace("_in_", " "): value for key, value in changed.items()}
    kept = tuple((k, v) for k, v in figures.items() if k not in without)
    return Measurement(
        f"air.spot.{line}.{number}", "pod", "", at[0], "mm", "", points=(at,), note=note,
        further=kept,
    )  # fmt: skip


def fails(mouth=MOUTH, **changed):
    ((place,),) = (mouth_places(machine(), [spot(**changed)], mouth),)
    return place.fails


def test_a_good_place_fails_by_nothing():
    assert fails() == ()


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"thick_in_level": 26.0}, "slow layer 52% of the height"),
        ({"turn": 141.0}, "turn 141 deg"),
        ({"near_in_pylon": 79.0}, "pylon 79 mm away, 80 needed"),
        ({"glass": 1.0}, "on the canopy"),
        ({"speed_in_climb": 1.6, "thick_in_climb": 24.0, "shape_in_climb": 2.6}, "catches 0."),
        ({"without": ("thick climb",), "note": "climb: the layer has left the surface there"},
         "the air has left the skin"),
        ({"without": ("thick level",), "note": "level: the air stands at this place"},
         "slow layer not told (level: the air stands at this place)"),
    ],
)  # fmt: skip
def test_a_place_says_what_it_fails_by(changed, word):
    told = fails(**changed)
    assert any(words.startswith(word) for words in told), told


def test_just_within_every_limit_is_no_failure():
    """The limits are those of the rules: 0.5 of the height, 140 deg, half the width of 160 mm."""
    assert fails(thick_in_climb=25.0, turn=140.0, near_in_pylon=80.0) == ()


def test_a_higher_mouth_needs_more_room_and_minds_the_layer_less():
    high = WantedMouth(160.0, 90.0, 0.0)
    assert fails(high, near_in_pylon=85.0) == ("pylon 85 mm away, 90 needed",)
    assert fails(high, thick_in_climb=26.0) == ()


def test_what_is_caught_is_the_ram_pressure_less_what_a_seventh_power_layer_takes():
    """A mouth as high as the layer loses 2/9 of the dynamic pressure: Schlichting, by hand."""
    ten = WantedMouth(20.0, 10.0, 0.0)
    (place,) = mouth_places(machine(), [spot(speed_in_climb=1.2)], ten)
    climb = place.states[0]
    assert climb.caught[1] == pytest.approx(1.0 - 1.44 * 2 / 9)
    assert climb.caught[0] < climb.caught[1] < climb.caught[2]
    assert place.near == ("wing", 300.0)


def test_the_order_is_that_of_the_rule():
    """What fails comes last; of those that catch alike the one nearer to the fan is first."""
    far, near = spot(1, way=1500.0), spot(2, way=700.0)
    slow = spot(3, way=100.0, thick_in_climb=24.0, shape_in_climb=1.6)
    failed = spot(4, way=50.0, glass=1.0)
    stations = {id(one): n for n, one in enumerate((far, near, slow, failed), 1)}
    assert len(stations) == 4
    moved = [
        replace(one, points=((float(n), 0.0, 0.0),))
        for n, one in enumerate((far, near, slow, failed), 1)
    ]
    found = mouth_places(machine(), moved, MOUTH)
    assert [place.station for place in found] == [2.0, 1.0, 3.0, 4.0]


def test_the_files_largest_mouth_is_looked_for():
    p = machine()
    wanted = wanted_mouth(p)
    assert (wanted.width, wanted.height) == (p.scoops[0].width, p.scoops[0].height)
    assert wanted_mouth(p.model_copy(update={"scoops": ()})) is None
