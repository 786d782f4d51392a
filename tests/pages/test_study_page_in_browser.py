"""The study's page in a real headless Chromium, the network shut off.

Accessibility: axe-core (Deque, MPL 2.0), the rules of WCAG 2.1 A and AA that it knows.
"""

import base64
import io
from dataclasses import replace

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
    "const p = document.getElementById('plot');"
    "return p.dataset.plot === 'ready' && p.dataset.settled === 'yes'"
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


def points(window, name):
    """Return the points of a trace as (x, y, number), from the plot's own data."""
    return window.execute_script(
        "const t = document.getElementById('plot').data.find(t => t.name === arguments[0]);"
        "return t.x.map((x, i) => [x, t.y[i], t.customdata[i]])",
        name,
    )


def test_nothing_is_asked_of_the_network_and_nothing_goes_wrong(window):
    asked = requests(window)
    assert asked
    assert all(address.startswith(("file:", "data:", "blob:", "about:")) for address in asked)
    assert complaints(window) == []


def test_points_stand_at_their_figures_in_shapes_of_their_own(window):
    assert points(window, "passes") == [[1.1, 29, 1], [1.2, 28, 2], [1.3, 27, 3]]
    assert points(window, "fails") == [[1.4, 26, 4]]
    assert points(window, "best compromise") == [[1.1, 29, 1]]
    shapes = window.execute_script(
        "return document.getElementById('plot').data.map(t => t.marker && t.marker.symbol)"
    )
    assert len(set(shapes)) == len(shapes)
    drawn = window.find_elements(By.CSS_SELECTOR, "#plot .scatterlayer .point")
    assert len(drawn) == 5


def test_any_figures_can_be_chosen(window):
    for box, value in (("axis-x", "set firewall.station"), ("axis-y", "set propeller.diameter")):
        window.find_element(By.CSS_SELECTOR, f"#{box} option[value='{value}']").click()
    until(window, READY)
    assert [p[2] for p in points(window, "not built")] == [5, 6]
    # The least convex outline round (1800, 1200), (1800, 1300), (1900, 1200): all three corners.
    hull = window.execute_script(
        "const t = document.getElementById('plot').data.find(t => t.name === 'passing');"
        "return t.x.map((x, i) => [x, t.y[i]])"
    )
    assert sorted(map(tuple, hull[:-1])) == [(1800, 1200), (1800, 1300), (1900, 1200)]
    assert "convex outline" in window.find_element(By.ID, "hull-words").text


def test_points_on_each_other_name_each_other(window):
    """Three built variants and a crashed one stand at the station of another diameter."""
    for box in ("axis-x", "axis-y"):
        window.find_element(By.CSS_SELECTOR, f"#{box} option[value='set firewall.station']").click()
    until(window, READY)
    texts = window.execute_script(
        "const t = document.getElementById('plot').data.find(t => t.name === 'passes');"
        "return t.text"
    )
    assert [text.split("<br>")[-1] for text in texts[:2]] == ["here too: 2", "here too: 1"]
    assert texts[2].endswith("here too: 4")


def test_a_limit_is_well_within_the_plot_when_it_is_near_and_left_out_when_far(tmp_path, window):
    low, high = window.execute_script("return document.getElementById('plot').layout.yaxis.range")
    # Gaps of 26 to 29 mm, at least 25 mm: the limit is not on the edge.
    assert low < 25 - 0.02 * (high - low)
    page = study()
    far = replace(page, axes=tuple(replace(axis, low=0.0, high=None) for axis in page.axes))
    file = tmp_path / "far.html"
    file.write_text(html(far), encoding="utf-8")
    window.get(file.resolve().as_uri())
    until(window, READY)
    low, high = window.execute_script("return document.getElementById('plot').layout.yaxis.range")
    assert 25 < low < 26
    assert 29 < high < 30


def test_a_point_opens_its_variant(window):
    window.execute_script(
        "document.getElementById('plot').scrollIntoView({behavior: 'instant', block: 'center'})"
    )
    point = window.find_elements(By.CSS_SELECTOR, "#plot .scatterlayer .trace .point")[1]
    ActionChains(window).move_to_element(point).pause(0.3).click().perform()
    head = until(
        window, "return location.hash && document.getElementById('opened-head').textContent"
    )
    assert head.startswith("Variant 1: All 2 checks pass.")


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
    assert rows[0] == "what mass is mass ✗ FAIL 1.400 kg; at most 1.35 kg; margin -0.050 kg"
    assert rows[1].startswith("what gap is gap ✓ PASS 26.00 mm")
    assert len(body.find_elements(By.CSS_SELECTOR, "svg.bar")) == 2
    link = body.find_element(By.CSS_SELECTOR, "a")
    assert link.get_attribute("href").endswith("variants/0004.toml")
    assert "geomgen build x.sweep/variants/0004.toml" in body.text
    body.find_element(By.CSS_SELECTOR, ".buttons button:last-child").send_keys(Keys.ENTER)
    assert "SIGSEGV" in body.text
    assert head.text == "Variant 5: its process crashed"


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
        wide = window.execute_script("return document.documentElement.scrollWidth")
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert wide <= 390


def test_on_paper_it_says_what_counts(window):
    made = window.execute_cdp_cmd("Page.printToPDF", {"paperWidth": 8.27, "paperHeight": 11.69})
    sheets = pypdfium2.PdfDocument(io.BytesIO(base64.b64decode(made["data"])))
    text = " ".join("".join(s.get_textpage().get_text_range() for s in sheets).split())
    assert "3 of 6 variants pass all checks" in text
    assert "not an airworthiness approval" in text
    assert "those that fail a check" not in text
