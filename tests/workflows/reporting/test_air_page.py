"""The page's section of the air, from what stands in the set."""

import html5lib
import pytest
from aired_machines import LINES, machine, measured
from plotly.offline import get_plotlyjs
from report_pages import page

from geomgen.errors import FileWriteError
from geomgen.pages.html_page import html
from geomgen.workflows.building.air_file import write_air
from geomgen.workflows.reporting.air_page import air_page


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("set")
    write_air(made, machine(), measured())
    return made


@pytest.fixture(scope="module")
def text(folder):
    return html(page(air=air_page(folder))).replace(get_plotlyjs(), "")


def test_it_draws_the_climb_with_the_mouth(folder):
    found, level, glide = air_page(folder).pressures
    assert (level.state, glide.state) == ("level", "glide")
    assert [curve.name for curve in found.curves] == list(LINES)
    assert found.state == "climb"
    assert [mouth.text for mouth in found.mouths] == ["scoop_cheek"]
    assert [name for _, _, name, _ in found.places] == ["", "1"]
    assert [len(curve.leaves) for curve in found.curves] == [2, 0, 0]


def test_it_stands_in_the_page_and_in_the_contents(text):
    html5lib.HTMLParser(strict=True).parse(text)
    assert '<a href="#air">Air</a>' in text
    section = text[text.index('<section id="air"') : text.index('<section id="sizing"')]
    assert section.index("tuft the pod") < section.index("<svg") < section.index("<table")
    assert section.count('class="curve crown"') == 9
    assert section.count('class="leaves"') == 6
    assert "STA 1900 mm on the crown" in section
    assert "Not seen: swirl" in section
    assert "<script" not in section


def test_a_set_without_air_has_no_section(tmp_path):
    assert air_page(tmp_path) is None
    text = html(page(air=None))
    assert 'id="air"' not in text
    assert 'href="#air"' not in text


def test_air_that_can_not_be_read_is_said(tmp_path):
    (tmp_path / "air.json").write_text('{"states": 3}')
    with pytest.raises(FileWriteError, match=r"air of the set can't be read"):
        air_page(tmp_path)
