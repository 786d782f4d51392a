"""The study's page in a real headless Chromium, the network shut off.

Accessibility: axe-core (Deque, MPL 2.0), the rules of WCAG 2.1 A and AA that it knows.
"""

import base64
import io
import time
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from axe_core_python.selenium import Axe
from browser import chromium, complaints, requests, until
from few_cases import few
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from study_pages import study

from geomgen.pages.study_page import html

READY = (
    "return document.body.dataset.study === 'ready'"
    " && document.getElementById('plot').dataset.plot === 'ready'"
)
LONG_ID = (
    "document.querySelector(arguments[0]).append(' inlet.slow_layer.scoop_cheek_right_of_the_pair')"
)


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    file = tmp_path_factory.mktemp("page") / "study.html"
    file.write_text(html(study()), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def browser():
    with chromium(height=700) as made:
        yield made


@pytest.fixture
def window(browser, path):
    browser.get("about:blank")
    requests(browser)
    browser.get(path.resolve().as_uri())
    until(browser, READY)
    return browser


def marks(window, kind):
    """Return the marks of a kind in the plot: tag, number, middle (x, y) [px]."""
    return window.execute_script(
        "return Array.from(document.querySelectorAll(`#plot [data-number].${arguments[0]}`), e => {"
        "const b = e.getBoundingClientRect();"
        "return [e.tagName, Number(e.dataset.number), b.x + b.width / 2, b.y + b.height / 2]; })",
        kind,
    )


def ticks(window):
    """Return where the figures along the axis across stand: text to x [px]."""
    return window.execute_script(
        "const t = {}; document.querySelectorAll('#plot .grid text[text-anchor=middle]').forEach("
        "e => { const b = e.getBoundingClientRect(); t[e.textContent] = b.x + b.width / 2; });"
        "return t"
    )


def test_nothing_is_asked_of_the_network_and_nothing_goes_wrong(window):
    asked = requests(window)
    assert asked
    assert all(address.startswith(("file:", "data:", "blob:", "about:")) for address in asked)
    assert complaints(window) == []


def test_marks_stand_at_their_figures_in_shapes_of_their_own(window):
    passing = marks(window, "pass")
    (fails,) = marks(window, "fail")
    assert [(tag, number) for tag, number, *_ in passing] == [("circle", n) for n in (1, 2, 3)]
    assert fails[:2] == ["path", 4]
    # Masses of 1.1 to 1.4 kg and gaps of 29 to 26 mm: even steps to the right and down.
    x, y = np.array([row[2:] for row in [*passing, fails]]).T
    assert np.diff(x) == pytest.approx(np.diff(x)[0], abs=0.3)
    assert np.diff(y) == pytest.approx(np.diff(y)[0], abs=0.3)
    assert np.diff(x)[0] > 50
    assert np.diff(y)[0] > 30
    assert ticks(window)["1.20"] == pytest.approx(x[1], abs=1.0)
    best = window.execute_script(
        "return Array.from(document.querySelectorAll('#plot .best'), e => e.dataset.best)"
    )
    assert best == ["1"]


def test_any_figures_can_be_chosen(window):
    for box, value in (("axis-x", "set firewall.station"), ("axis-y", "set propeller.diameter")):
        window.find_element(By.CSS_SELECTOR, f"#{box} option[value='{value}']").click()
    assert [(tag, number) for tag, number, *_ in marks(window, "lost")] == [
        ("rect", 5),
        ("rect", 6),
    ]
    titles = [p.text for p in window.find_elements(By.CSS_SELECTOR, "#plot .axis")]
    assert titles == ["diameter propeller.diameter mm", "front face firewall.station mm"]


def test_marks_on_each_other_name_each_other(window):
    """Three built variants and a crashed one stand at the station of another diameter."""
    for box in ("axis-x", "axis-y"):
        window.find_element(By.CSS_SELECTOR, f"#{box} option[value='set firewall.station']").click()
    middle = (
        "document.getElementById('plot').scrollIntoView({behavior: 'instant', block: 'center'})"
    )
    window.execute_script(middle)
    first = window.find_element(By.CSS_SELECTOR, "#plot [data-number='2']")
    ActionChains(window).move_to_element(first).perform()
    told = until(window, "return document.getElementById('hint').innerText")
    assert told.startswith("Variant 1: PASS, best compromise")
    assert told.endswith("here too: 2")


def test_a_limit_is_well_within_the_plot_when_it_is_near_and_left_out_when_far(tmp_path, window):
    lines = "return document.querySelectorAll('#plot .limit').length"
    # Gaps of 26 to 29 mm, at least 25 mm; masses of 1.1 to 1.4 kg, at most 1.35 kg.
    assert window.execute_script(lines) == 2
    page = study()
    far = replace(page, axes=tuple(replace(axis, low=0.0, high=None) for axis in page.axes))
    file = tmp_path / "far.html"
    file.write_text(html(far), encoding="utf-8")
    window.get(file.resolve().as_uri())
    until(window, READY)
    assert window.execute_script(lines) == 0


def test_a_point_opens_its_variant(window):
    window.execute_script(
        "document.getElementById('plot').scrollIntoView({behavior: 'instant', block: 'center'})"
    )
    point = window.find_element(By.CSS_SELECTOR, "#plot [data-number='1']")
    ActionChains(window).move_to_element(point).click().perform()
    head = until(
        window, "return location.hash && document.getElementById('opened-head').textContent"
    )
    assert head.startswith("Variant 1: All 2 checks pass.")
    shown = "return document.getElementById('plot-open').getAttribute('visibility')"
    assert window.execute_script(shown) == "visible"


def test_the_map_has_every_variant_in_its_cell(window):
    """Rows of stations, columns of diameters; the cell of a variant opens it."""
    cells = window.execute_script(
        "return Array.from(document.querySelectorAll('#map-table tbody tr'), r =>"
        "[r.querySelector('th').textContent, ...Array.from(r.querySelectorAll('td'),"
        "c => c.className + ' ' + c.textContent)])"
    )
    assert cells == [
        ["1800", "pass ✓ ◎ 1.1", "pass ✓ 1.2"],
        ["1900", "pass ✓ 1.3", "fail ✕ 1.4"],
        ["2000", "lost □ –", "lost □ –"],
    ]
    window.find_element(
        By.CSS_SELECTOR, "#map-table tr:nth-child(2) td:nth-of-type(2) button"
    ).send_keys(Keys.ENTER)
    assert window.find_element(By.ID, "opened-head").text.startswith("Variant 4:")


def test_a_range_leaves_out_what_lies_outside_of_it_everywhere(window):
    field = window.find_element(By.CSS_SELECTOR, "[data-axis='mass'][placeholder='to']")
    field.send_keys("1.25", Keys.TAB)
    assert window.find_element(By.ID, "kept").text == "2 of 6 variants inside, 2 of them pass"
    assert window.find_element(By.ID, "count").text == "2 of 6 shown"
    faint = (
        "return Array.from(document.querySelectorAll('#plot [data-number].out'),"
        "e => e.dataset.number)"
    )
    assert sorted(window.execute_script(faint)) == ["3", "4"]
    kinds = "return Array.from(document.querySelectorAll('#map-table td[class]'), c => c.className)"
    assert window.execute_script(kinds)[1:] == ["pass", "pass", "out", "out", "out", "out"]
    window.find_element(By.ID, "clear").click()
    assert window.find_element(By.ID, "count").text == "6 of 6 shown"
    # Drawn along the axis of the gap, the last of four: its best end is above.
    window.execute_script(
        "document.getElementById('courses').scrollIntoView({behavior: 'instant', block: 'center'})"
    )
    courses = window.find_element(By.ID, "courses")
    lane = round(3.0 / 8.0 * courses.size["width"])
    hand = ActionChains(window).move_to_element_with_offset(courses, lane, -95)
    hand.click_and_hold().move_by_offset(0, 60).move_by_offset(0, 20).release().perform()
    assert window.find_element(By.ID, "count").text == "1 of 6 shown"
    ActionChains(window).move_to_element_with_offset(courses, lane, 60).click().perform()
    assert window.find_element(By.ID, "count").text == "6 of 6 shown"


def test_an_opened_variant_says_everything_by_keyboard(window):
    button = window.find_element(By.CSS_SELECTOR, "#table [data-open='4']")
    button.send_keys(Keys.ENTER)
    head = window.find_element(By.ID, "opened-head")
    assert head.text == "Variant 4: 1 of 2 checks fail: mass 1.400 kg (at most 1.35 kg)."
    assert window.switch_to.active_element == head
    body = window.find_element(By.ID, "opened-body")
    rows = [
        item.text.replace("\n", " ") for item in body.find_elements(By.CSS_SELECTOR, ".checks li")
    ]
    assert rows[0].startswith(
        "✗ what mass is mass FAIL 1.400 kg; at most 1.35 kg; margin -0.050 kg"
    )
    # What passes is folded away.
    assert rows[1] == ""
    body.find_elements(By.CSS_SELECTOR, "details > summary")[-1].send_keys(Keys.ENTER)
    rows = [
        item.text.replace("\n", " ") for item in body.find_elements(By.CSS_SELECTOR, ".checks li")
    ]
    assert rows[1].startswith("✓ what gap is gap PASS 26.00 mm")
    assert len(body.find_elements(By.CSS_SELECTOR, "svg.bar")) == 2
    link = body.find_element(By.CSS_SELECTOR, "a")
    assert link.get_attribute("href").endswith("variants/0004.toml")
    assert "geomgen build x.sweep/variants/0004.toml" in body.text
    body.find_element(By.CSS_SELECTOR, ".buttons button:last-child").send_keys(Keys.ENTER)
    assert "SIGSEGV" in body.text
    assert head.text == "Variant 5: its process crashed"


def test_warnings_stand_before_all_other_checks(window, tmp_path):
    page = study()
    first, *rest = page.variants
    mass, gap = first.checks
    warned = replace(first, checks=(mass, replace(gap, verdict="warn")))
    file = tmp_path / "warned.html"
    file.write_text(html(replace(page, variants=(warned, *rest))), encoding="utf-8")
    window.get(file.resolve().as_uri() + "#variant-1")
    until(window, READY)
    lists = "return Array.from(document.querySelectorAll('#opened-body h3'), h => h.textContent)"
    assert window.execute_script(lists) == ["Warnings (1)", "All other checks (1)"]


def test_an_address_leads_to_a_variant(window, path):
    window.get("about:blank")
    window.get(path.resolve().as_uri() + "#variant-2")
    until(window, READY)
    assert window.find_element(By.ID, "opened-head").text.startswith("Variant 2: All 2 checks")


def test_the_table_is_sorted_and_filtered(window):
    order = lambda: [  # noqa: E731
        int(row.get_attribute("data-number"))
        for row in window.find_elements(By.CSS_SELECTOR, "#table tbody tr")
        if row.is_displayed()
    ]
    sort = window.find_element(By.CSS_SELECTOR, "[data-sort='key-1']")
    sort.send_keys(Keys.ENTER)
    assert order() == [1, 3, 5, 2, 4, 6]
    sort.send_keys(Keys.ENTER)
    assert order() == [2, 4, 6, 1, 3, 5]
    assert sort.find_element(By.XPATH, "..").get_attribute("aria-sort") == "descending"
    window.find_element(By.CSS_SELECTOR, "#filter option[value='fail']").click()
    assert order() == [4]
    assert window.find_element(By.ID, "count").text == "1 of 6 shown"


@pytest.mark.parametrize("scheme", few(["light", "dark"]))
def test_it_is_accessible(window, scheme):
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    window.execute_script("document.querySelector(\"#table [data-open='4']\").click()")
    found = Axe().run(window)
    told = {v["id"]: [node["html"][:120] for node in v["nodes"]] for v in found["violations"]}
    window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert told == {}
    assert len(found["passes"]) > 20


@pytest.mark.long
def test_the_audit_would_tell(window):
    window.execute_script(
        "document.querySelector('#axis-x').closest('label').replaceWith(document.querySelector('#axis-x'))"
    )
    assert "select-name" in {v["id"] for v in Axe().run(window)["violations"]}


def test_a_phone_needs_no_sideways_scrolling(window):
    size = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True}
    window.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    try:
        window.execute_script("document.querySelector(\"#table [data-open='4']\").click()")
        for head in ("h1", "#opened-head"):
            window.execute_script(LONG_ID, head)
        wide = window.execute_script("return document.documentElement.scrollWidth")
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert wide <= 390


def printed(window):
    made = window.execute_cdp_cmd("Page.printToPDF", {"paperWidth": 8.27, "paperHeight": 11.69})
    sheets = pypdfium2.PdfDocument(io.BytesIO(base64.b64decode(made["data"])))
    return " ".join("".join(s.get_textpage().get_text_range() for s in sheets).split())


@pytest.mark.long
def test_two_thousand_variants_open_in_three_seconds(browser, tmp_path):
    """Own choice of a bound: who waits longer looks elsewhere. A hundred checks a variant."""
    page, many = study(), 2000
    values = np.random.default_rng(1).uniform(1.0, 1.3, (4, many)).round(3).tolist()
    axes = [replace(axis, values=tuple(row)) for axis, row in zip(page.axes, values, strict=True)]
    mass, gap = page.variants[0].checks
    more = tuple(replace(gap, id=f"gap.{k}") for k in range(98))
    rows = [
        replace(
            page.variants[0],
            number=i + 1,
            checks=(replace(mass, measured=values[2][i]), gap, *more),
            best=i < 20,
        )
        for i in range(many)
    ]
    file = tmp_path / "many.html"
    file.write_text(html(replace(page, axes=tuple(axes), variants=tuple(rows))), encoding="utf-8")
    waits = []
    for _ in range(3):
        browser.get("about:blank")
        begun = time.monotonic()
        browser.get(file.resolve().as_uri())
        until(browser, READY)
        waits.append(time.monotonic() - begun)
    assert len(marks(browser, "pass")) == many
    assert min(waits) < 3.0
    # Rows that have not been in sight are on paper, too.
    assert "1999" in printed(browser).partition("All variants")[2]


def test_on_paper_it_says_what_counts(window):
    text = printed(window)
    assert "3 of 6 variants pass all checks" in text
    assert "not an airworthiness approval" in text
    assert "those that fail a check" not in text
    assert "its process crashed" in text.partition("All variants")[2]
