"""What stands far off the machine is refused."""

from pathlib import Path

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load
from geomgen.parameters.rules.off_machine import machine_ranges

CONFIG = Path(__file__).parents[3] / "configs" / "saltmarsh.toml"


def refused(*changes):
    with pytest.raises(ParameterError) as caught:
        load(CONFIG, changes)
    return str(caught.value)


@pytest.mark.parametrize(
    ("change", "key"),
    [
        ("items.battery.station=-3 m", "station"),
        ("items.battery.station=9 m", "station"),
        ("items.battery.waterline=-2.5 m", "waterline"),
        ("items.battery.waterline=5 m", "waterline"),
        ("tanks.main.shape.station=-2 m", "station"),
        ("loads.baggage.0.station=12 m", "station"),
        ("loads.ballast_station=-3 m", "ballast_station"),
    ],
)
def test_what_stands_far_off_the_machine_is_refused(change, key):
    said = refused(change)
    assert "more than 1000 mm off the machine" in said
    assert change.split("=")[0].rsplit(".", 1)[1] == key
    assert key in said


def test_a_metre_off_the_machine_is_allowed():
    (nose, aft), _ = machine_ranges(load(CONFIG))
    for at in (nose - 999.0, aft + 999.0):
        p = load(CONFIG, [f"items.battery.station={at} mm"])
        assert any(item.station == at for item in p.items)
    for at in (nose - 1001.0, aft + 1001.0):
        assert "off the machine" in refused(f"items.battery.station={at} mm")
