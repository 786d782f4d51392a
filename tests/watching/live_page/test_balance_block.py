"""Mass and balance in one block: which figures, and what the last change did to each."""

from dataclasses import replace

from geomgen.pages.mass_diagram import Envelope, MassPoint, drawn
from geomgen.verdicts.check import Check, Limits
from geomgen.watching.live_page.balance_block import balance_block

AFT = Check(
    "balance.aft", "", "most aft centre", 0.082, "1", Limits("at least 0.050", 0.05), "at least",
    0.032, "pass", where="lightest, no fuel: STA 1440.0 mm",
)  # fmt: skip
EMPTY = Check(
    "mass.empty", "", "empty mass", 130.0, "kg", Limits("at most 165.000 kg", None, 165.0),
    "at most", 35.0, "pass",
)  # fmt: skip


def moved(former, new):
    return {row["id"]: row["moved"] for row in balance_block(former, new, None)["rows"]}


def test_figures_stand_in_their_order_with_limit_and_margin():
    first, second = balance_block((), (AFT, EMPTY), None)["rows"]
    assert (first["id"], second["id"]) == ("mass.empty", "balance.aft")
    assert (second["measured"], second["limit"]) == ("0.082", "at least 0.050")
    assert second["margin"] == "+0.032"
    assert second["where"] == "lightest, no fuel: STA 1440.0 mm"


def test_what_the_last_change_did_is_said_with_its_sign():
    now = (replace(AFT, measured=0.07), replace(EMPTY, measured=131.5))
    assert moved((AFT, EMPTY), now) == {"mass.empty": "+1.500 kg", "balance.aft": "-0.012"}
    assert moved((AFT, EMPTY), (AFT, EMPTY)) == {"mass.empty": "same", "balance.aft": "same"}
    # Another kind of limit counts the centre in another unit; the first state has none before it.
    other = replace(AFT, measured=1440.0, unit="mm")
    assert moved((other,), (AFT,)) == {"balance.aft": "–"} == moved((), (AFT,))
    lost = replace(AFT, measured=None, margin=None, verdict="not_measured")
    assert moved((AFT,), (lost,)) == {"balance.aft": "–"}


def test_there_is_no_block_without_masses():
    assert balance_block((AFT,), (replace(AFT, id="prop.tip_mach"),), None) is None


def test_names_of_loadings_can_not_break_out_of_the_drawing():
    points = (MassPoint(1500.0, 200.0, "<img src=x>"), MassPoint(1600.0, 260.0, "b", True))
    found = balance_block((), (AFT,), drawn(Envelope(points)))["envelope"]
    assert "&lt;img src=x&gt;" in found
    assert found.count("<circle") == 2
    assert "<img" not in found
