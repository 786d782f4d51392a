"""The air as plain values and back."""

import json

import pytest
from aired_machines import machine, measured

from geomgen.air.gathering import machine_air
from geomgen.air.record import NeutralBeside, from_plain, plain


@pytest.mark.parametrize("layer", [True, False])
def test_plain_values_make_the_same_air(layer):
    beside = NeutralBeside(1630.0, 19.0, 1625.0, (1600.0, 1650.0))
    air = machine_air(machine(), measured(layer), beside)
    text = json.dumps(plain(air), allow_nan=False)
    assert from_plain(json.loads(text)) == air


def test_a_figure_without_end_is_still_json():
    """So small a leakage and so high a pressure outside that a band's end stops the air."""
    air = machine_air(machine("air.discharge=0.3", "cooling.baffle_drop=600 Pa"), measured())
    assert from_plain(json.loads(json.dumps(plain(air), allow_nan=False))) == air


def test_what_is_no_air_is_refused():
    with pytest.raises(ValueError, match="states"):
        from_plain({"rules": None})
