"""The study's page as text: well-formed (html5lib), and saying what it was given."""

import json
import re
from dataclasses import replace

import html5lib
import pytest
from study_pages import study, variants

from geomgen.pages.study_page import headline, html, others, verdict_map


@pytest.fixture(scope="module")
def text():
    return html(study())


def test_it_is_well_formed(text):
    # Without plotly.js, whose strings hold code points that a strict reader complains of.
    bare = re.sub(r"<script>.*?</script>", "", text, flags=re.DOTALL)
    html5lib.HTMLParser(strict=True).parse(bare)


def test_it_says_what_it_was_given(text):
    body = text[: text.index('<script type="application/json"')]
    plain = re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", body))
    assert "3 of 6 variants pass all checks." in plain
    assert "1 fails a check; 2: its process crashed." in plain
    assert "ended by signal 11 &lt;SIGSEGV&gt; &amp; gone" in plain
    assert "mass 1.400 kg (at most 1.35 kg)" in plain
    assert all(line.split("'")[0] in plain for line in study().cautions)


def test_nothing_can_end_the_data_block(text):
    start = text.index('id="study-data">') + len('id="study-data">')
    data = json.loads(text[start : text.index("</script>", start)])
    assert len(data["variants"]) == 6
    assert data["axes"][2]["values"] == [1.1, 1.2, 1.3, 1.4, None, None]
    assert "</script> &" not in text


def test_areas_are_plotted_in_square_centimetres():
    page = study()
    axis = replace(page.axes[2], unit="mm2", high=13500.0, values=(11000.0,) * 6)
    text = html(replace(page, axes=(axis, *page.axes[:2]), shown=("mass", "set firewall.station")))
    assert '"unit":"cm\\u00b2","values":[110.0' in text
    assert '"limits":[135.0]' in text


def test_the_map_has_every_variant_in_its_cell():
    made = verdict_map(study())
    cells = {
        (row, column): cell["open"]
        for row, line in made["rows"]
        for column, cell in zip(made["columns"], line, strict=True)
    }
    assert cells == {tuple(v.values): v.number for v in variants()}
    kinds = [[cell["kind"] for cell in line] for _, line in made["rows"]]
    assert kinds == [["pass", "pass"], ["pass", "fail"], ["lost", "lost"]]


def test_cells_of_several_variants_are_counted():
    page = study()
    first = replace(page, variants=tuple(replace(v, values=("a", "b")) for v in page.variants))
    cell = verdict_map(first)["rows"][0][1][0]
    assert (cell["text"], cell["open"]) == ("3 of 6 pass", 1)
    assert verdict_map(replace(page, map_keys=None)) is None


def test_a_cell_of_which_nothing_was_built_says_so():
    page = study()
    lost = tuple(replace(v, values=("a", "b")) for v in page.variants if v.kind == "lost")
    cell = verdict_map(replace(page, variants=lost))["rows"][0][1][0]
    assert (cell["kind"], cell["text"]) == ("lost", "not built")


def test_a_best_compromise_stands_with_what_it_was_chosen_by(text):
    section = text[text.index('id="best"') : text.index('id="variants"')]
    assert "mass 1.100 kg; gap 29.00 mm" in section
    assert "no variant has" not in section


def test_a_figure_that_was_asked_for_in_vain_is_named():
    text = html(replace(study(), absent=("wing.<span>",)))
    assert "no variant has such a figure: <code>wing.&lt;span&gt;</code>." in text


def test_lines_of_a_reason_stay_lines():
    first, *rest = study().variants
    lost = replace(first, built=False, checks=(), reason="--vary: a: b\n  written: c")
    assert "--vary: a: b\n  written: c</td>" in html(replace(study(), variants=(lost, *rest)))


def test_headlines():
    rows = variants()
    assert headline(rows[:3]) == "All of 3 variants pass all checks."
    assert headline(rows[3:]) == "None of 3 variants pass all checks."
    assert headline(rows[2:4]) == "1 of 2 variants passes all checks."
    assert headline(rows[:1]) == "The one variant passes all its checks."
    assert others(rows[:3]) == ""
