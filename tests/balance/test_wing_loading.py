"""What the wing measures and carries: by hand, in the units of the sheet and of JSON."""

import pytest
from balanced_shapes import pod, tail, wing
from weighed_machines import SOLIDS, machine, solid

from geomgen.balance.judged import checks_of
from geomgen.balance.plain import from_plain, plain
from geomgen.balance.sheet import mass_blocks
from geomgen.balance.state import balance_state
from geomgen.documents.record import Table, Words
from geomgen.measurements.record import Measurement
from geomgen.workflows.building.balance_file import write_balance
from geomgen.workflows.reporting.balance_page import balance_page

SHAPES = [wing(9000.0, 1300.0, 1300.0), tail(2400.0, 600.0, 600.0, 5000.0), pod()]
BY_AIR = Measurement("wing.neutral_point", "wing", "", 700.0, "mm", "panels", 12.0)


def state_of(p, *rows):
    found = balance_state(p, [*SOLIDS, *SHAPES, *rows])
    assert found is not None
    return found


def words_of(blocks):
    return " ".join(block.text for block in blocks if isinstance(block, Words))


def test_loadings_are_those_of_the_heaviest_loading():
    p = machine()
    state = state_of(p)
    gross = max(one.body.mass for one in state.loaded)
    row = plain(state)["wing"]
    assert row["area_mm2"] == pytest.approx(9000.0 * 1300.0, rel=1e-6)
    assert row["wing_loading_kg_m2"] == pytest.approx(gross / (9.0 * 1.3), rel=1e-6)
    assert row["power_loading_kg_kw"] == pytest.approx(gross / 22.0, rel=1e-6)
    (table,) = [
        b for b in mass_blocks(state, [], None) if isinstance(b, Table) and "To read" in b.title
    ]
    cells = {row.cells[0]: row.cells[1:] for row in table.rows}
    assert cells["area"] == ("11.70 m^2", "125.9 sq ft")
    assert cells["span"] == ("9.000 m", "29.53 ft")
    metric, imperial = (float(text.split()[0]) for text in cells["wing loading"])
    # 1 lb/sq ft is 4.8824 kg/m2, 1 lb/hp 0.60828 kg/kW: NIST SP 811.
    assert metric / imperial == pytest.approx(4.88243, rel=0.01)
    metric, imperial = (float(text.split()[0]) for text in cells["power loading"])
    assert metric / imperial == pytest.approx(0.60828, rel=0.01)


def test_masses_that_are_not_all_known_give_no_loading():
    state = balance_state(machine(), [*SOLIDS, *SHAPES, solid("gizmo", 1e6, (0.0, 0.0, 0.0))])
    assert state is not None
    assert state.lost
    row = plain(state)["wing"]
    assert (row["gross_kg"], row["wing_loading_kg_m2"]) == (None, None)
    text = [r.cells for b in mass_blocks(state, [], None) if isinstance(b, Table) for r in b.rows]
    assert ("wing loading", "not known", "") in text


def test_wing_that_was_not_measured_is_not_told():
    state = balance_state(machine(), SOLIDS)
    assert state is not None
    assert plain(state)["wing"] is None
    assert from_plain(plain(state)).wing is None


def test_read_back_it_is_the_same():
    state = state_of(machine())
    assert from_plain(plain(state)).wing == state.wing


@pytest.mark.parametrize("asked", ["estimate", "air"])
def test_margin_counts_from_the_neutral_point_that_is_asked_for(asked):
    p = machine(f'rules.neutral_point="{asked}"', 'rules.aft_limit="static margin 0.05"')
    rows = [*SOLIDS, *SHAPES, BY_AIR]
    state = state_of(p, BY_AIR)
    checks = {c.id: c for c in checks_of(p, rows)}
    aft = max(one.body.centre[0] for one in state.loaded)
    due = BY_AIR.value if asked == "air" else state_of(machine()).neutral.station
    assert checks["balance.aft"].measured == pytest.approx((due - aft) / 1300.0)
    assert checks["balance.static_margin"].measured == checks["balance.aft"].measured
    told = plain(state)
    assert told["neutral_point"]["by"] == asked
    assert (told["neutral_point_beside"] is not None) == (asked == "air")
    assert ("computed air" in checks["balance.aft"].method) == (asked == "air")


def test_both_neutral_points_stand_on_sheet_and_page(tmp_path):
    p = machine('rules.neutral_point="air"')
    state = state_of(p, BY_AIR)
    write_balance(tmp_path, p, [*SOLIDS, *SHAPES, BY_AIR])
    for text in (
        words_of(mass_blocks(state, [], None)),
        " ".join(balance_page(tmp_path, p).words),
    ):
        assert text.index("by the computed air, which counts") < text.index("which does not count")
        assert "STA 700 mm" in text
        assert text.count("by careful flight test") == 2
        assert "one of both is wrong" in text


def test_air_that_was_not_worked_out_gives_no_margin_and_says_so():
    p = machine('rules.neutral_point="air"', 'rules.aft_limit="static margin 0.05"')
    checks = {c.id: c for c in checks_of(p, [*SOLIDS, *SHAPES])}
    for id_ in ("balance.aft", "balance.static_margin"):
        assert checks[id_].verdict == "not_measured"
        assert "the air about the machine was not worked out" in checks[id_].note
