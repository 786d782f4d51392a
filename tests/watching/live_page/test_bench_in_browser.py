"""What a hand does on the live page: points in the model, pulls lines, goes back and forth."""

import json
import tomllib

import numpy as np
import pytest
from axe_core_python.selenium import Axe
from browser import complaints, until
from live_pages import opened, opened_page, revision, text
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys
from watched_aircraft import CONFIGS, edit

import geomgen
from geomgen.kernel.lofting.lines import Stations, lay
from geomgen.shapes.lines.control_stations import pod_stations

CROWN = "document.querySelector('[data-handle=\"pod.stations.4.crown\"]')"
STANDS = f"return {CROWN}.ariaValueNow === '1222'"
PLAN = "return document.getElementById('plan').dataset.{}"
NOTE = "return document.getElementById('plan-note').textContent"
MARKS = (
    "return document.getElementById('view').data.filter(t => t.meta.mark).map(t => [t.x, t.y, t.z])"
)


def station(running, number):
    return tomllib.loads(running.file.read_text("utf-8"))["pod"]["stations"][number]


def lines(window, body="pod"):
    """Lay the lines plan on the bench, with the file's own lines in it."""
    window.execute_script("live.pane('lines')")
    until(window, PLAN.format("stamp"))
    window.execute_script(f"document.querySelector('[data-body={body}]').click()")
    until(window, PLAN.format("exact") + " === 'yes'")


def handle(window, key):
    return window.find_element("css selector", f'[data-handle="{key}"]')


def pulled(window, key, right, down, steps=4):
    """Take hold of a point and move it; the hand does not let go yet."""
    hand = ActionChains(window, duration=20).move_to_element(handle(window, key)).click_and_hold()
    for _ in range(steps):
        hand = hand.move_by_offset(right / steps, down / steps)
    hand.perform()


def let_go(window):
    ActionChains(window).release().perform()


def millimetres_a_pixel(window):
    """Return the drawing's scale, by two points of it whose stations are known."""
    box = (
        "const h = document.querySelector('[data-handle=\"' + arguments[0] + '\"]');"
        "const b = h.getBoundingClientRect();"
        "return b.left + b.width / 2"
    )
    first, last = (window.execute_script(box, f"pod.stations.{i}.station") for i in (2, 7))
    return (2500.0 - 250.0) / (last - first)


def test_a_line_is_pulled_and_the_file_follows_when_the_hand_lets_go(flat):
    window, running = flat
    before = running.file.read_bytes()
    lines(window)
    scale, key = millimetres_a_pixel(window), "pod.stations.4.crown"
    pulled(window, key, 0, -8)
    until(window, PLAN.format("exact") + " === 'yes'")
    shown = until(window, NOTE)
    figure = float(shown.split()[1])
    # Snapped to whole millimetres, as far as the pointer went.
    assert figure == pytest.approx(1222.0 + 8 * scale, abs=0.6)
    assert figure == round(figure)
    assert shown == f"crown {figure:g} mm (+{figure - 1222.0:g} mm)"
    assert running.file.read_bytes() == before
    let_go(window)
    revision(flat, 2)
    assert station(running, 4)["crown"] == f"{figure:g} mm"
    until(window, f"return document.getElementById('field-{key}').value === '{figure:g} mm'")
    window.find_element("id", "undo").click()
    revision(flat, 3)
    assert running.file.read_bytes() == before
    until(window, f"return document.getElementById('field-{key}').value === '1222 mm'")
    # By keys: ten steps and one back, written together when they rest.
    handle(window, key).send_keys(Keys.PAGE_UP, Keys.ARROW_DOWN)
    revision(flat, 4)
    assert station(running, 4)["crown"] == "1231 mm"
    window.find_element("id", "undo").click()
    revision(flat, 5)
    window.find_element("id", "redo").click()
    revision(flat, 6)
    assert station(running, 4)["crown"] == "1231 mm"
    assert complaints(window)[1:] == []


def test_what_cannot_be_is_said_where_the_hand_is(flat):
    window, running = flat
    before = running.file.read_bytes()
    lines(window)
    pulled(window, "pod.stations.4.crown", 0, 160)
    until(window, NOTE + ".includes('crown')")
    until(window, "return document.getElementById('plan-note').className === 'refusal'")
    let_go(window)
    until(window, NOTE + ".includes('was not written')")
    assert "crown" in window.execute_script(NOTE).split("\n", 1)[1]
    assert running.file.read_bytes() == before
    # The last good lines stand, and the note is at the point.
    assert window.execute_script(PLAN.format("exact")) == "yes"
    until(window, STANDS)


def test_a_part_that_is_pointed_at_shows_its_numbers_and_a_number_its_place(shown):
    window, _ = shown
    window.execute_script("live.showTables(['spinner'])")
    view = window.find_element("id", "view")
    ActionChains(window).move_to_element_with_offset(view, -70, 80).pause(0.3).click().perform()
    until(window, "return document.getElementById('picked').textContent", 20)
    assert text(window, "picked").startswith("pod")
    assert window.find_element("css selector", "#fields [data-table='pod.stations']")
    lit = "return document.getElementById('view').data.find(t => t.meta.part === 'pod').color"
    plain = window.execute_script(lit)
    opened(window, "pod.stations.4.crown")
    until(window, MARKS + ".length")
    (((x0, x1), _, (z0, z1)),) = window.execute_script(MARKS)
    assert (x0, x1, z0, z1) == (1200, 1200, 1222, 1222)
    opened(window, "firewall.station")
    until(window, MARKS + "[0][0].length === 5")
    assert set(window.execute_script(MARKS)[0][0]) == {1800}
    until(window, lit + f" !== '{plain}'")


@pytest.mark.long
def test_what_cannot_be_built_is_said_where_the_hand_was(flat):
    window, running = flat
    edit(running.file, 'title = "Saltmarsh shore-bird counter"', 'title = "part"')
    until(window, "return document.body.dataset.phase === 'refused'")
    opened(window, "pod.wall").send_keys(Keys.CONTROL, "a", "5", Keys.ENTER)
    wrong = "return document.getElementById('field-pod.wall-wrong').textContent"
    until(window, wrong + ".includes('the walls meet')")
    assert "The last good state stands" in window.execute_script(wrong)
    assert text(window, "verdict") == "All 2 checks pass."
    edit(running.file, 'title = "part"', 'title = "whole"')
    until(window, wrong + " === ''")


@pytest.mark.long
def test_fullness_station_and_breadth_are_points_as_well(flat):
    window, running = flat
    lines(window)
    ActionChains(window).move_to_element(handle(window, "pod.stations.5.keel")).click().perform()
    until(
        window, "return document.querySelector('[data-handle=\"pod.stations.5.fullness_upper\"]')"
    )
    handle(window, "pod.stations.5.fullness_upper").send_keys(*[Keys.ARROW_UP] * 3)
    revision(flat, 2)
    assert station(running, 5)["fullness_upper"] == 0.47
    pulled(window, "pod.stations.5.station", 20, 0)
    let_go(window)
    revision(flat, 3)
    moved = float(station(running, 5)["station"].split()[0])
    assert moved == pytest.approx(1600.0 + 20 * millimetres_a_pixel(window), rel=0.02)
    pulled(window, "pod.stations.5.breadth", 0, 6)
    let_go(window)
    revision(flat, 4)
    assert float(station(running, 5)["breadth"].split()[0]) > 598.0
    # The point of a round nose has three figures in one: only its station can be pulled.
    assert not window.find_elements("css selector", '[data-handle="pod.stations.0.crown"]')


@pytest.mark.long
def test_a_boom_is_pulled_too_and_enter_goes_to_the_field(flat):
    window, running = flat
    lines(window, "booms")
    handle(window, "booms.stations.2.waterline").send_keys(Keys.ARROW_UP)
    revision(flat, 2)
    booms = tomllib.loads(running.file.read_text("utf-8"))["booms"]
    assert booms["stations"][2]["waterline"] == "1299 mm"
    handle(window, "booms.stations.2.height").send_keys(Keys.ENTER)
    focus = "return document.activeElement.id"
    until(window, focus + " === 'field-booms.stations.2.height'")


@pytest.mark.long
def test_the_planform_of_the_wing_is_pulled(flat):
    window, running = flat
    lines(window, "wing")
    box = (
        "const b = document.querySelector('[data-handle=\"' + arguments[0] + '\"]')"
        ".getBoundingClientRect(); return b.left + b.width / 2"
    )
    inner, outer = (window.execute_script(box, f"wing.sections.{i}.buttock_line") for i in (1, 2))
    scale = (4500.0 - 1300.0) / (outer - inner)

    def tip(key):
        read = tomllib.loads(running.file.read_text("utf-8"))["wing"]["sections"][2]
        return float(read[key].split()[0])

    pulled(window, "wing.sections.2.chord", 0, 12)
    until(window, PLAN.format("exact") + " === 'yes'")
    let_go(window)
    revision(flat, 2)
    # The quarter chord stays: three quarters of the chord lie behind it; level at 0 deg there.
    assert tip("chord") == pytest.approx(900.0 + 12 * scale / 0.75, abs=1.0)
    pulled(window, "wing.sections.2.sweep", 0, 16)
    let_go(window)
    revision(flat, 3)
    assert tip("sweep") == pytest.approx(np.degrees(np.arctan2(16 * scale, 3200.0)), abs=0.06)
    handle(window, "wing.sections.2.buttock_line").send_keys(Keys.PAGE_DOWN)
    revision(flat, 4)
    assert tip("buttock_line") == 4490.0
    window.find_element("css selector", "[data-body=pod]").click()
    until(window, f"return {CROWN}")


@pytest.mark.long
def test_escape_puts_the_point_back(flat):
    window, running = flat
    before = running.file.read_bytes()
    lines(window)
    pulled(window, "pod.stations.4.crown", 0, -20)
    ActionChains(window).send_keys(Keys.ESCAPE).perform()
    let_go(window)
    until(window, STANDS)
    assert running.file.read_bytes() == before


@pytest.mark.long
@pytest.mark.parametrize("ends", [("round", "flat"), ("flat", "flat"), ("round", "round")])
def test_the_page_s_own_course_is_the_loft_s_plain_spline(flat, ends):
    """Where the loft holds nothing back the two are one curve."""
    window, _ = flat
    angle = np.linspace(0.0, np.pi if ends[1] == "round" else 0.4 * np.pi, 9)
    x = 600.0 * (1 - np.cos(angle)) if ends[0] == "round" else np.linspace(0.0, 3000.0, 9)
    y = 300.0 * np.sin(angle) if ends[0] == "round" else 300.0 + x / 20 + (x / 300) ** 2
    one = np.ones_like(x)
    made = Stations(x, y, -y, y, 0 * one, one / 2**0.5, one / 2**0.5, *ends)
    laid = lay(made, "body")
    assert len(laid.curves["crown"].t) == len(x) + 6
    rows = [
        {"x": a, "crown": b, "keel": c, "half_breadth": d, "breadth_height": 0.0}
        | {"fullness_upper": 0.41421, "fullness_lower": 0.41421}
        for a, b, c, d in zip(x, y, -y, y, strict=True)
    ]
    script = (
        "return JSON.stringify(live.course(JSON.parse(arguments[0]), JSON.parse(arguments[1])))"
    )
    own = json.loads(window.execute_script(script, json.dumps(rows), json.dumps(ends)))
    at = np.array([laid.at_station(a) for a in own["x"][1:-1]])
    for line in ("crown", "keel", "half_breadth", "breadth_height"):
        assert own[line][1:-1] == pytest.approx(laid.curves[line](at), abs=1e-4)


@pytest.mark.long
def test_the_page_s_own_sections_are_the_loft_s(flat):
    window, _ = flat
    lines(window)
    own = json.loads(
        window.execute_script(
            "const d = live.plan.now();"
            "return JSON.stringify(live.course(d.stations, d.ends).sections)"
        )
    )
    laid = lay(pod_stations(geomgen.load(CONFIGS / "saltmarsh.toml")), "pod")
    for i, row in enumerate(geomgen.load(CONFIGS / "saltmarsh.toml").pod.stations):
        if own[i]:
            assert np.array(own[i]) == pytest.approx(laid.section(row.station, 13), abs=0.02)


@pytest.mark.long
def test_a_check_turns_the_camera_square_to_its_two_points(shown):
    window, _ = shown
    window.execute_script("live.toCheck('prop.radial_clearance')")
    until(window, "return document.getElementById('view').dataset.settled === 'yes'")
    camera, ends = window.execute_script(
        "const v = document.getElementById('view'), c = v._fullLayout.scene.camera;"
        "const s = v.data.find(t => t.meta.check === 'prop.radial_clearance');"
        "return [[c.eye.x - c.center.x, c.eye.y - c.center.y, c.eye.z - c.center.z],"
        "[s.x, s.y, s.z]]"
    )
    way = np.diff(np.array(ends), axis=1)[:, 0]
    share = np.dot(camera, way) / np.linalg.norm(camera) / np.linalg.norm(way)
    assert abs(share) < 0.05
    assert text(window, "told").startswith("clearance of the tips")


@pytest.mark.long
def test_two_windows_show_one_file(flat):
    window, running = flat
    first = window.current_window_handle
    window.switch_to.new_window("window")
    try:
        opened_page(window, running)
        field = opened(window, "pod.wall")
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys("5", Keys.ENTER)
        revision(flat, 2)
        assert "4.00 mm" in window.execute_script(
            "return document.querySelector('#changes-rows td[title]').title"
        )
    finally:
        window.close()
        window.switch_to.window(first)
    revision(flat, 2)
    until(window, "return !document.getElementById('undo').disabled")
    opened(window, "pod.wall")
    until(window, "return document.getElementById('field-pod.wall').value === '5 mm'")
    window.find_element("id", "undo").click()
    revision(flat, 3)


@pytest.mark.long
def test_a_state_with_a_name_is_kept_and_come_back_to(flat):
    window, running = flat
    before = running.file.read_bytes()
    window.find_element("css selector", "#states summary").click()
    window.find_element("id", "state-name").send_keys("as drawn", Keys.ENTER)
    until(window, "return document.querySelector('#states-list button')")
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(flat, 2)
    window.find_element("css selector", "#states-list button").click()
    revision(flat, 3)
    assert running.file.read_bytes() == before
    window.find_element("id", "state-name").send_keys("as drawn", Keys.ENTER)
    until(window, "return document.getElementById('states-words').textContent.includes('already')")
    window.find_element("id", "undo").click()
    revision(flat, 4)
    assert b'wall = "3 mm"' in running.file.read_bytes()


SIZES = [(1280, 720), (1440, 900), (1920, 1080), (390, 844)]


@pytest.mark.long
@pytest.mark.parametrize("size", SIZES, ids="{0[0]}x{0[1]}".format)
def test_all_of_the_bench_is_seen_without_scrolling(flat, size):
    window, running = flat
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(flat, 2)
    metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": size[0] < 500}
    window.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    try:
        whole = "const d = document.documentElement; return [d.scrollWidth, d.scrollHeight]"
        assert tuple(window.execute_script(whole)) == size
        panes = ["checks", "changes", "numbers"]
        sheets = ["model", "lines", "drawings", "cautions"]
        for name in [*sheets, *panes] if size[0] < 500 else sheets:
            window.execute_script("live.pane(arguments[0])", name)
            boxes = window.execute_script(
                "return live.all('[data-panel]:not(.away):not([hidden])')"
                ".map(e => { const b = e.getBoundingClientRect();"
                "return [e.dataset.panel, b.left, b.top, b.right, b.bottom]; })"
            )
            wanted = {name} if size[0] < 500 else {name, *panes}
            assert {box[0] for box in boxes} == wanted
            for _, left, top, right, bottom in boxes:
                assert -0.5 <= left < right <= size[0] + 0.5
                assert -0.5 <= top < bottom <= size[1] + 0.5
                assert bottom - top > 180
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


@pytest.mark.long
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [(1280, 900), (390, 844)], ids=["desktop", "phone"])
def test_the_lines_and_states_are_accessible(flat, scheme, size):
    window, _ = flat
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": size[0] < 500}
    window.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
    window.set_script_timeout(180)
    try:
        lines(window)
        window.execute_script("document.getElementById('states').open = true")
        found = Axe().run(window)
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
        window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    told = {v["id"]: [node["html"][:160] for node in v["nodes"]] for v in found["violations"]}
    assert told == {}
