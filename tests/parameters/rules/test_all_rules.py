"""Each rule between fields: what breaks it, and which key the message names."""

import tomllib
from pathlib import Path

import pytest
import tomlkit

from geomgen.errors import ParameterError
from geomgen.parameters import as_toml, load

CONFIGS = Path(__file__).parents[3] / "configs"
WHEEL_AT = 'buttock_line = "750 mm"\n'

CASES = [
    ("pod.stations.3.station=200 mm", "pod.stations.3.station", "does not increase"),
    ("pod.stations.3.station=250 mm", "pod.stations.3.station", "does not increase"),
    ("booms.stations.1.station=1 m", "booms.stations.1.station", "does not increase"),
    ("wing.sections.1.buttock_line=5 m", "wing.sections.2.buttock_line", "does not increase"),
    ("tailplane.sections.1.buttock_line=0 mm", "tailplane.sections.1.buttock_line", "increase"),
    ("fins.sections.1.height=0 mm", "fins.sections.1.height", "does not increase"),
    (
        "exit.tail_fairing.stations.1.station=2600 mm",
        "exit.tail_fairing.stations.1.station",
        "does not increase",
    ),
    ("pod.stations.0.breadth=10 mm", "pod.stations.0", "begins with a point"),
    ("pod.stations.0.crown=700 mm", "pod.stations.0", "begins with a point"),
    ("pod.nose=flat", "pod.stations.0.breadth_height", "not between keel and crown"),
    ("pod.stations.4.breadth_height=1.3 m", "pod.stations.4.breadth_height", "not between"),
    ("pod.stations.4.keel=1.25 m", "pod.stations.4.breadth_height", "not between"),
    ("pod.stations.2.breadth=8 mm", "pod.wall", "the walls meet"),
    ("booms.stations.0.width=0 mm", "booms.stations.0.width", "too thin"),
    ("booms.nose=round", "booms.stations.0.width", "begins with a point"),
    ("booms.buttock_line=40 mm", "booms.buttock_line", "run into each other"),
    ("booms.buttock_line=4.6 m", "booms.buttock_line", "outboard of the wing tip"),
    ("wing.leading_edge=100 mm", "booms.stations.0.station", "begin behind the wing"),
    ("wing.leading_edge=4 m", "booms.stations.5.station", "end ahead of the wing"),
    ("wing.sections.0.buttock_line=10 mm", "wing.sections.0.buttock_line", "centre plane"),
    ("tailplane.sections.0.buttock_line=10 mm", "tailplane.sections.0.buttock_line", "centre"),
    ("wing.trailing_edge_thickness=20 mm", "wing.trailing_edge_thickness", "too thick"),
    ("fins.trailing_edge_thickness=15 mm", "fins.trailing_edge_thickness", "too thick"),
    ("pylon.trailing_edge_thickness=20 mm", "pylon.trailing_edge_thickness", "too thick"),
    ("pylon.waterline_high=1 m", "pylon.waterline_high", "not above"),
    ("pod.tail=flat", "pod.tail", "an exit needs an open tail"),
    ("exit.rim_station=1.7 m", "exit.rim_station", "not between firewall and aft end"),
    ("exit.rim_station=3 m", "exit.rim_station", "not between firewall and aft end"),
    (
        "exit.tail_fairing.stations.2.diameter=230 mm",
        "exit.tail_fairing.stations.2.diameter",
        "closes the exit",
    ),
    (
        "pod.wall=40 mm",
        "exit.tail_fairing.stations.2.diameter",
        "220 mm across, 140 mm inside its wall of 40 mm",
    ),
    ("exit.tail_fairing.bore=100 mm", "exit.tail_fairing.bore", "wider than the fairing"),
    ("propeller.hub_diameter=1 m", "propeller.hub_diameter", "hub is as wide"),
    ("spinner.diameter=900 mm", "spinner.diameter", "spinner is as wide"),
    ("propeller.station=2.9 m", "propeller.station", "do not stand behind"),
    ("propeller.station=3.03 m", "propeller.station", "do not stand behind"),
    ("propeller.behind_trailing_edge=0.2", "propeller.behind_trailing_edge", "do not stand"),
    ("propeller.behind_at=5 m", "propeller.behind_at", "outboard of the wing tip"),
    ("gear.layout=tailwheel", "gear.wheels", "no tail wheel"),
    ("gear.wheels.nose.role=tail", "gear.wheels.1.role", "does not go with tricycle"),
    ("gear.wheels.nose.role=main", "gear.wheels", "no nose wheel"),
    ("gear.wheels.nose.name=main", "gear.wheels.1.name", "the name is taken"),
    (
        "gear.take_off_pitch=8.5 deg",
        "gear.take_off_pitch",
        "more than the nose-up pitch at rotation",
    ),
    ("gear.wheels.nose.name=main_left", "gear.wheels.1.name", "the name of one of 'main'"),
    ("gear.wheels.main.width=370 mm", "gear.wheels.0.width", "wider than its diameter"),
    ("gear.wheels.main.buttock_line=0 mm", "gear.wheels.0.buttock_line", "off the centre"),
    ("joints.0.to=wing", "joints.0.to", "not trimmed to itself"),
    ("joints.1.trim=wing", "joints.1", "joined already"),
    ('joints.1={trim = "firewall", to = "pod"}', "joints.1", "fitted to the pod by itself"),
]
# What has to change with it, so that the value is not refused for itself.
ALONG = {
    "wing.trailing_edge_thickness=20 mm": "wing.sections.2.chord=500 mm",
    "propeller.hub_diameter=1 m": "propeller.diameter=900 mm",
    "spinner.diameter=900 mm": "propeller.diameter=800 mm",
}


@pytest.mark.parametrize(("change", "key", "message"), CASES, ids=[row[0] for row in CASES])
def test_rule(saltmarsh, change, key, message):
    changes = [change, *([ALONG[change]] if change in ALONG else [])]
    with pytest.raises(ParameterError) as caught:
        saltmarsh(*changes)
    errors = getattr(caught.value, "errors", (caught.value,))
    named = [error for error in errors if error.key == key and message in error.problem]
    assert named, [(error.key, error.problem) for error in errors]
    assert named[0].allowed
    assert named[0].written


@pytest.mark.parametrize(
    ("family", "table"),
    [("pylon", "pylon"), ("tailplane", "tailplane"), ("fin", "fins"), ("exit", "exit")],
)
def test_joint_with_a_part_that_the_file_has_not(folder, family, table):
    import tomllib

    from geomgen.parameters.reading.loading import records_of
    from geomgen.parameters.reading.refusal import Origin

    tables = tomllib.loads((folder / "saltmarsh.toml").read_text())
    del tables[table]
    tables["joints"] = [{"trim": family, "to": "boom"}]
    with pytest.raises(ParameterError, match="no such part in this file"):
        records_of(tables, {(): Origin("x.toml", None)}, folder)


def test_all_clashes_come_in_one_message(saltmarsh):
    with pytest.raises(ParameterError) as caught:
        saltmarsh("exit.rim_station=3 m", "pylon.waterline_high=1 m", "booms.buttock_line=40 mm")
    assert {e.key for e in caught.value.errors} >= {
        "exit.rim_station",
        "pylon.waterline_high",
        "booms.buttock_line",
    }
    assert str(caught.value).endswith("3 things to put right")
    assert len(caught.value.as_dict()["errors"]) == 3


def test_a_default_that_nobody_wrote_is_not_told_as_written(tmp_path):
    """The main wheels' buttock line is left out: its default does not stand off the centre."""
    text = (CONFIGS / "saltmarsh.toml").read_text()
    assert text.count(WHEEL_AT) == 1
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    file = tmp_path / "mine.toml"
    file.write_text(text.replace(WHEEL_AT, ""))
    with pytest.raises(ParameterError) as caught:
        load(file)
    assert caught.value.key == "gear.wheels.0.buttock_line"
    assert caught.value.written == "nothing, so the default: 0 mm"
    with pytest.raises(ParameterError) as caught:
        load(CONFIGS / "saltmarsh.toml", ["gear.wheels.main.buttock_line=0 mm"])
    assert caught.value.written == "0 mm"
    assert "in pairs" in caught.value.advice


@pytest.mark.parametrize("layout", ["tailwheel", "tricycle"])
def test_one_main_wheel_is_refused_with_a_way_that_works(saltmarsh, tmp_path, layout):
    """On the centre plane, of either layout; what is advised, no [gear], is then taken."""
    role = "tail" if layout == "tailwheel" else "nose"
    with pytest.raises(ParameterError) as caught:
        saltmarsh(
            f"gear.layout={layout}",
            f"gear.wheels.nose.role={role}",
            "gear.wheels.main.buttock_line=0 mm",
        )
    told = caught.value
    assert told.key == "gear.wheels.0.buttock_line"
    assert "leave [gear] and the masses of its parts out" in told.advice
    table = tomllib.loads(as_toml(saltmarsh()))
    del table["gear"]
    table["mass"] = [
        row for row in table["mass"] if row["part"][:5] not in ("leg_m", "leg_n", "wheel")
    ]
    (tmp_path / "curlew.dat").write_bytes((CONFIGS / "curlew.dat").read_bytes())
    file = tmp_path / "without.toml"
    file.write_text(tomlkit.dumps(table))
    assert load(file).gear is None
