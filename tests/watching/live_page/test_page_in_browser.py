"""The live page in a real headless Chromium, over a watch with a builder of milliseconds.

Accessibility: axe-core (Deque, MPL 2.0), the rules of WCAG 2.1 A and AA that it knows.
"""

import os
import signal
import time
import tomllib
from dataclasses import replace

import numpy as np
import pytest
from axe_core_python.selenium import Axe
from browser import complaints, pixels, requests, until
from live_pages import Running, given, opened, opened_page, revision, text
from selenium.webdriver.common.keys import Keys
from watched_aircraft import aircraft, edit

from geomgen.documents.pressure_bands import band, colours
from geomgen.pages.mass_diagram import Envelope, MassPoint, drawn
from geomgen.verdicts.check import Check, Limits
from geomgen.watching.live_page.balance_block import balance_block

SAID = "return document.getElementById('done-words').textContent"


@pytest.fixture
def alone(browser, tmp_path):
    """Give a watch of its own to a test that ends it."""
    running = Running(aircraft(tmp_path))
    yield opened_page(browser, running)
    running.end()


def test_the_state_is_shown_and_nothing_goes_wrong(shown):
    window, running = shown
    assert text(window, "verdict") == "All 2 checks pass."
    assert text(window, "status-words") == f"Revision {running.first}, up to date."
    assert "Local codes and licensed practice come first" in text(window, "cautions")
    # A name with markup in it stays a name.
    assert "mouth <b>area</b>" in text(window, "groups")
    until(window, "return document.querySelector('#sheets svg path[data-name=pod]')")
    assert complaints(window) == []
    asked = requests(window)
    assert asked
    home = f"http://127.0.0.1:{running.server.port}/"
    assert all(address.startswith((home, "data:", "blob:")) for address in asked)


def test_a_save_is_shown_and_camera_parts_and_open_rows_stay(shown):
    window, running = shown
    window.execute_script(
        "document.querySelector(\"[data-turn='15,0']\").click();"
        "document.querySelector(\"[data-part='pod']\").click();"
        "document.querySelector('#check-inlet\\\\.area, #checks details').open = true;"
    )
    until(window, "return document.getElementById('view').dataset.settled === 'yes'")
    eye = (
        "const e = document.getElementById('view')._fullLayout.scene.camera.eye;"
        "return [e.x, e.y, e.z]"
    )
    until(window, "return document.getElementById('view')._fullLayout.scene.camera.eye.x !== -0.72")
    time.sleep(0.3)
    before = window.execute_script(eye)
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(shown, 2)
    assert "1 of 2 checks fail" in text(window, "verdict")
    assert window.execute_script("return document.getElementById('verdict').className") == "fail"
    row = text(window, "changes-rows")
    assert "3.00 mmmargin -1.00 mm-1.00 mmPASS → FAIL-1.00 mmPASS → FAIL" in row
    assert window.execute_script(eye) == pytest.approx(before, abs=1e-9)
    assert not window.execute_script("return document.querySelector(\"[data-part='pod']\").checked")
    hidden = (
        "return document.getElementById('view').data.filter(t => t.meta.part === 'pod')[0].visible"
    )
    assert window.execute_script(hidden) is False


def test_a_field_is_found_changed_refused_and_undone(flat):
    window, running = flat
    before = running.file.read_bytes()
    window.execute_script(
        "const f = document.getElementById('find'); f.value = 'pod wall';"
        "f.dispatchEvent(new Event('input'))"
    )
    seen = window.execute_script(
        "return Array.from(document.querySelectorAll('.field')).filter(f => f.offsetParent)"
        ".map(f => f.dataset.key)"
    )
    assert "pod.wall" in seen
    assert len(seen) < 10
    given(window, "pod.wall", "4000")
    until(window, "return document.getElementById('field-pod.wall').ariaInvalid === 'true'")
    assert "allowed: from 0.3 mm to 60 mm" in text(window, "field-pod.wall-wrong")
    assert running.file.read_bytes() == before
    given(window, "pod.wall", "5.5")
    revision(flat, 2)
    assert tomllib.loads(running.file.read_text("utf-8"))["pod"]["wall"] == "5.5 mm"
    assert text(window, "field-pod.wall-wrong") == ""
    until(window, "return !document.getElementById('undo').disabled")
    window.execute_script("document.getElementById('undo').click()")
    revision(flat, 3)
    assert running.file.read_bytes() == before
    until(window, "return document.getElementById('field-pod.wall').value === '4 mm'")


def typed(window, key, value):
    """Write over a field's text with real keys; nothing is sent yet."""
    field = opened(window, key)
    field.click()
    field.send_keys(Keys.CONTROL, "a")
    field.send_keys(value)
    return field


def wall(running):
    return tomllib.loads(running.file.read_text("utf-8"))["pod"]["wall"]


def test_what_is_typed_is_shown_as_it_will_be_written_before_it_is(flat):
    window, running = flat
    before = running.file.read_bytes()
    note = "return document.getElementById('field-{}-note').textContent"
    # 1/4 in = 6.35 mm.
    field = typed(window, "pod.wall", "1/4 in")
    seen = until(window, note.format("pod.wall"))
    assert seen == "Will be written: 1/4 in (6.35 mm / 0.25 in)"
    assert running.file.read_bytes() == before
    field.send_keys(Keys.ENTER)
    until(window, note.format("pod.wall") + ".startsWith('Written: 1/4 in')")
    assert wall(running) == "1/4 in"
    # A number alone gets the unit that stands there now: 0.2 in = 5.08 mm.
    field = typed(window, "pod.wall", "0.2")
    words = "Will be written: 0.2 in (5.08 mm / 0.2 in)"
    until(window, note.format("pod.wall") + f" === '{words}'")
    field.send_keys(Keys.ESCAPE)
    assert field.get_property("value") == "1/4 in"
    assert wall(running) == "1/4 in"


@pytest.mark.parametrize(
    ("key", "given_text", "words"),
    [
        ("pod.wall", "1,5", 'write "1.5 mm", with a decimal point'),
        pytest.param(
            *("flight.climb_speed", "5 in", "'in' is a unit of a length, not a speed"),
            marks=pytest.mark.long,
        ),
        pytest.param(
            *("pod.wall", "5 kt", "'kt' is a unit of a speed, not a length"),
            marks=pytest.mark.long,
        ),
    ],
)
def test_a_number_is_never_taken_out_of_what_was_typed(flat, key, given_text, words):
    window, running = flat
    before = running.file.read_bytes()
    typed(window, key, given_text).send_keys(Keys.ENTER)
    until(window, f"return document.getElementById('field-{key}').ariaInvalid === 'true'")
    assert words in window.find_element("id", f"field-{key}-wrong").text
    assert window.find_element("id", f"field-{key}").get_property("value") == given_text
    assert running.file.read_bytes() == before
    # Still there after a state from elsewhere has come.
    edit(running.file, '"180 mm"', '"190 mm"')
    revision(flat, 2)
    assert words in text(window, f"field-{key}-wrong")


def test_a_place_that_hangs_on_a_part_is_a_value_as_well(flat):
    window, running = flat
    key = "engine.fan_face.station"
    typed(window, key, "firewall + 395 mm").send_keys(Keys.ENTER)
    note = f"return document.getElementById('field-{key}-note').textContent"
    until(window, note + ".startsWith('Written: firewall + 395 mm (2195 mm')")
    revision(flat, 2)
    held = tomllib.loads(running.file.read_text("utf-8"))["engine"]["fan_face"]["station"]
    assert held == "firewall + 395 mm"
    assert window.find_element("id", f"field-{key}").get_property("value") == held
    # The fields come with a request of their own, after the state that the revision is of.
    slider = f"return document.querySelector(\"[data-of='{key}'] input[type=range]"
    until(window, slider + '[hidden]")')
    # Elsewhere focus would be lost: the element is the same, with the way back to a length.
    typed(window, key, "2200 mm").send_keys(Keys.ENTER)
    revision(flat, 3)
    until(window, slider + ':not([hidden])")')


def test_thirty_key_steps_are_one_step_back(flat):
    window, running = flat
    before, asked = running.file.read_bytes(), counted(running)
    opened(window, "pod.wall")
    slider = window.find_element("css selector", "[data-of='pod.wall'] input[type=range]")
    for _ in range(30):
        slider.send_keys(Keys.ARROW_RIGHT)
    reached = window.find_element("id", "field-pod.wall").get_property("value")
    until(window, "return document.getElementById('undo-words').textContent")
    until(window, "return !document.querySelector('.field.sent')")
    end = time.monotonic() + 10
    while wall(running) != reached and time.monotonic() < end:
        time.sleep(0.05)
    assert wall(running) == reached != "4 mm"
    # Collected, and in the same sitting: more steps with the keys in the field itself.
    field = window.find_element("id", "field-pod.wall")
    field.send_keys(Keys.ARROW_UP, Keys.ARROW_UP)
    until(
        window, f"return document.getElementById('undo-words').textContent.indexOf('{reached}') < 0"
    )
    assert len(asked) < 15
    window.find_element("id", "undo").click()
    until(window, "return document.getElementById('undo').disabled")
    assert running.file.read_bytes() == before


def counted(running):
    """Count the changes that reach the editor, and hold each for a while."""
    editor, asked, most = running.watch.editor, [], []
    change = editor.change

    def slow(key, given, sitting=""):
        most.append(1)
        assert len(most) == 1
        time.sleep(0.4)
        asked.append(given)
        most.pop()
        return change(key, given, sitting)

    editor.change = slow
    return asked


@pytest.mark.long
def test_a_quick_change_back_is_not_dropped_and_one_request_is_in_flight(flat):
    window, running = flat
    before, asked = running.file.read_bytes(), counted(running)
    for value in ("5 mm", "6 mm", "7 mm", "4 mm"):
        given(window, "pod.wall", value)
        time.sleep(0.1)
    end = time.monotonic() + 15
    while asked[-1:] != ["4 mm"] and time.monotonic() < end:
        time.sleep(0.05)
    until(window, "return !document.querySelector('.field.sent')")
    assert asked[-1] == "4 mm"
    assert len(asked) < 4
    assert running.file.read_bytes() == before
    assert window.find_element("id", "field-pod.wall").get_property("value") == "4 mm"


@pytest.mark.long
def test_undo_leaves_what_an_editor_saved_and_says_so(flat):
    window, running = flat
    given(window, "pod.wall", "5 mm")
    revision(flat, 2)
    edit(running.file, '"180 mm"', '"190 mm"')
    revision(flat, 3)
    window.find_element("id", "undo").click()
    until(window, SAID + ".includes('only this value was put back')")
    held = tomllib.loads(running.file.read_text("utf-8"))
    assert (held["pod"]["wall"], held["spinner"]["length"]) == ("4 mm", "190 mm")
    given(window, "pod.wall", "5 mm")
    until(window, "return !document.getElementById('undo').disabled")
    edit(running.file, 'wall = "5 mm"', 'wall = "6 mm"')
    window.find_element("id", "undo").click()
    until(window, SAID + ".includes('Nothing was taken back')")
    assert wall(running) == "6 mm"
    assert "changed in the file itself since" in text(window, "done-words")


@pytest.mark.long
def test_a_confirmation_stays_until_it_is_read_or_replaced(flat):
    window, running = flat
    given(window, "pod.wall", "5")
    revision(flat, 2)
    said = "pod.wall: 4 mm → 5 mm (5 mm / 0.19685 in), written into the file."
    # The answer may come after the state that it led to.
    until(window, SAID)
    assert text(window, "done-words") == said
    window.find_element("id", "find").send_keys("scoops height")
    edit(running.file, '"180 mm"', '"190 mm"')
    revision(flat, 3)
    assert text(window, "done-words") == said
    assert "found" in text(window, "found-words")
    window.find_element("id", "done-read").click()
    assert text(window, "done-words") == ""
    assert not window.find_element("id", "done-read").is_displayed()


def test_an_older_verdict_is_marked_as_old_wherever_it_stands(shown):
    window, running = shown
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(shown, 2)
    window.execute_script("live.show('prop.radial_clearance')")
    age = "return document.body.dataset.age"
    assert window.execute_script(age) == "new"
    assert not text(window, "told").startswith("Old")
    assert not window.find_element("css selector", "[data-age]:not(body)").is_displayed()
    edit(running.file, 'wall = "3 mm"', 'wall = "5 mm"')
    edit(running.file, 'title = "Saltmarsh shore-bird counter"', 'title = "slow"')
    until(window, age + " === 'old'")
    marks = window.find_elements("css selector", "[data-age]:not(body)")
    two, three = running.number(2), running.number(3)
    words = f"Old: this is the verdict of revision {two}. Revision {three} is being built."
    assert [mark.text for mark in marks] == [words, words]
    assert "1 of 2 checks fail" in text(window, "verdict")
    assert window.title.startswith("…")
    sign = "return getComputedStyle(document.getElementById('verdict'), '::before').content"
    assert window.execute_script(sign) == '"old: "'
    assert text(window, "model-words").startswith(f"Old: the model is of revision {two};")
    assert text(window, "told").startswith(f"Old, of revision {two}: ")
    revision(shown, 3)
    until(window, age + " === 'new'")
    assert not text(window, "told").startswith("Old")
    # A file that is refused: what is shown is not what it says.
    edit(running.file, 'nose = "round"', 'nose = "pointed"')
    until(window, age + " === 'old'")
    assert "The file as saved since is refused" in marks[0].text
    edit(running.file, 'nose = "pointed"', 'nose = "round"')
    until(window, age + " === 'new'")


def test_pressures_are_shown_when_the_state_has_them_and_go_with_it(shown):
    """The pod's plate in the scale's own colour; without pressures there is no switch."""
    window, running = shown
    assert window.execute_script("return document.getElementById('pressure').hidden")
    edit(running.file, 'title = "Saltmarsh shore-bird counter"', 'title = "pressed"')
    until(window, "return !document.getElementById('pressure').hidden")
    for selector in ("#show-openings", "[data-look='front']", "[data-state='climb']"):
        window.execute_script("document.querySelector(arguments[0]).click()", selector)
    until(window, "return document.getElementById('view').dataset.settled === 'yes'")
    assert text(window, "pressure-words") == "Pressure coefficient Cp, climb, 23.2 m/s"
    off = np.abs(pixels(window)[3:-3, 3:-3] - np.array(colours()[band(0.85)])).max(axis=2)
    assert (off <= 3).sum() > 2000
    assert complaints(window) == []
    # A first shape has none: those that were asked for are shown again with the exact one.
    edit(running.file, 'title = "pressed"', 'title = "pressed early"')
    eye = "return JSON.stringify(document.getElementById('view')._fullLayout.scene.camera.eye)"
    seen = window.execute_script(eye)
    until(window, "return document.getElementById('view').dataset.shape === 'first'")
    assert text(window, "model-words").endswith(", first shape; the exact one is being made.")
    assert window.execute_script("return document.getElementById('pressure').hidden")
    until(window, "return document.getElementById('view').dataset.shape === 'exact'")
    assert text(window, "pressure-words") == "Pressure coefficient Cp, climb, 23.2 m/s"
    assert window.execute_script(eye) == seen
    until(window, "return document.body.dataset.phase === 'ready'")
    assert text(window, "model-words").endswith(f"{running.number(3)}.")
    edit(running.file, 'title = "pressed early"', 'title = "plain"')
    until(window, "return document.getElementById('pressure').hidden")
    assert window.execute_script("return document.getElementById('pressure-scale').hidden")


def test_a_broken_edit_stands_beside_the_last_good_state(flat):
    window, running = flat
    edit(running.file, 'nose = "round"', 'nose = "pointed"')
    rows = running.file.read_text().splitlines()
    line = next(i for i, row in enumerate(rows, 1) if row.startswith('nose = "pointed"'))
    until(window, "return !document.getElementById('error').hidden")
    error = text(window, "error")
    for words in (
        f"mine.toml, line {line}",
        "pod.nose",
        "pointed",
        '"round", "flat"',
        f"revision {running.first}",
    ):
        assert words in error
    assert text(window, "verdict") == "All 2 checks pass."
    # It stands at the field as well.
    opened(window, "pod.nose")
    wrong = "return document.getElementById('field-pod.nose-wrong').textContent"
    until(window, wrong + ".includes('pointed')")
    # Neither hides the other.
    box = (
        "const b = document.getElementById('{}').getBoundingClientRect(); return [b.top, b.bottom]"
    )
    (top, bottom), (above, below) = (
        window.execute_script(box.format(id_)) for id_ in ("error", "verdict")
    )
    assert 0 <= above < below <= top < bottom <= 900
    edit(running.file, 'nose = "pointed"', 'nose = "round"')
    until(window, "return document.getElementById('error').hidden")


def test_a_drawing_that_could_not_be_made_is_not_called_a_refused_file(flat):
    window, running = flat
    edit(running.file, 'title = "Saltmarsh shore-bird counter"', 'title = "undrawn"')
    until(window, "return !document.getElementById('error').hidden")
    until(window, "return document.getElementById('status').dataset.state === 'unfinished'")
    assert text(window, "error-head") == "Checked, but not drawn to the end"
    assert "those of the file as saved" in text(window, "error-keeps")
    assert text(window, "status-words").startswith(f"Revision {running.number(2)} is checked;")
    assert f"those of revision {running.number(2)} could not be made" in text(
        window, "drawings-words"
    )


def test_a_builder_that_was_lost_and_a_server_that_has_ended_are_said(alone):
    window, running = alone
    os.kill(running.watch.builder.pid, signal.SIGKILL)
    until(window, "return /another one/.test(document.getElementById('status').textContent)")
    running.server.stop()
    until(window, "return document.getElementById('status').dataset.state === 'lost'")
    assert "geomgen watch has ended" in text(window, "status-words")
    assert text(window, "verdict") == "All 2 checks pass."


def weighed(window, running):
    """Show a block of mass and balance, as a state with masses brings it."""
    points = (
        MassPoint(1700.0, 200.0, "lightest, no fuel"),
        MassPoint(1650.0, 245.0, "owner", True),
    )
    envelope = drawn(Envelope(points, 1600.0, 1720.0, 300.0, (1760.0, 1740.0, 1790.0)))
    limits = Limits("at least 0.050", 0.05)
    where = "lightest, no fuel: STA 1700.0 mm, 24.0 % of the mean chord"
    aft = Check("balance.aft", "", "most aft centre of gravity", 0.071, "1", limits, "at least",
                0.021, "warn", where=where)  # fmt: skip
    before = replace(aft, measured=0.059)
    running.watch.state.put("balance", balance_block((before,), (aft,), envelope))
    until(window, "return !document.getElementById('balance').hidden")


@pytest.mark.parametrize("scheme", ["light", pytest.param("dark", marks=pytest.mark.long)])
def test_it_is_accessible(shown, scheme):
    window, running = shown
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    window.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(shown, 2)
    edit(running.file, 'nose = "round"', 'nose = "pointed"')
    until(window, "return !document.getElementById('error').hidden")
    window.execute_script(
        "document.querySelectorAll('#checks details').forEach(d => { d.open = true; });"
        "document.querySelector('.shown').open = true; live.filter('all')"
    )
    given(window, "pod.wall", "4000")
    until(window, "return document.getElementById('field-pod.wall').ariaInvalid === 'true'")
    weighed(window, running)
    window.set_script_timeout(180)
    found = Axe().run(window)
    told = {v["id"]: [node["html"][:160] for node in v["nodes"]] for v in found["violations"]}
    assert told == {}
    assert len(found["passes"]) > 20


@pytest.mark.long
def test_the_audit_would_tell(shown):
    window, _ = shown
    window.execute_script(
        "const i = document.getElementById('find'); i.removeAttribute('placeholder');"
        "document.querySelector('label[for=find]').remove()"
    )
    window.set_script_timeout(180)
    assert "label" in {v["id"] for v in Axe().run(window)["violations"]}


def test_a_phone_needs_no_sideways_scrolling(shown):
    window, running = shown
    edit(running.file, 'wall = "4 mm"', 'wall = "3 mm"')
    revision(shown, 2)
    weighed(window, running)
    row = text(window, "balance-rows")
    assert "0.071+0.012at least 0.050+0.021" in row
    assert len(window.find_elements("css selector", "#envelope circle")) == 2
    size = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True}
    window.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    try:
        window.execute_script(
            "document.querySelectorAll('details').forEach(d => { d.open = true; })"
        )
        wide = window.execute_script("return document.documentElement.scrollWidth")
        # The tab of what is shown is seen whole.
        window.execute_script("live.pane('drawings')")
        ends = "const b = arguments[0].getBoundingClientRect(); return [b.left, b.right]"
        tab = window.find_element("css selector", "[data-tab='drawings']")
        left, right = window.execute_script(ends, tab)
    finally:
        window.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    assert wide <= 390
    assert 0 <= left < right <= 390
    running.watch.state.put("balance", None)
    until(window, "return document.getElementById('balance').hidden")


def test_what_was_not_measured_says_so_once(shown):
    window, _ = shown
    lost = {"id": "lost", "what": "a figure", "kind": "not_measured", "sign": "?", "details": []}
    check = lost | {"word": "not measured", "measured": "not measured"}
    verdict = {"worst": "not_measured", "sign": "?", "sentence": "1 is lost.", "notices": []}
    window.execute_script(
        "live.showVerdict(arguments[0])",
        verdict | {"near": ["lost"], "groups": [{"title": "lost", "checks": [check]}]},
    )
    assert text(window, "check-lost").count("not measured") == 1
