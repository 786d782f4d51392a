"""Room of texts against the published widths of the font, and turned by another library."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapely import LinearRing
from shapely.affinity import rotate

from geomgen.drafting.lettering import extent, shown, text_box, text_corners, width_of, wrapped
from geomgen.drafting.record import Drawing, Label, line

# Widths over a thousandth of the font's size, and the height of a capital: the font metrics that
# belong to the fourteen standard fonts of PDF. PUBLISHED.
WIDTHS = {"0": 556, "W": 944, "i": 222, " ": 278, "H": 722, ".": 278}
CAPITAL = 718


@pytest.mark.parametrize("letter", WIDTHS)
def test_widths_are_those_of_the_font(letter):
    assert width_of(letter, 3.5) == pytest.approx(3.5 * WIDTHS[letter] / CAPITAL)


def test_unknown_letters_are_written_as_the_font_can():
    assert shown("10 \u2264 20 \u2212 3") == "10 <= 20 - 3"
    assert shown("\u0106") == "C"


@given(st.floats(-180, 180), st.sampled_from(["start", "middle", "end"]))
@example(-8.318239998398383, "middle")
def test_turned_box_is_the_level_one_turned(angle, anchor):
    at = (12.0, -7.0)
    level = LinearRing(text_corners(Label(at, "WL 820", 3.5, 0.0, anchor)))
    turned = LinearRing(text_corners(Label(at, "WL 820", 3.5, angle, anchor)))
    due = rotate(level, angle, origin=at)
    # Corner by corner: laid over each other, two areas that are all but the same can seem apart.
    np.testing.assert_allclose(turned.coords, due.coords, rtol=0, atol=1e-9)


def test_anchor_and_depth():
    long = width_of("STA 1500", 2.5)
    assert text_box(Label((0, 0), "STA 1500", 2.5, 0, "end")) == pytest.approx(
        (-long, -0.75, 0, 2.5)
    )
    low, high = extent(Drawing("a", (line((0, 0), (1, 1)),), (Label((0, 5), "STA 1500", 2.5),)))
    assert (*low, *high) == pytest.approx((0, 0, long, 7.5))


@given(st.text("abcW _", max_size=60), st.floats(8, 60))
def test_wrapped_lines_fit_and_nothing_is_lost(words, width):
    lines = wrapped(words, width, 2.5)
    assert "".join("".join(lines).split()) == "".join(words.split())
    assert all(width_of(text, 2.5) <= width for text in lines)


def test_text_box_turns_with_the_text():
    flat, upright = (text_box(Label((10, 20), "WL 820", 6.0, angle)) for angle in (0, 90))
    assert flat[2] - flat[0] == pytest.approx(upright[3] - upright[1])
    assert upright[0] == pytest.approx(10 - 6.0)
    middle = text_box(Label((10, 20), "WL 820", 6.0, 0, "middle"))
    assert (middle[0] + middle[2]) / 2 == pytest.approx(10)
