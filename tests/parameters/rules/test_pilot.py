"""A pilot who can't be seated is refused in words, with key, line and what would do."""

import re
from pathlib import Path

import pytest

from geomgen.cli import main
from geomgen.errors import ParameterError
from geomgen.parameters import as_toml, load

CONFIGS = Path(__file__).parents[3] / "configs"


def refused(made, *overrides):
    with pytest.raises(ParameterError) as error:
        made(*overrides)
    return error.value


def test_legs_too_short_are_told_with_stations_that_do(saltmarsh):
    error = refused(saltmarsh, "pilot.pedal_station=10 mm")
    assert error.key == "pilot.pedal_station"
    assert "don't reach the pedals" in error.problem
    fore, aft = map(int, re.findall(r"\d+(?= mm)", error.allowed)[:2])
    for station in (fore + 1, aft - 1):
        assert saltmarsh(f"pilot.pedal_station={station} mm").pilot.pedal_station == station
    for station in (fore - 2, aft + 2):
        assert refused(saltmarsh, f"pilot.pedal_station={station} mm").key == error.key


@pytest.mark.parametrize(
    ("change", "key", "words"),
    [
        ("pilot.pedal_station=640 mm", "pedal_station", "no knee bends so far"),
        ("pilot.pedal_station=1000 mm", "pedal_station", "not ahead of the hips"),
        ("pilot.pedal_waterline=1.6 m", "pedal_station", "don't reach the pedals"),
        ("pilot.hand_station=500 mm", "hand_station", "arms don't reach"),
        ("pilot.hand_station=1150 mm", "hand_station", "no elbow bends so far"),
        ("pilot.eye_height=950 mm", "eye_height", "don't go together"),
        ("pilot.sitting_height=780 mm", "sitting_height", "don't go together"),
        ("pilot.seat_back_angle=-20 deg", "seat_back_angle", "out of range"),
        ("pilot.percentiles=['60th man']", "percentiles.0", "not one of the choices"),
        ("pilot.percentile=60th man", "percentile", "not one of the choices"),
        ("canopy.aft_station=100 mm", "aft_station", "behind its fore end"),
        ("canopy.fore_station=-100 mm", "fore_station", "not on the pod"),
    ],
)
def test_what_can_t_be_is_refused(saltmarsh, change, key, words):
    error = refused(saltmarsh, change)
    assert error.key.endswith(key)
    assert words in str(error)


@pytest.mark.parametrize("end", ["fore", "aft"])
def test_a_sill_below_the_keel_is_refused(saltmarsh, end):
    p = saltmarsh()
    at = getattr(p.canopy, f"{end}_station")
    beside = sorted(p.pod.stations, key=lambda s: abs(s.station - at))[:2]
    low = min(s.keel for s in beside)
    error = refused(saltmarsh, f"canopy.{end}_sill={low - 50.0} mm")
    assert error.key.endswith(f"{end}_sill")
    assert "below the pod's keel" in str(error)


@pytest.mark.parametrize("end", ["fore", "aft"])
def test_a_sill_above_the_crown_is_refused(saltmarsh, end):
    """The whole pod would lie below the glass: no word of it came before the solids were cut."""
    p = saltmarsh()
    at = getattr(p.canopy, f"{end}_station")
    beside = sorted(p.pod.stations, key=lambda s: abs(s.station - at))[:2]
    high = max(s.crown for s in beside)
    error = refused(saltmarsh, f"canopy.{end}_sill={high + 50.0} mm")
    assert error.key.endswith(f"{end}_sill")
    assert "above the pod's crown" in str(error)
    assert "at most" in error.allowed


def test_a_sill_may_end_at_the_crown(saltmarsh):
    stations = saltmarsh().pod.stations
    there = next(s for s in stations if s.station > saltmarsh().canopy.fore_station + 300.0)
    at, sill = f"canopy.aft_station={there.station} mm", f"canopy.aft_sill={there.crown} mm"
    assert saltmarsh(at, sill).canopy.aft_sill == there.crown
    error = refused(saltmarsh, at, f"canopy.aft_sill={there.crown + 0.1} mm")
    assert error.allowed.startswith(f"at most {there.crown:g} mm")


def test_at_a_station_of_the_pod_its_own_keel_counts(saltmarsh):
    stations = saltmarsh().pod.stations
    k = next(i for i in range(2, len(stations)) if stations[i].keel > stations[i - 1].keel)
    there, keel = stations[k].station, stations[k].keel
    lower = (stations[k - 1].keel + keel) / 2
    fore = f"canopy.fore_station={stations[1].station + 1.0} mm"
    sill = f"canopy.aft_sill={lower} mm"
    error = refused(saltmarsh, fore, f"canopy.aft_station={there} mm", sill)
    assert error.key == "canopy.aft_sill"
    assert f"at least {keel:g} mm" in error.allowed


def test_a_length_nobody_gave_is_asked_for(saltmarsh, tmp_path):
    text = as_toml(saltmarsh())
    bare = re.sub(r"^percentile = .*\n", "", text, flags=re.M)
    file = tmp_path / "mine.toml"
    file.write_text(bare, encoding="utf-8")
    with pytest.raises(ParameterError) as error:
        load(file)
    assert "knee_height" in str(error.value)
    assert "measure yourself" in str(error.value)


def test_it_ends_with_2(capsys, tmp_path):
    code = main(
        ["check", str(CONFIGS / "saltmarsh.toml"), "--set", "pilot.pedal_station=10 mm",
         "--out", str(tmp_path)]
    )  # fmt: skip
    assert code == 2
    assert "don't reach the pedals" in capsys.readouterr().err


def test_whose_legs_do_not_reach_is_said(saltmarsh):
    # From hip to pedal some 790 mm: the 95th man's legs are longer, those of the 5th woman are not.
    far = "pilot.pedal_station=180 mm"
    saltmarsh(far, "pilot.percentile=95th man")
    error = refused(saltmarsh, far, "pilot.percentile=95th man", "pilot.percentiles=['5th woman']")
    assert error.key == "pilot.pedal_station"
    assert "the legs of the 5th woman don't reach the pedals" in error.problem


GLAZED = ("canopy.built_as=glazing", "canopy.thickness=3 mm", "canopy.material=acrylic")


@pytest.mark.parametrize(
    ("changes", "key", "words"),
    [
        (GLAZED[:2], "canopy.material", "nothing is said of the glazing"),
        ((GLAZED[0], GLAZED[2]), "canopy.thickness", "nothing is said of the glazing"),
        ((*GLAZED, "canopy.aft_station=1.85 m"), "canopy.aft_station", "reaches the firewall"),
        ((*GLAZED, "canopy.fore_station=3 mm"), "canopy.fore_station", "front end away"),
        (
            (*GLAZED, "canopy.aft_station=260 mm", "canopy.gap=6 mm"),
            "canopy.gap",
            "leaves no glazing",
        ),
        ((*GLAZED, "canopy.material=window glass"), "canopy.material", "not one of the choices"),
        (("canopy.built_as=hinged",), "canopy.built_as", "not one of the choices"),
    ],
)
def test_glazing_that_can_t_be_is_refused(saltmarsh, changes, key, words):
    error = refused(saltmarsh, *changes)
    assert error.key == key
    assert words in str(error)


def test_a_line_needs_no_thickness_and_may_reach_the_firewall(saltmarsh):
    p = saltmarsh("canopy.built_as=line", "canopy.aft_station=1.85 m")
    assert p.canopy.thickness is None
    assert saltmarsh(*GLAZED).canopy.gap == 2.0
