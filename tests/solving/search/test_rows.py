"""The answer as plain values: it can be written as JSON and says what was measured."""

import json

from plain_solving import free, machine, solved

from geomgen.sizing.target import Target
from geomgen.solving.search.rows import as_dict

AREA = Target("inlet.area", "mouths", "at least", "mm2", low=9000.0)
GAP = Target("prop.radial_clearance", "tips", "at least", "mm", low=25.0)


def test_rows_of_an_answer() -> None:
    figures = {"inlet.area": lambda h: 170 * h, "prop.radial_clearance": lambda h: 95.0 - h}
    evaluate = machine([AREA, GAP], figures, mass=lambda h: h / 100)
    found = solved([free(30, 90, 50)], ["inlet.area=100 cm^2", "all"], [AREA, GAP], evaluate)
    row = json.loads(json.dumps(as_dict(found), allow_nan=False))
    assert row["status"] == "holds"
    assert row["freed"][0]["written"] == "58.8 mm"
    assert (row["asked"][0]["former"], row["asked"][0]["met"]) == (8500.0, True)
    assert [r["id"] for r in row["moved"]] == ["prop.radial_clearance"]
    assert (row["mass"]["former"], row["mass"]["new"]) == (0.5, 0.588)
    assert len(row["measured_states"]) == row["evaluations"]["made"]


def test_rows_where_nothing_was_built() -> None:
    from geomgen.errors import GeometryError

    def never(h: float) -> float:
        raise GeometryError("the walls meet")

    found = solved([free(30, 90, 50)], ["all"], [AREA], machine([AREA], {"inlet.area": never}))
    row = as_dict(found)
    assert (row["status"], row["checks"], row["asked"][0]["met"]) == ("not met", [], False)
