"""What the shops are asked for has to fit the aircraft: refused at once, with key and choices."""

import pytest

from geomgen.errors import ParameterError
from geomgen.parameters import load


def refusal(folder, *overrides):
    with pytest.raises(ParameterError) as caught:
        load(folder / "saltmarsh.toml", overrides)
    return str(caught.value)


def test_part_that_is_not_there(folder):
    text = refusal(folder, "handoff.moulds.0.part=podd")
    assert "handoff.moulds.0.part" in text
    assert "scoop_cheek, wing_tip, exit, tail_fairing" in text


@pytest.mark.parametrize("at", ["5 m", "0 mm"])
def test_tip_that_begins_nowhere(folder, at):
    text = refusal(folder, f"handoff.moulds.3.from_buttock_line={at}")
    assert "between 0 mm and 4500 mm" in text


def test_place_of_a_tip_on_another_part(folder):
    text = refusal(folder, "handoff.moulds.0.from_buttock_line=1 m")
    assert "only a wing_tip has it" in text


def test_stack_that_ends_before_it_starts(folder):
    text = refusal(folder, "handoff.foam.start=2 m", "handoff.foam.end=1 m")
    assert "more than 2000 mm" in text


@pytest.mark.parametrize(("table", "kept"), [("ply", "gap"), ("foam", "margin")])
def test_sheets_of_which_nothing_is_left(folder, table, kept):
    sides = (f"handoff.{table}.sheet_length=120 mm", f"handoff.{table}.sheet_width=100 mm")
    text = refusal(folder, *sides, f"handoff.{table}.{kept}=50 mm")
    assert f"handoff.{table}.{kept}: kept to both edges, it leaves nothing" in text
    assert "less than 50 mm" in text
    load(folder / "saltmarsh.toml", [*sides, f"handoff.{table}.{kept}=49 mm"])


def test_a_jig_without_frames(folder):
    text = refusal(folder, "handoff.ply.jig.way=crown down")
    assert "handoff.ply.jig" in text
    assert "no [[frames]]" in text


def test_a_stock_with_two_prices(folder, tmp_path):
    (tmp_path / "curlew.dat").write_bytes((folder / "curlew.dat").read_bytes())
    rows = '\n[[handoff.prices]]\nstock = "spruce strip, 20 x 12 mm"\nprice = "{} shells"\n'
    file = tmp_path / "priced.toml"
    text = (folder / "saltmarsh.toml").read_text()
    file.write_text(text + rows.format(3) + rows.format(4))
    with pytest.raises(ParameterError, match=r"prices\.1\.stock \(no\. 2 of prices\): named twice"):
        load(file)
    file.write_text(text + rows.format(3))
    load(file)


def test_skin_without_a_laminate(folder, tmp_path):
    text = (folder / "saltmarsh.toml").read_text()
    start = text.index("[handoff.laminate]")
    end = text.index("[[handoff.moulds]]")
    (tmp_path / "curlew.dat").write_bytes((folder / "curlew.dat").read_bytes())
    file = tmp_path / "bare.toml"
    file.write_text(text[:start] + text[end:])
    with pytest.raises(ParameterError) as caught:
        load(file)
    told = str(caught.value)
    for key in (
        "handoff.moulds.3.treatment",
        "handoff.foam.inset_skin",
        "handoff.cores.inset_skin",
    ):
        assert key in told
    assert "handoff.laminate" in told


def test_dowels_too_thick_for_their_flange(folder):
    text = refusal(
        folder, "handoff.moulds.0.flange=10 mm", "handoff.moulds.0.dowel_diameter=1/4 in"
    )
    assert "6.35 mm" in text
    assert "a flange of 0.5 in / 12.7 mm would do" in text


def test_example_keeps_all_rules(folder):
    assert load(folder / "saltmarsh.toml").handoff.moulds[3].from_buttock_line == 4350.0


@pytest.mark.parametrize(
    ("overrides", "words"),
    [
        (("handoff.sheet.ring_width=12 mm",), "at least 15.7 mm"),
        (("handoff.sheet.rivet_pitch=6 mm",), "at least 9.6 mm"),
        (("handoff.sheet.lap=10 mm",), "at least 12.8 mm"),
        (("firewall.flange=0 mm",), "no flange to be made so"),
    ],
)
def test_ring_without_room_for_its_rivets(folder, overrides, words):
    """4 diameters, bend of 1 + 0.4 mm, root of 1.5 mm; 3 diameters; 4 diameters (common)."""
    assert words in refusal(folder, "handoff.sheet.flange=joggled segments", *overrides)


def test_ring_without_a_width_is_made_as_wide_as_its_rivets_need(folder):
    """8 mm rivets need 4 x 8 mm beside the bend, more than the usual 20 mm."""
    changes = ["handoff.sheet.flange=angle ring", "handoff.sheet.rivet_diameter=8 mm"]
    assert load(folder / "saltmarsh.toml", changes).handoff.sheet.ring_width is None


def test_tabs_need_no_room_for_rivets(folder):
    changes = ["handoff.sheet.ring_width=12 mm", "handoff.sheet.lap=6 mm"]
    assert load(folder / "saltmarsh.toml", changes).handoff.sheet.flange == "tabs"


def test_flange_that_is_no_choice(folder):
    text = refusal(folder, "handoff.sheet.flange=welded")
    assert "angle ring" in text
    assert "joggled segments" in text
