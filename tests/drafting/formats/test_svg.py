"""SVG read by other parsers: size, arcs, texts; many in one page; the style of a page."""

import math
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest
from drafting.formats.sheets import DRAWING, SHEET, TITLE
from fontTools.pens.recordingPen import RecordingPen
from fontTools.svgLib.path import parse_path

from geomgen.drafting.formats.svg import svg_text, write_svg
from geomgen.drafting.lettering import width_of
from geomgen.drafting.paper.sheet import Sheet
from geomgen.drafting.record import VISIBLE, Drawing, Label, Path

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def root(tmp_path):
    return ElementTree.parse(write_svg(tmp_path / "a.svg", SHEET, TITLE)).getroot()


def test_size_is_that_of_the_paper_in_millimetres(root):
    # ISO 216: A3 is 297 by 420 mm. PUBLISHED.
    assert (root.get("width"), root.get("height")) == ("420mm", "297mm")
    assert root.get("viewBox") == "0 0 420 297"


def test_text_for_who_can_not_see_it(root):
    assert root.get("role") == "img"
    named = root.get("aria-labelledby").split()
    texts = {e.get("id"): e.text for e in root if e.tag in (f"{SVG}title", f"{SVG}desc")}
    assert set(named) == set(texts)
    words = " ".join(texts.values())
    for due in ("Demo pusher", "side view", "1:10", "length 2900.0", "Stations from the datum"):
        assert due in words


def test_colours_are_the_page_s(root):
    assert root.get("stroke") == "currentColor"
    inks = {e.get(name) for e in root.iter() for name in ("fill", "stroke")} - {None}
    assert inks == {"currentColor", "none"}


def drawn(path, over=1):
    """Return the points that another library finds along a single open path on an A4 sheet."""
    sheet = Sheet(Drawing("a", (path,)), "A4", over)
    tree = ElementTree.fromstring(svg_text(sheet, TITLE))
    group = next(g for g in tree.iter(f"{SVG}g") if g.get("class") == "a-visible")
    pen = RecordingPen()
    parse_path(group.find(f"{SVG}path").get("d"), pen)
    return pen.value


def bezier(a, b, c, d, t):
    s = 1 - t
    return tuple(
        s**3 * p + 3 * s * s * t * q + 3 * s * t * t * r + t**3 * u
        for p, q, r, u in zip(a, b, c, d, strict=True)
    )


@pytest.mark.parametrize("bulge", [0.2, math.tan(math.pi / 8), 1.0, 2.5, -0.2, -1.0, -2.5])
def test_arcs_turn_as_the_drawing_s_do(bulge):
    path = Path(((0, 0), (40, 0)), (bulge, 0.0), False, VISIBLE)
    steps = drawn(path)
    start = steps[0][1][0]
    # A start at (0, 0), y down on the page: back to the drawing's own millimetres.
    here, points = start, []
    for kind, args in steps[1:]:
        if kind == "curveTo":
            points += [bezier(here, *args, t) for t in (0.25, 0.5, 0.75, 1.0)]
            here = args[-1]
    points = [(x - start[0], start[1] - y) for x, y in points]
    # Closed form: the middle of the arc lies off the chord by half the chord times the bulge,
    # to the right of the way for an arc that turns left.
    lowest = max(points, key=lambda p: abs(p[1]))
    assert lowest[1] == pytest.approx(-bulge * 20, abs=0.5)
    radius = 20 / math.sin(2 * math.atan(abs(bulge)))
    centre = (20.0, -bulge * 20 + math.copysign(radius, bulge))
    assert all(math.dist(p, centre) == pytest.approx(radius, abs=0.02) for p in points)
    assert points[-1] == pytest.approx((40.0, 0.0), abs=1e-3)


def test_lines_of_views_are_named_after_their_parts_and_no_others(root):
    lines = {g.get("class"): {p.get("data-name") for p in g} for g in root.iter(f"{SVG}g")}
    named = {
        **{"visible": {"pod", "canopy"}, "hidden": {"fan"}, "centre": {"thrust line"}},
        **{"open": {None}, "border": {None}, "former": {None}},
    }
    assert {name: lines[f"side_view-{name}"] for name in named} == named


def test_texts_are_as_wide_as_they_are_reckoned(root):
    for element in root.iter(f"{SVG}text"):
        height = float(element.get("font-size")) * 0.718
        due = width_of(element.text, height)
        assert float(element.get("textLength")) == pytest.approx(due, abs=2e-3)


def test_many_in_one_page_do_not_share_names():
    class Names(HTMLParser):
        ids: list[str]
        classes: list[str]

        def handle_starttag(self, tag, attrs):
            self.ids += [value for name, value in attrs if name == "id"]
            self.classes += [value for name, value in attrs if name == "class"]

    page = Names()
    page.ids, page.classes = [], []
    page.feed("".join(svg_text(SHEET, TITLE, f"v{i}-") for i in range(3)))
    assert len(page.ids) == len(set(page.ids)) == 9
    assert len(page.classes) == len(set(page.classes))
    assert all(name.startswith(("v0-", "v1-", "v2-")) for name in page.ids + page.classes)


def test_style_holds_for_a_file_of_its_own_only():
    style = ElementTree.fromstring(svg_text(SHEET, TITLE)).find(f"{SVG}style").text
    # CSS: `:root` is the outermost element, an <svg> in a page of HTML is not that.
    assert all(rule.startswith("svg:root") for rule in style.split("}") if rule)


def test_signs_of_xml_and_what_can_not_be_printed():
    odd = Drawing("a<b", (), (Label((0, 0), "x<&>\"'\x07y", 3.5),))
    tree = ElementTree.fromstring(svg_text(Sheet(odd, "A4", 1), TITLE))
    assert "x<&>\"' y" in [e.text for e in tree.iter(f"{SVG}text")]


def test_same_text_every_time():
    assert svg_text(SHEET, TITLE) == svg_text(SHEET, TITLE)
    assert DRAWING.name in svg_text(SHEET, TITLE)
