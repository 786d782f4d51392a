"""Each rule between fields of the engine bay: what breaks it, and which key the message names."""

from math import radians, tan

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters.rules import engine_bay

CASES = [
    ("firewall.station=3.1 m", "firewall.station", "not inside the pod"),
    ("firewall.station=-1 m", "firewall.station", "not inside the pod"),
    ("firewall.station=2.95 m", "firewall.station", "not inside the pod"),
    ("firewall.tilt=30 deg", "firewall.tilt", "leaves the pod"),
    ("propeller.waterline=1.5 m", "propeller.waterline", "does not pass through the firewall"),
    ("firewall.penetrations.0.buttock_line=400 mm", "firewall.penetrations.0.buttock_line", "lea"),
    ("firewall.penetrations.0.buttock_line=-400 mm", "firewall.penetrations.0.buttock_line", ""),
    ("firewall.penetrations.0.waterline=100 mm", "firewall.penetrations.0.waterline", "leaves"),
    ("firewall.penetrations.1.buttock_line=-90 mm", "firewall.penetrations.1", "runs into"),
    ("scoops.cheek.corner_radius=28 mm", "scoops.0.corner_radius", "half the mouth"),
    ("scoops.cheek.lip_radius=1.6 mm", "scoops.0.lip_radius", "thicker than the wall"),
    ("scoops.cheek.fairing_length=250 mm", "scoops.0.fairing_length", "ends ahead of the passage"),
    ("scoops.cheek.passage_length=20 mm", "scoops.0.passage_length", "shorter than the lip"),
    ("scoops.cheek.mouth=-1 m", "scoops.0.mouth", "not on the pod"),
    ("scoops.cheek.mouth_ahead=-1.3 m", "scoops.0.mouth_ahead", "not on the pod"),
    ("scoops.cheek.fairing_length=1300 mm", "scoops.0.fairing_length", "past the end of the hull"),
    ("scoops.cheek.mouth_ahead=300 mm", "scoops.0.passage_length", "in the cabin"),
    ("scoops.cheek.width=900 mm", "scoops.0.width", "wider than the pod"),
    ("engine.boxes.0.station=1750 mm", "engine.boxes.0.station", "ahead of the firewall"),
    ("engine.cylinders.3.station=1820 mm", "engine.cylinders.3.station", "ahead of the firewall"),
    ("firewall.gap=20 mm", "firewall.gap", "leave nothing"),
]
EXTRA = {
    "firewall.tilt=30 deg": ["firewall.station=2840 mm"],
    "firewall.penetrations.1.buttock_line=-90 mm": ["firewall.penetrations.1.waterline=645 mm"],
    "scoops.cheek.passage_length=20 mm": [
        "scoops.cheek.wall=60 mm",
        "scoops.cheek.lip_radius=25 mm",
    ],
    "firewall.gap=20 mm": [f"pod.stations.{i}.breadth=45 mm" for i in (6, 7)],
}


@pytest.mark.parametrize(("change", "key", "message"), CASES, ids=[row[0] for row in CASES])
def test_rule(saltmarsh, change, key, message):
    with pytest.raises(ParameterError) as caught:
        saltmarsh(change, *EXTRA.get(change, []))
    errors = getattr(caught.value, "errors", (caught.value,))
    named = [error for error in errors if error.key == key and message in error.problem]
    assert named, [(error.key, error.problem) for error in errors]
    assert named[0].allowed
    assert named[0].written


HELP = [
    ("firewall.station=-1 m", "firewall.station", "write firewall.station as allowed"),
    ("firewall.station=2.95 m", "firewall.station", "change firewall.station, or exit.rim_station"),
    ("firewall.station=3.1 m", "firewall.station", "write firewall.station as allowed"),
    ("scoops.cheek.mouth=-1 m", "scoops.0.mouth", "write scoops.0.mouth as allowed"),
    ("scoops.cheek.mouth=2.95 m", "scoops.0.mouth", "change scoops.0.mouth, or exit.rim_station"),
    (
        "firewall.penetrations.0.waterline=100 mm",
        "firewall.penetrations.0.waterline",
        "write firewall.penetrations.0.waterline as allowed",
    ),
    (
        "firewall.penetrations.0.buttock_line=-400 mm",
        "firewall.penetrations.0.buttock_line",
        "write firewall.penetrations.0.buttock_line as allowed",
    ),
    (
        "firewall.penetrations.0.buttock_line=290 mm",
        "firewall.penetrations.0.buttock_line",
        "change firewall.penetrations.0.buttock_line, or firewall.penetrations.0.diameter",
    ),
    ("exit.rim_station=1 m", "exit.rim_station", "or firewall.station"),
    ("exit.rim_station=4 m", "exit.rim_station", "change exit.rim_station, or pod.stations."),
    ("pod.stations.3.breadth_height=1 mm", "pod.stations.3.breadth_height", ".keel"),
    ("pod.stations.3.breadth_height=3 m", "pod.stations.3.breadth_height", ".crown"),
]


@pytest.mark.parametrize(("change", "key", "advice"), HELP, ids=[row[0] for row in HELP])
def test_only_keys_that_can_help_are_named(saltmarsh, change, key, advice):
    with pytest.raises(ParameterError) as caught:
        saltmarsh(change)
    errors = getattr(caught.value, "errors", (caught.value,))
    told = next(error.advice for error in errors if error.key == key)
    assert advice in told
    assert told.count(" or ") == (0 if advice.startswith("write") else 1)


def test_mouth_ahead_goes_with_the_firewall_only(saltmarsh):
    with pytest.raises(ParameterError, match="only goes with a mouth at the firewall"):
        saltmarsh("scoops.0.mouth=2.1 m", "scoops.0.mouth_ahead=10 mm")
    assert saltmarsh("scoops.0.mouth=2.1 m").scoops[0].mouth == 2100.0


def test_engine_without_a_body(folder):
    import re

    from geomgen.parameters import load

    file = folder / "saltmarsh.toml"
    text = re.sub(r"\[\[engine\..*?(?=\[engine\.fan_face\])", "", file.read_text(), flags=re.DOTALL)
    file.write_text(text)
    with pytest.raises(ParameterError, match="no boxes and no cylinders"):
        load(file)


@pytest.mark.parametrize("tilt", [-30.0, -12.0, 0.0, 7.0, 30.0])
def test_leaning_station_on_a_straight_crown(saltmarsh, tilt):
    """Where a plane meets a straight line, worked out by hand: x = x0 + t (c + m (x - a) - h)."""
    p = saltmarsh()
    leaning = p.firewall.model_copy(update={"tilt": tilt, "station": 2250.0})
    p = p.model_copy(update={"firewall": leaning})
    t = tan(radians(tilt))
    crown, slope = 1142.0, (1040.0 - 1142.0) / 500.0
    by_hand = (2250.0 + t * (crown - slope * 2000.0 - 820.0)) / (1 - t * slope)
    assert 2000.0 < by_hand < 2500.0
    assert engine_bay.leaning_station(p, "crown") == pytest.approx(by_hand, abs=1e-6)


def test_refused_tilt_says_what_would_do(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("firewall.tilt=30 deg", "firewall.station=2840 mm")
    errors = getattr(caught.value, "errors", (caught.value,))
    allowed = next(e.allowed for e in errors if e.key == "firewall.tilt")
    most = float(allowed.split()[2])
    assert 1.0 < most < 30.0
    for tilt in (most, -most):
        with pytest.raises(ParameterError) as caught:
            saltmarsh(f"firewall.tilt={tilt} deg", "firewall.station=2840 mm")
        errors = getattr(caught.value, "errors", (caught.value,))
        assert "firewall.tilt" not in [e.key for e in errors]


def test_an_engine_may_stand_below_a_firewall_that_leans_aft(saltmarsh):
    """By hand: 100 mm below the thrust line a lean of 10 deg brings the sheet 17.6 mm forward."""
    low = (
        "firewall.tilt=10 deg", "engine.cylinders.muffler.waterline=700 mm",
        "engine.boxes.crankcase.station=1850 mm", "engine.boxes.crankcase.length=670 mm",
    )  # fmt: skip
    placed = "engine.cylinders.muffler.station={} mm"
    face = 1800 + 0.4 - (120 + 45) * tan(radians(10))
    saltmarsh(*low, placed.format(face + 45 + 0.1))
    with pytest.raises(ParameterError, match="begins ahead of the firewall"):
        saltmarsh(*low, placed.format(face + 45 - 0.1))


@pytest.mark.parametrize("part", ["exit", "tail_fairing", "scoop", "pylon"])
def test_a_part_that_is_not_there_is_not_fixed_to_the_engine(saltmarsh, part):
    p = saltmarsh(f'engine.fixed_parts=["firewall", "{part}"]')
    without = {"exit": {"exit": None}, "scoop": {"scoops": ()}, "pylon": {"pylon": None}}
    bare = {"exit": p.exit.model_copy(update={"tail_fairing": None})}
    p = p.model_copy(update=without.get(part, bare))
    (clash,) = engine_bay.fixed_parts_are_there(p)
    assert clash.path == ("engine", "fixed_parts", 1)
    assert clash.written == f'"{part}"'
    assert f'"{part}"' not in clash.allowed
    assert '"firewall"' in clash.allowed


def test_a_file_that_names_a_missing_part_is_refused_with_its_line(folder):
    import re

    from geomgen.parameters import load

    file = folder / "saltmarsh.toml"
    text = re.sub(r"\[exit\.tail_fairing\].*?(?=\n\[[a-z])", "", file.read_text(), flags=re.DOTALL)
    text = re.sub(r"\[\[exit\.tail_fairing\..*?(?=\n\[[a-z])", "", text, flags=re.DOTALL)
    file.write_text(text)
    with pytest.raises(ParameterError) as caught:
        load(file)
    errors = getattr(caught.value, "errors", (caught.value,))
    (named,) = [e for e in errors if e.key == "engine.fixed_parts.0"]
    line = next(i for i, row in enumerate(text.splitlines(), 1) if row.startswith("fixed_parts"))
    assert f":{line}" in str(named) or named.line == line
    assert named.allowed == '"exit", "scoop", "pylon", "firewall"'


def test_a_climb_faster_than_level_flight_is_refused(saltmarsh) -> None:
    """50 m/s written where 50 kt were meant; the same speed for both is none too fast."""
    with pytest.raises(ParameterError) as caught:
        saltmarsh("flight.climb_speed=50 m/s")
    error = caught.value
    assert error.key == "flight.climb_speed"
    assert "at most 27.78 m/s / 54.0 kt" in error.allowed
    assert error.written == "50.00 m/s / 97.2 kt"
    assert "units of both speeds" in error.advice
    assert saltmarsh("flight.climb_speed=54 kt", "flight.level_speed=54 kt")
