"""The page as text: well-formed by html5lib (reference library), nothing in it breaks out."""

import json
import re

import html5lib
import pytest
from plotly.offline import get_plotlyjs
from report_pages import page

from geomgen.documents.record import Table, rows_of
from geomgen.pages.html_page import html


@pytest.fixture(scope="module")
def text():
    return html(page())


def own(text):
    """Return the page without the viewer's source, whose letters the parser minds."""
    return text.replace(get_plotlyjs(), "")


def test_it_is_well_formed(text):
    html5lib.HTMLParser(strict=True).parse(own(text))


def test_the_parser_would_tell(text):
    with pytest.raises(html5lib.html5parser.ParseError):
        html5lib.HTMLParser(strict=True).parse(own(text).replace("</ol>", "</ul>", 1))


def test_text_of_the_builder_is_only_text(text):
    assert "<b>& only" not in text
    assert "alert(1)</script>" not in text
    assert "blocked by &lt;pod&gt; &amp; firewall" in text


def test_the_scene_cannot_end_its_block(text):
    block = re.search(
        r'<script type="application/json" id="scene-data">(.*?)</script>', text
    ).group(1)
    assert "<" not in block
    scene = json.loads(block)
    assert [place["id"] for place in scene["places"]] == ["prop.radial_clearance", "exit.area"]


def test_every_check_stands_in_it_worst_first(text):
    order = re.findall(r'<li id="check-([^"]+)" class="(\w+)"', text)
    kinds = [kind for _, kind in order]
    assert kinds == ["fail", "not_measured", "warn", "pass", "info"]
    assert len(order) == len(page().checks)
    assert "1 of 4 checks fail: exit.area" in text


def test_powers_of_units_are_raised_wherever_a_figure_stands(text):
    shown = own(text).split('<script type="application/json"')[0]
    assert "without it the limit is 159.2 cm²" in shown
    assert "asks for 164.0 cm²" in shown
    assert not re.search(r"\w\^\d", shown)


def test_only_checks_with_a_place_are_linked(text):
    assert re.findall(r'data-show="([^"]+)"', text) == ["exit.area", "prop.radial_clearance"]


def test_nothing_is_asked_of_a_network(text):
    before = text[: text.index('<script type="application/json"')]
    addresses = re.findall(r'(?:src|href)="([^"]+)"', before)
    assert addresses
    assert all(a.startswith(("#", "data:", "drawings/")) for a in addresses)
    assert "default-src 'none'" in before


def test_a_release_is_told():
    assert "RELEASED ALTHOUGH A CHECK FAILED: only to look" in html(page(released="only to look"))


def test_the_same_page_is_the_same_bytes():
    assert html(page()) == html(page())


def test_the_order_of_assembly_stands_below_the_parts_where_there_is_one(text):
    order = Table(("no.", "part"), rows_of([("1", "pod, left half")]), title="Order of assembly")
    assert "pod, left half" in html(page(order=order))
    assert "Order of assembly" not in text
