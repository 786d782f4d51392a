"""Lengths of a text in inches, by factors of another table; what is none stays."""

import pytest
from own_inches import disagreeing, lengths_alone

from geomgen.length_words import figures, in_both, in_inches_alone, in_mm_alone, words_of

SAID = (
    ("6.35 mm", "0.25 in / 6.35 mm"),
    ("254.0 mm", "10.000 in / 254.0 mm"),
    ("1219.2 x 2438.4 x 6 mm", "48 x 96 x 0.236 in / 1219.2 x 2438.4 x 6 mm"),
    ("STA 12.7 to 25.4 BL -3.5", "STA 0.5 to 1 in / 12.7 to 25.4 mm BL -0.138 in / -3.5 mm"),
    ("+-0.2 mm", "+-0.008 in / +-0.2 mm"),
    ("-2.5e-04 mm", "-9.8e-06 in / -2.5e-04 mm"),
    ("3.45 m in 4 pieces", "135.8 in / 3.45 m in 4 pieces"),
    ("H1 Ø5.00 mm", "H1 Ø0.1969 in / 5.00 mm"),
    ("SHEET, 6 MM", "SHEET, 0.236 in / 6 MM"),
)
NONE = ("3 mm/s", "4 m²", "3 m/s", "A1, 841 x 594", "panel2_mm", "2.5 mmHg", "45 deg")


@pytest.mark.parametrize(("mm", "both"), SAID)
def test_lengths_are_told_in_inches_first_and_once(mm, both):
    assert in_both(mm) == both
    assert in_both(both) == both
    assert in_mm_alone(both).replace(" mm", "") == mm.replace(" mm", "")
    assert lengths_alone(mm) != []
    assert lengths_alone(both) == []
    assert disagreeing(both) == []


@pytest.mark.parametrize("text", NONE)
def test_what_is_no_length_stays(text):
    assert in_both(text) == in_inches_alone(text) == text


def test_a_note_on_a_screen_has_all_its_lengths_in_inches():
    note = "at BL 500: 127.0 mm between the skins, spar 63.5 mm deep"
    assert in_inches_alone(note) == "at BL 19.685: 5.000 in between the skins, spar 2.5 in deep"


@pytest.mark.parametrize(
    ("mm", "inches"),
    [
        ("less than 69.8 cm^2 is not seen", "less than 10.82 in^2 is not seen"),
        ("0.0346 in (72 mm^3)", "0.0346 in (0.0044 in^3)"),
        ("5.1 to 6.2 cm^3, 12.7 mm", "0.31 to 0.38 in^3, 0.5 in"),
        ("0 mm^2 of 645.16 mm^2", "0.00 in^2 of 1.00 in^2"),
        ("asks for 22.88 in^2 / 147.6 cm^2.", "asks for 22.88 in^2 / 147.6 cm^2."),
    ],
)
def test_a_note_on_a_screen_has_its_areas_and_volumes_in_inches(mm, inches):
    """Source: an inch is 25.4 mm (exact)."""
    assert in_inches_alone(mm) == inches
    assert in_both("12 mm^2") == "12 mm^2"


@pytest.mark.parametrize("decimals", [0, 1, 2, 3])
def test_figures_in_both_never_differ_by_more_than_they_are_rounded(decimals):
    for k in range(400):
        assert disagreeing(figures(0.137 * k * k + 0.01, decimals, True) + " mm") == []


def test_a_length_in_both_units_is_one_word():
    assert words_of("holes 0.25 in / 6.35 mm, deburred") == [
        "holes",
        "0.25 in / 6.35 mm,",
        "deburred",
    ]
