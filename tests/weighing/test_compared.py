"""The word on a difference, by hand; a wrong unit is caught by it."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from weighed_machines import SOLIDS, machine

from geomgen.balance.masses.to_weigh import scale_pieces
from geomgen.weighing.compared import difference, words_of
from geomgen.weighing.reading import typed_readings
from geomgen.weighing.target import targets_of


def told(text):
    p = machine()
    (target,) = targets_of(p, typed_readings([text]))
    return difference(p, scale_pieces(p, SOLIDS), target)


def test_a_tube_beside_the_scales():
    """0.9 m2 of 1.2 mm at 1406 kg/m3; the band a tenth; 1.9 kg is a quarter more."""
    boom = told("boom=1.9 kg each")
    assert boom.computed == pytest.approx(0.9 * 1.2 * 1.406, rel=1e-3)
    assert boom.band == pytest.approx(0.1 * boom.computed)
    assert boom.share == pytest.approx(0.251, abs=1e-3)
    assert boom.told == "15 % over the band: look again"
    assert not boom.within


def test_both_together_are_one_piece_each():
    assert told("boom=3.0 kg both").within
    assert told("boom=3.0 kg both").scales == pytest.approx(1.5)


def test_what_was_weighed_before_is_compared_with_that():
    wheel = told("wheel_main=3.11 kg each")
    assert (wheel.computed, wheel.within) == (pytest.approx(3.1), True)
    assert "weighed: 3.100 kg" in wheel.before
    assert not told("wheel_main=3.2 kg each").within


def test_what_nothing_said_has_nothing_to_compare_with():
    fin = told("fin=1 kg each")
    assert (fin.computed, fin.share, fin.within) == (None, None, True)


def test_an_item_is_compared_with_what_was_written():
    assert told("battery=2.1 kg").told == "as it was written"
    assert "has no band" in told("battery=2.2 kg").told
    assert told("engine with reduction gear and fan=20.9 kg").within


@example(mass=3.3, band=0.1, off=-1.0)
@given(st.floats(0.05, 500.0), st.floats(0.005, 0.3), st.floats(-1.0, 1.0))
def test_pounds_taken_for_kilograms_are_caught(mass, band, off):
    """What truly weighs within its band, read in the other unit, never passes."""
    true = mass * (1 + band * off)
    for wrong, unit in ((true / 0.45359237, "lb"), (true * 0.45359237, "kg")):
        words = words_of(mass, band * mass, wrong)
        assert "look again" in words
        assert f"as {unit} it would be within" in words
    assert words_of(mass, band * mass, true) == "within its band"
