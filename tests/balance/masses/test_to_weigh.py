"""What comes onto the scales, with what was computed: by hand."""

import pytest
from weighed_machines import machine, solid

from geomgen.balance.masses.to_weigh import scale_pieces, to_weigh

SOLIDS = (
    solid("pod", 2e7, (1500.0, 0.0, 900.0), area=4e6),
    solid("boom_left", 1e6, (3000.0, -780.0, 1280.0), area=8e5),
    solid("boom_right", 1e6, (3000.0, 780.0, 1280.0), area=8e5),
    solid("wheel_nose", 1e6, (380.0, 0.0, -15.0)),
    solid("firewall", 1e5, (1800.0, 0.0, 800.0)),
)
CUT = (
    solid("boom_fore_left", 1e6, (2000.0, -780.0, 1280.0), area=6e5),
    solid("boom_aft_left", 1e6, (4000.0, -780.0, 1280.0), area=2e5),
)


def named(p, solids=SOLIDS):
    return {piece.name: piece for piece in to_weigh(p, solids)}


def test_parts_that_were_weighed_are_not_on_the_list():
    assert list(named(machine())) == ["pod", "boom_left", "boom_right", "firewall"]
    every = {piece.name: piece for piece in scale_pieces(machine(), SOLIDS)}
    assert every["wheel_nose"].weighed
    assert every["wheel_nose"].body.mass == pytest.approx(2.4)
    assert every["wheel_nose"].worked_out is None


def test_mass_band_and_centre_are_those_of_the_sheet():
    """A tube of 1.2 mm wall, 1600 kg/m3, on 0.8 m2; its band a tenth."""
    boom = named(machine("mass.5.density=1600 kg/m^3"))["boom_left"]
    assert boom.body.mass == pytest.approx(0.8 * 0.0012 * 1600.0)
    assert boom.band == pytest.approx(0.1 * boom.body.mass)
    assert boom.body.centre == pytest.approx((3000.0, -780.0, 1280.0))


def test_what_joints_have_cut_is_one_piece_on_the_scales():
    """Skins of 0.6 and 0.2 m2 at STA 2000 and 4000: the centre at a quarter of the way."""
    boom = named(machine(), CUT)["boom_left"]
    assert boom.parts == ("boom_fore_left", "boom_aft_left")
    assert boom.body.centre[0] == pytest.approx(2500.0)
    assert boom.band == pytest.approx(0.1 * boom.body.mass)


def test_panels_that_the_file_can_not_name_go_by_their_family():
    panels = [solid(f"wing_{hand}", 1e6, (1500.0, 0.0, 1300.0), 1e6) for hand in ("left", "right")]
    assert named(machine(), panels)["wing"].parts == ("wing_left", "wing_right")


def test_a_file_without_masses_has_nothing_to_weigh():
    p = machine().model_copy(update={"mass": ()})
    assert to_weigh(p, SOLIDS) == ()
