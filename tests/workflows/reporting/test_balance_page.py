"""The centres that a report's drawing takes from a set's masses, or why there are none."""

import json
import re

import pytest

from geomgen.aircraft_drawings.on_wheels.stance import LoadedCentre
from geomgen.workflows.building.balance_file import BALANCE
from geomgen.workflows.reporting.balance_page import loaded_centres

ROW = {"name": "heavy", "centre_mm": [1500, 0.0, 820.5], "mass_kg": 250.0}


@pytest.mark.parametrize(
    ("values", "why"),
    [
        (None, "does not say what it weighs"),
        ({"left_out": {"pod": "no mesh"}, "loadings": [ROW]}, "not all that is weighed is known"),
        ({"left_out": {}, "loadings": []}, r"no \[loads\] in the file says who flies it"),
        ({"left_out": {}, "loadings": [ROW]}, "^$"),
    ],
)
def test_centres_of_loadings(tmp_path, values, why):
    if values is not None:
        (tmp_path / BALANCE).write_text(json.dumps(values))
    centres, without = loaded_centres(tmp_path)
    assert centres == ((LoadedCentre("heavy", (1500.0, 0.0, 820.5)),) if why == "^$" else ())
    assert re.search(why, without)
