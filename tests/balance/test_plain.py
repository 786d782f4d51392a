"""Masses to JSON and back, and the sheet that is made of both."""

import json

import numpy as np
import pytest
from weighed_machines import machine, solid

from geomgen.balance.plain import from_plain, plain
from geomgen.balance.sheet import kilograms, mass_blocks
from geomgen.balance.shifts import shifts
from geomgen.balance.state import balance_state
from geomgen.documents.record import Table, Words

NAMES = ("pod", "wing", "engine", "pylon", "firewall")


@pytest.fixture(scope="module")
def state():
    rows = [solid(name, 2e7, (1500.0, 20.0, 900.0), area=4e6, joint=1e5) for name in NAMES]
    found = balance_state(machine(), rows)
    assert found is not None
    return found


def test_what_is_read_back_is_what_was_written(state):
    again = from_plain(json.loads(json.dumps(plain(state), allow_nan=False)))
    assert again.lines[0].body.spread == pytest.approx(state.lines[0].body.spread, abs=1e-3)
    assert [line.name for line in again.lines] == [line.name for line in state.lines]
    for old, new in zip(state.loaded, again.loaded, strict=True):
        assert new.loading.name == old.loading.name
        assert new.body.mass == pytest.approx(old.body.mass)
        assert new.body.centre == pytest.approx(old.body.centre)
        assert np.allclose(new.body.tensor, old.body.tensor)


def test_the_sheet_has_every_line_and_every_loading(state):
    aft = max(state.loaded, key=lambda one: one.body.centre[0])
    blocks = mass_blocks(state, shifts(state, aft.body, 150.0), aft)
    tables = [block for block in blocks if isinstance(block, Table)]
    assert [row.cells[0] for row in tables[0].rows] == [line.name for line in state.lines]
    assert [row.cells[0] for row in tables[4].rows] == [o.loading.name for o in state.loaded]
    text = " ".join(block.text for block in blocks if isinstance(block, Words))
    assert "own block of foam on the kitchen scales" in text
    assert "No neutral point is estimated" in text
    for table in tables:
        assert all(len(row.cells) == len(table.head) for row in table.rows)


def test_moments_are_mass_times_arm(state):
    aft = state.loaded[0]
    (lines, *_) = [b for b in mass_blocks(state, [], aft) if isinstance(b, Table)]
    cells = dict(zip(lines.head, lines.rows[0].cells, strict=True))
    assert float(cells["kg m"]) == pytest.approx(
        float(cells["kg"]) * float(cells["STA mm"]) / 1000, abs=0.02
    )


def test_pounds_and_inches_say_the_same(state):
    """Each table is followed by the same rows in other units: NIST SP 811, by hand."""
    aft = state.loaded[0]
    tables = [b for b in mass_blocks(state, [], aft) if isinstance(b, Table)]
    units = {"kg": ("lb", 0.45359237), "+/- kg": ("+/- lb", 0.45359237), "kg m": ("lb in", 0.01152)}
    for first in ("STA", "BL", "WL", "roll", "pitch", "yaw"):
        units[f"{first} mm"] = (f"{first} in", 25.4)
    units |= {f"I{axes}": (f"I{axes}", 1.35582) for axes in ("xx", "yy", "zz", "xz")}
    for metric, imperial in zip(tables[:-1:2], tables[1::2], strict=True):
        for row, same in zip(metric.rows, imperial.rows, strict=True):
            assert row.cells[0] == same.cells[0]
            one, other = (dict(zip(t.head, r.cells, strict=True))
                          for t, r in ((metric, row), (imperial, same)))  # fmt: skip
            for name, (unit, factor) in units.items():
                if name in one:
                    assert float(other[unit]) == pytest.approx(
                        float(one[name]) / factor, rel=2e-3, abs=0.06 + 0.6 / factor
                    )


def test_both_units_are_said():
    assert kilograms(45.359237) == "45.36 kg, 100.0 lb"
