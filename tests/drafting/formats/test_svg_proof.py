"""An SVG that was spoilt on purpose does not prove right."""

import re

import pytest
from drafting.formats.sheets import SHEET, TITLE

from geomgen.drafting.formats.svg import write_svg
from geomgen.drafting.formats.svg_proof import prove_svg, read_path
from geomgen.errors import FileWriteError

# The canopy's arc: radius 435 mm, at 1:10.
OPEN_ARC = r"A43\.5 43\.5 0"
# Pattern and what is put in its place; each is found in the file.
DAMAGE = {
    "size": (r'width="420mm"', 'width="400mm"'),
    "view": (r'viewBox="0 0 420 297"', 'viewBox="0 0 420 290"'),
    "role": (r' role="img"', ""),
    "no words": (r"<desc[^>]*>[^<]*</desc>", ""),
    "pen": (r'(side_view-hidden" stroke-width=)"0.18"', r'\1"0.35"'),
    "dashes": (r'(side_view-hidden" [^>]*) stroke-dasharray="[^"]*"', r"\1"),
    "moved": (r'(side_view-visible[^>]*>\s*<path d="M)(\d+)', r"\g<1>9\2"),
    "little": (r'(side_view-visible[^>]*>\s*<path d="M\d+)(\.\d)', r"\1.001"),
    "sweep": (rf"({OPEN_ARC} 0) 1 ", r"\1 0 "),
    "large": (rf"({OPEN_ARC}) 0 ", r"\1 1 "),
    "radius": (rf"{OPEN_ARC}", "A44 44 0"),
    "ellipse": (rf"{OPEN_ARC}", "A43.5 46 0"),
    "open": (r"Z\"", '"'),
    "lost line": (r"<path [^>]*/>\n(?=<path)", ""),
    "text": (r"length 2900.0</text>", "length 2910.0</text>"),
    "text moved": (r'<text x="', '<text x="1'),
    "text turned": (r"rotate\(-90", "rotate(90"),
    "text wide": (r'textLength="', 'textLength="1'),
    "text large": (r'font-size="', 'font-size="1'),
    "anchor": (r'text-anchor="middle"', 'text-anchor="end"'),
    "shifted": (r'(<g class="side_view-visible")', r'\1 transform="translate(1,0)"'),
    "layer": (r"side_view-hidden", "side_view-seen"),
    "another part": (r'data-name="canopy"', 'data-name="pod"'),
    "cut off": (r"</svg>", ""),
    "word for a number": (r'd="M\S+ ', 'd="Mx '),
}


@pytest.fixture
def file(tmp_path):
    return write_svg(tmp_path / "a.svg", SHEET, TITLE)


def test_sound_file_proves_right(file):
    prove_svg(file, SHEET, TITLE)


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_is_caught(file, damage):
    pattern, instead = DAMAGE[damage]
    text, many = re.subn(pattern, instead, file.read_text("utf-8"), count=1)
    assert many == 1
    file.write_text(text, "utf-8")
    with pytest.raises(FileWriteError):
        prove_svg(file, SHEET, TITLE)


def test_missing_file(tmp_path):
    with pytest.raises(FileWriteError):
        prove_svg(tmp_path / "none.svg", SHEET, TITLE)


def test_arcs_are_read_as_bulges():
    # Closed form: a quarter turn's bulge is tan(pi / 8), a half turn's 1; y runs down on the page.
    _, bulges, closed = read_path("M0 0A10 10 0 0 0 10 -10", 0.0)
    assert bulges == pytest.approx([2**0.5 - 1])
    assert not closed
    assert read_path("M0 0A5 5 0 0 1 10 0", 0.0)[1] == pytest.approx([-1.0])
    assert read_path("M0 0A10 10 0 1 0 10 -10", 0.0)[1][0] > 1
