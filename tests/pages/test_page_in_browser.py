"""The page in a real headless Chromium, the network shut off.

Accessibility: axe-core (Deque, MPL 2.0), the rules of WCAG 2.1 A and AA that it knows.
"""

import base64
import io

import numpy as np
import pypdfium2
import pytest
from axe_core_python.selenium import Axe
from browser import chromium, complaints, opened, pixels, requests, settled, until
from few_cases import few
from report_pages import page, pressed_scene
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from geomgen.documents.pressure_bands import band, colours
from geomgen.pages.html_page import html


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    file = tmp_path_factory.mktemp("page") / "report.html"
    file.write_text(html(page()), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def window(path):
    """Give the page as it opens; for tests that leave it as it is."""
    with chromium(height=500) as made:
        assert opened(made, path) == "ready"
        settled(made)
        yield made


@pytest.fixture
def fresh(window, path):
    """Give the page opened anew; for tests that press something."""
    assert opened(window, path) == "ready"
    settled(window)
    return window


def click(window, selector):
    window.execute_script("document.querySelector(arguments[0]).click()", selector)
    settled(window)


def ink(window):
    """Return how many pixels of the view, without its border, differ from its corner."""
    seen = pixels(window)[3:-3, 3:-3]
    return int((np.abs(seen - seen[0, 0]).max(axis=2) > 12).sum())


def test_nothing_is_asked_of_the_network_and_nothing_goes_wrong(window):
    asked = requests(window)
    assert asked
    assert all(address.startswith(("file:", "data:", "blob:")) for address in asked)
    assert complaints(window) == []


def test_a_request_would_be_seen(fresh):
    requests(fresh)
    fresh.execute_script("const i = new Image(); i.src = 'http://localhost:9/x.png'")
    # The page's own policy blocks it, and the console says so.
    until(fresh, "return true")
    assert any("Content Security Policy" in line for line in complaints(fresh))


def test_parts_are_hidden_and_shown(fresh):
    click(fresh, "#show-figures")
    click(fresh, "#show-spans")
    click(fresh, "#show-openings")
    everything = ink(fresh)
    click(fresh, "[data-part='prop_disc']")
    fewer = ink(fresh)
    click(fresh, "[data-part='pod']")
    nothing = ink(fresh)
    click(fresh, "[data-parts='all']")
    assert nothing < 50 < fewer < everything
    assert abs(ink(fresh) - everything) < 0.02 * everything


def test_a_measured_line_is_where_it_was_measured(fresh):
    """The two ends on the screen, against the camera's own matrices and the points as measured."""
    click(fresh, "[data-parts='none']")
    click(fresh, "#show-openings")
    bare = ends_on_screen(fresh)
    seen = pixels(fresh)
    red, green, blue = seen[..., 0], seen[..., 1], seen[..., 2]
    rows, columns = np.nonzero((red > 150) & (green < 90) & (blue < 140))
    (x0, y0), (x1, y1) = bare
    assert len(rows) > 100
    assert columns.min() == pytest.approx(min(x0, x1), abs=8)
    assert columns.max() == pytest.approx(max(x0, x1), abs=8)
    assert rows.min() == pytest.approx(min(y0, y1), abs=8)
    assert rows.max() == pytest.approx(max(y0, y1), abs=8)


def ends_on_screen(window):
    """Return where the camera puts the two ends of the demo's distance, in pixels of the view."""
    camera = window.execute_script(
        "const s = document.getElementById('view')._fullLayout.scene._scene;"
        "const c = s.glplot.cameraParams, e = s.dataScale;"
        "return {m: Array.from(c.model), v: Array.from(c.view), p: Array.from(c.projection),"
        " scale: Array.from(e), size: [document.getElementById('view').clientWidth,"
        " document.getElementById('view').clientHeight]}"
    )
    matrix = [np.array(camera[name]).reshape(4, 4).T for name in "mvp"]
    found = []
    for end in page().scene.spans[0].ends:
        here = np.append(np.array(end) * camera["scale"], 1.0)
        x, y, _, w = matrix[2] @ matrix[1] @ matrix[0] @ here
        wide, high = camera["size"]
        found.append(((x / w + 1) / 2 * wide, (1 - y / w) / 2 * high))
    return found


def test_a_check_leads_to_its_place(fresh):
    click(fresh, "[data-show='exit.area']")
    told = fresh.find_element(By.ID, "told").text
    assert told == "open area: 4.0 cm². FAIL, 300.0 to 500.0 cm²"
    notes = fresh.execute_script(
        "return document.getElementById('view').layout.scene.annotations.map(a => [a.x, a.y, a.z])"
    )
    assert notes == [[300.0, 200.0, 0.0]]
    assert fresh.execute_script("return document.getElementById('see-through').checked")


def test_figures_stand_apart(fresh):
    boxes = fresh.execute_script(
        "return Array.from(document.querySelectorAll('#view rect.bg'))"
        ".map(g => g.getBoundingClientRect()).filter(r => r.width > 20)"
        ".map(r => [r.left, r.top, r.right, r.bottom])"
    )
    texts = fresh.execute_script(
        "return Array.from(document.querySelectorAll('#view .annotation-text'))"
        ".map(t => t.textContent)"
    )
    (a, b), view = boxes, rectangle(fresh)
    assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
    for box in (a, b):
        assert view[0] <= box[0] <= box[2] <= view[2]
    click(fresh, "#show-figures")
    gone = "return document.querySelectorAll('#view .annotation-text').length"
    assert fresh.execute_script(gone) == 0
    assert sorted(texts) == ["exit.area  4.0 cm²", "prop.radial_clearance  500.00 mm"]


def rectangle(window):
    return window.execute_script(
        "const r = document.getElementById('view').getBoundingClientRect();"
        "return [r.left, r.top, r.right, r.bottom]"
    )


def test_the_keyboard_is_enough(fresh):
    fresh.find_element(By.TAG_NAME, "body").send_keys(Keys.TAB)
    first = fresh.switch_to.active_element
    assert first.text == "Skip to the checks"
    box = fresh.find_element(By.CSS_SELECTOR, "[data-part='pod']")
    box.send_keys(Keys.SPACE)
    settled(fresh)
    assert not box.is_selected()
    turn = fresh.find_element(By.CSS_SELECTOR, "[data-turn='15,0']")
    before = eye(fresh)
    turn.send_keys(Keys.ENTER)
    settled(fresh)
    after = eye(fresh)
    turned = np.degrees(np.arctan2(after[1], after[0]) - np.arctan2(before[1], before[0]))
    assert (turned + 180) % 360 - 180 == pytest.approx(15.0, abs=0.1)


def eye(window):
    return window.execute_script(
        "const c = document.getElementById('view').layout.scene.camera;"
        "return [c.eye.x - c.center.x, c.eye.y - c.center.y, c.eye.z - c.center.z]"
    )


@pytest.mark.parametrize("scheme", few(["light", "dark"]))
def test_it_is_accessible(window, scheme):
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    window.execute_script("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    found = Axe().run(window)
    told = {v["id"]: [node["html"][:120] for node in v["nodes"]] for v in found["violations"]}
    assert told == {}
    assert len(found["passes"]) > 20


def test_the_audit_would_tell(fresh):
    fresh.execute_script("document.querySelector('img').removeAttribute('alt')")
    assert "image-alt" in {v["id"] for v in Axe().run(fresh)["violations"]}


def test_pass_and_fail_differ_without_colour(window):
    words = [e.text for e in window.find_elements(By.CSS_SELECTOR, "ol.checks .verdict")]
    assert words == ["✗ FAIL", "? not measured", "! warn", "✓ PASS", "i for information"]


def test_a_phone_needs_no_sideways_scrolling(window):
    size = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True}
    window.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    try:
        # A verdict may name a check whose id is longer than the screen is wide.
        head = window.execute_script(
            "const h = document.querySelector('h1'), was = h.innerHTML;"
            "h.append(' inlet.slow_layer.scoop_cheek_right_of_the_pair'); return was"
        )
        wide = window.execute_script("return document.documentElement.scrollWidth")
        window.execute_script("document.querySelector('h1').innerHTML = arguments[0]", head)
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert wide <= 390


def test_on_paper_it_says_what_counts_and_shows_no_buttons(window):
    made = window.execute_cdp_cmd("Page.printToPDF", {"paperWidth": 8.27, "paperHeight": 11.69})
    sheets = pypdfium2.PdfDocument(io.BytesIO(base64.b64decode(made["data"])))
    text = "".join(sheet.get_textpage().get_text_range() for sheet in sheets)
    assert "1 of 4 checks fail" in text
    assert "Caution three." in text
    assert "front quarter" not in text
    assert "Show in the model" not in text


def test_without_3d_it_says_so_and_the_pictures_stay(path):
    with chromium(more=("--disable-3d-apis",)) as blind:
        assert opened(blind, path) == "none"
        assert "can't show the model in 3D" in blind.find_element(By.ID, "view").text
        assert blind.find_element(By.CSS_SELECTOR, ".pictures img").is_displayed()


def test_the_view_shows_the_pressures_of_a_state_in_the_legends_colours(window, tmp_path):
    """The pod's triangles are gone for its panels, in the colours of their own values."""
    file = tmp_path / "pressed.html"
    file.write_text(html(page(scene=pressed_scene())), encoding="utf-8")
    assert opened(window, file) == "ready"
    settled(window)
    window.execute_script("document.querySelector('#show-openings').click()")
    click(window, "[data-look='front']")

    def has(value):
        off = np.abs(pixels(window)[3:-3, 3:-3] - np.array(colours()[band(value)])).max(axis=2)
        return int((off <= 3).sum())

    assert has(0.85) < 50
    click(window, "[data-state='climb']")
    assert "climb, 23.2 m/s" in window.find_element(By.ID, "pressure-words").text
    assert has(0.85) > 2000
    click(window, "[data-state='glide']")
    assert has(-0.55) > 2000
    click(window, "[data-part='pod']")
    assert has(-0.55) < 50
    click(window, "[data-state='']")
    assert not window.find_element(By.ID, "pressure-scale").is_displayed()
    assert complaints(window) == []


def test_a_page_without_pressures_has_no_switch(window, path):
    assert "data-state" not in path.read_text(encoding="utf-8").partition("<script")[0]
