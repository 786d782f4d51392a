"""Drawings on the bench: a part is pressed there, its numbers open; a number lights its part up."""

from axe_core_python.selenium import Axe
from browser import complaints, until
from live_pages import opened, text
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

LIT = (
    "return Array.from(document.querySelectorAll('#sheets .lit')).map(line => line.dataset.name)"
    ".join(' ')"
)
PLACE = (
    "const d = document.getElementById('drawings'), b = d.getBoundingClientRect();"
    "const c = document.querySelector('#sheets svg').getScreenCTM();"
    "d.scrollTop += c.d * arguments[1] + c.f - b.top - b.height / 2;"
    "const m = document.querySelector('#sheets svg').getScreenCTM();"
    "const p = new DOMPoint(arguments[0], arguments[1]).matrixTransform(m); return [p.x, p.y]"
)


def pressed(window, x, y):
    """Press a place of the drawing [mm of paper]."""
    at = [round(c) for c in window.execute_script(PLACE, x, y)]
    hand = ActionChains(window)
    hand.w3c_actions.pointer_action.move_to_location(*at)
    hand.w3c_actions.pointer_action.click()
    hand.perform()


def numbers_of(window):
    return window.execute_script(
        "return Array.from(document.querySelectorAll('#fields [data-key]'))[0].dataset.key"
    )


def test_a_part_is_pressed_in_a_drawing_and_a_number_lights_its_part_up(flat):
    window, _ = flat
    window.execute_script("live.pane('drawings')")
    until(window, "return document.querySelector('#sheets svg path[data-name=pod]')")
    # But for the model, which this page can't load, nothing is complained of.
    assert [line for line in complaints(window) if "plotly" not in line] == []
    # Near a line, inside of an outline, beside all of them, on a line that is no part's.
    pressed(window, 350, 41.5)
    assert text(window, "picked").startswith("wing left")
    assert until(window, LIT) == "wing_left"
    assert numbers_of(window).startswith("wing.")
    pressed(window, 120, 95)
    assert text(window, "picked").startswith("pod")
    assert window.execute_script(LIT) == "pod"
    for place in ((350, 100), (350, 279.5)):
        pressed(window, *place)
        assert window.execute_script(LIT) == "pod"
    assert not window.execute_script("return document.querySelector('[data-name=\"thrust line\"]')")
    # A value that has the hand, of another part.
    opened(window, "wing.incidence")
    until(window, LIT + " === 'wing_left'")
    # By keys, and as a reader of screens hears it.
    window.execute_script("document.querySelector('#sheets path[tabindex=\"0\"]').focus()")
    hand = ActionChains(window)
    hand.send_keys(Keys.ARROW_RIGHT, Keys.ENTER).perform()
    assert text(window, "picked").startswith("wing left")
    assert window.execute_script("return document.activeElement.ariaLabel") == (
        "wing left: open its numbers"
    )
    hand.send_keys(Keys.ARROW_RIGHT, Keys.SPACE).perform()
    assert window.execute_script(LIT) == "pod"
    window.set_script_timeout(180)
    found = Axe().run(window)
    told = {v["id"]: [node["html"][:160] for node in v["nodes"]] for v in found["violations"]}
    assert told == {}
