"""The study's page as text: well-formed (html5lib), and saying what it was given."""

import json
import re
from dataclasses import replace

import html5lib
import pytest
from study_pages import study, variants

from geomgen.pages.study_page import headline, html, others


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
    # The trade's words come before the ids.
    assert "what mass is mass kg, lower is better" in plain
    assert "front face firewall. station 1.8 m:2 m:3" in plain
    assert all(line.split("'")[0] in plain for line in study().cautions)


def test_nothing_can_end_the_data_block(text):
    start = text.index('id="study-data">') + len('id="study-data">')
    data = json.loads(text[start : text.index("</script>", start)])
    assert len(data["variants"]) == 6
    assert data["axes"][2]["values"] == [1.1, 1.2, 1.3, 1.4, None, None]
    assert [axis["key"] for axis in data["axes"]][:3] == [
        *("firewall.station", "propeller.diameter", "mass"),
    ]
    assert "</script> &" not in text


def test_each_variant_has_a_line_of_its_own_to_be_opened_from(text):
    lines, shared = block(text, "study-details").strip().split("\n"), block(text, "study-shared")
    told, known = [json.loads(line) for line in lines], json.loads(shared)
    assert [one["file"] for one in told] == [v.file for v in variants()]
    assert told[4]["reason"] == "ended by signal 11 <SIGSEGV> & gone"
    place, kind, figure, margin, bar = told[3]["checks"][0]
    assert known[place][:3] == ["mass", "what mass is", "at most 1.35 kg"]
    assert (kind, figure, margin, len(bar)) == ("fail", "1.400 kg", "-0.050 kg", 8)
    # What variants share is said once.
    assert len(known) == 2


def test_a_variant_whose_verdict_waits_is_undecided():
    first, *rest = variants()
    open_ = replace(first, exact=False, waits=frozenset({"mass"}))
    assert (first.kind, open_.kind) == ("pass", "waits")
    assert headline([open_]) == "The one variant is undecided."
    assert "1 is undecided" in others([open_, *rest])
    made = html(replace(study(), variants=(open_, *rest)))
    assert '<option value="waits">those undecided</option>' in made
    told = json.loads(block(made, "study-details").strip().split("\n")[0])
    assert [kind for _, kind, *_ in told["checks"]].count("waits") == 1
    assert told["figures"] == "first answers"


def block(text, name):
    start = text.index(f'id="{name}">') + len(f'id="{name}">')
    return text[start : text.index("</script>", start)]


def test_areas_are_plotted_in_square_centimetres():
    page = study()
    axis = replace(page.axes[2], unit="mm2", high=13500.0, values=(11000.0,) * 6)
    text = html(replace(page, axes=(axis, *page.axes[:2]), shown=("mass", "set firewall.station")))
    assert '"unit":"cm\\u00b2","values":[110.0' in text
    assert '"limits":[135.0]' in text


def test_a_best_compromise_stands_with_what_it_was_chosen_by(text):
    section = text[text.index('<section id="best"') : text.index('<section id="map"')]
    row = re.sub("<[^>]+>", " ", section[section.index("<tbody>") :]).split()
    assert row[:7] == ["1", "1.100", "29.00", "1.8", "m", "1.2", "m"]
    assert "no variant has" not in section


def test_a_weighed_figure_that_was_not_measured_is_a_dash():
    page = study()
    first = page.variants[0]
    mass, gap = first.checks
    blind = replace(mass, measured=None, margin=None, verdict="not_measured")
    text = html(replace(page, variants=(replace(first, checks=(blind, gap)), *page.variants[1:])))
    row = text[text.index('<tr data-number="1" class="fail">') :]
    assert re.findall(r'<td class="number">([^<]*)</td>', row)[:2] == ["–", "29.00"]
    assert "kg, lower is better" in text


def test_a_weighed_key_has_no_second_column():
    page = replace(study(), weighed=(("mass", "low"), ("set firewall.station", "low")))
    head = html(page).partition('<section id="best"')[2].partition("</thead>")[0]
    assert re.findall(r"<code>([^<]*)<", head) == ["mass", "firewall.", "propeller."]


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


def test_a_variant_that_passes_with_warnings_is_not_told_as_plain_passing():
    first, *rest = variants()
    mass, gap = first.checks
    warned = replace(first, checks=(replace(mass, verdict="warn"), replace(gap, verdict="warn")))
    assert others((warned, *rest[:3])) == "1 passes with warnings; 1 fails a check."
    row = html(replace(study(), variants=(warned, *rest))).partition('class="pass">')[2]
    assert "PASS, 2 warn</td>" in row.partition("</tr>")[0]
