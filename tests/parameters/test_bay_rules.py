"""Each rule between fields of the engine bay: what breaks it, and which key the message names."""

import pytest

from geomgen.errors import ParameterError

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
    "firewall.tilt=30 deg": ["firewall.station=2700 mm"],
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
