"""A watch with its live page in a browser, for the tests of what the page does."""

import threading
import time

from browser import until
from watched_aircraft import built

from geomgen.parameters import fingerprint, load
from geomgen.watching.live_page.server import PageServer
from geomgen.watching.undo import EditHistory
from geomgen.watching.watch import LOOK, Watch


class Running:
    """A watch that steps in a thread of its own, with its page.

    Tests share it: states are counted from `first`, the one that a test begins with.
    """

    def __init__(self, file):
        self.file, self.told, self.first = file, [], 1
        self._as_it_was = file.read_bytes()
        self.watch = Watch(file, (), file.parent / "out", self.told.append, built)
        self.server = PageServer(self.watch.state, self.watch.editor, file.name)
        self._until = threading.Event()
        self._thread = threading.Thread(target=self._run)
        self.server.start()
        self._thread.start()

    def _run(self):
        while not self._until.is_set():
            self.watch.step()

    def number(self, state):
        """Return the revision of a test's first, second, ... state."""
        return self.first + state - 1

    def again(self):
        """Put the file back, forget what was changed in it, wait until that is built."""
        editor = self.watch.editor
        vars(editor).pop("change", None)
        editor._edits = EditHistory()
        editor._changed()
        self.file.write_bytes(self._as_it_was)
        time.sleep(4 * LOOK)
        wanted, end = fingerprint(load(self.file)), time.monotonic() + 30.0
        while not self._rests(wanted):
            assert time.monotonic() < end
            time.sleep(LOOK)
        self.first = self.watch.state.section("status")["revision"]

    def _rests(self, wanted):
        section = self.watch.state.section
        ready = section("status")["phase"] == "ready" and not section("error")
        return ready and self.watch._wanted == wanted

    def end(self):
        self._until.set()
        self._thread.join()
        self.server.stop()
        self.watch.stop()


def opened_page(window, running, model="ready"):
    window.get(running.server.address)
    until(window, f"return document.getElementById('view').dataset.model === '{model}'", 40)
    until(window, "return document.getElementById('fields').dataset.stamp")
    until(window, "return document.body.dataset.phase === 'ready'")
    return window, running


def text(window, id_):
    return window.execute_script("return document.getElementById(arguments[0]).textContent", id_)


def revision(shown, state):
    """Wait until the page shows a test's first, second, ... state."""
    window, running = shown
    number = running.number(state)
    until(window, f"return document.getElementById('verdict').dataset.revision === '{number}'", 20)
    if window.execute_script("return document.getElementById('view').dataset.model === 'none'"):
        return
    until(window, f"return document.getElementById('view').dataset.revision === '{number}'", 20)
    until(window, "return document.getElementById('view').dataset.settled === 'yes'")


def given(window, key, value):
    """Put a value into a field as a hand does, its table opened."""
    opened(window, key)
    window.execute_script(
        "const i = document.getElementById('field-' + arguments[0]); i.value = arguments[1];"
        "i.dispatchEvent(new Event('input')); i.dispatchEvent(new Event('change'))",
        key,
        value,
    )


def opened(window, key):
    """Open a field's table, put the hand on the field; return its input."""
    window.execute_script("live.openKey(arguments[0])", key)
    until(window, f"return document.getElementById('field-{key}')")
    window.execute_script(f"document.getElementById('field-{key}').focus()")
    return window.find_element("id", f"field-{key}")
