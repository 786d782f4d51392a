"""A browser with a watch, for all tests of what the live page does in one."""

import pytest
from browser import chromium, complaints
from live_pages import Running, opened_page
from watched_aircraft import aircraft


@pytest.fixture(scope="module")
def browser():
    with chromium(width=1300, height=900) as window:
        yield window


@pytest.fixture(scope="module")
def shared(tmp_path_factory):
    running = Running(aircraft(tmp_path_factory.mktemp("shared")))
    yield running
    running.end()


@pytest.fixture
def shown(browser, shared):
    shared.again()
    return opened_page(browser, shared)


@pytest.fixture
def flat(browser, shared):
    """Give the page where it can't show 3D, which must do for all but the model; it loads fast."""
    shared.again()
    browser.execute_cdp_cmd("Network.setBlockedURLs", {"urls": ["*/plotly.js"]})
    yield opened_page(browser, shared, "none")
    browser.execute_cdp_cmd("Network.setBlockedURLs", {"urls": []})
    complaints(browser)
