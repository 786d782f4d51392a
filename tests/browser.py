"""A real headless Chromium for the tests of pages, with the network shut off."""

import json
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

CHROMIUM, DRIVER = "/usr/bin/chromium", "/usr/bin/chromedriver"
# Nothing but this machine is found by name, so that a request that leaves is an error.
SHUT = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1"
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--hide-scrollbars",
    # A page that glides to a place is not where a test presses.
    "--force-prefers-reduced-motion",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--enable-unsafe-swiftshader",
)


@contextmanager
def chromium(width: int = 1200, height: int = 800, more: tuple[str, ...] = ()) -> Iterator:
    """Give a browser window; what it asked of the network and said on its console is kept."""
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        arguments = (f"--window-size={width},{height}", f"--user-data-dir={profile}", SHUT)
        for argument in (*QUIET, *arguments, *more):
            options.add_argument(argument)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        window = webdriver.Chrome(service=Service(DRIVER), options=options)
        try:
            yield window
        finally:
            window.quit()


def opened(window, page: Path) -> str:
    """Open a report page, wait until its model is there or given up; return which."""
    window.get(page.resolve().as_uri())
    return until(window, "return document.getElementById('view').dataset.model || null")


def until(window, script: str, seconds: float = 90.0):
    """Wait until a script answers with something true; return it."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        answer = window.execute_script(script)
        if answer:
            return answer
        time.sleep(0.05)
    raise AssertionError(f"the page never answered: {script}")


def settled(window) -> None:
    """Wait until the view has drawn what was last asked of it."""
    until(window, "return document.getElementById('view').dataset.settled === 'yes'")


def requests(window) -> list[str]:
    """Return the addresses asked for since the last call, without the browser's own first page."""
    rows = [json.loads(entry["message"])["message"] for entry in window.get_log("performance")]
    return [
        row["params"]["request"]["url"]
        for row in rows
        if row["method"] == "Network.requestWillBeSent"
        and not row["params"]["documentURL"].startswith("chrome")
    ]


def complaints(window) -> list[str]:
    """Return errors on the console since the last call."""
    return [row["message"] for row in window.get_log("browser") if row["level"] == "SEVERE"]


def pixels(window, selector: str = "#view") -> np.ndarray:
    """Return the picture of an element that fits the window, (height, width, 3), 0 to 255."""
    import io

    from PIL import Image

    x, y, wide, high = window.execute_script(
        "const e = document.querySelector(arguments[0]);"
        "e.scrollIntoView({block: 'start', behavior: 'instant'});"
        "const r = e.getBoundingClientRect(); return [r.left, r.top, r.width, r.height]",
        selector,
    )
    whole = Image.open(io.BytesIO(window.get_screenshot_as_png())).convert("RGB")
    box = (round(x), round(y), round(x + wide), round(y + high))
    assert box[2] <= whole.width
    assert box[3] <= whole.height
    return np.asarray(whole.crop(box)).astype(int)
