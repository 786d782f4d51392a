"""The page's own text: what is handed out, and that none of it needs the kernel."""

import subprocess
import sys
from html.parser import HTMLParser

import pytest

from geomgen.watching.live_page.page_text import FILES, file_body, page_html


class Seen(HTMLParser):
    """Collects what a page asks for, and scripts or styles that stand in it."""

    def __init__(self):
        super().__init__()
        self.files, self.inline, self.attributes = set(), [], []

    def handle_starttag(self, tag, attrs):
        named = dict(attrs)
        self.attributes += named
        source = named.get("src") or (named.get("href") if tag == "link" else None)
        if source and not source.startswith("data:"):
            self.files.add(source)
        if tag == "style" or (tag == "script" and "src" not in named):
            self.inline.append(tag)


def test_the_page_asks_for_files_that_are_handed_out_and_for_nothing_else():
    seen = Seen()
    seen.feed(page_html("mine.toml", "secret"))
    assert seen.files == {f"file/{name}" for name in FILES}
    # What the page's own policy would not let run.
    assert seen.inline == []
    assert not [name for name in seen.attributes if name.startswith("on") or name == "style"]


def test_names_are_text():
    page = page_html('<b>"mine"</b>', "a&b")
    assert "<b>" not in page
    assert 'content="a&amp;b"' in page


@pytest.mark.parametrize("name", sorted(FILES))
def test_its_files_are_there(name):
    assert len(file_body(name)) > 1000


@pytest.mark.parametrize("name", ["live.html.j2", "../guard.py", "/etc/passwd", ""])
def test_no_other_file_is(name):
    with pytest.raises(KeyError):
        file_body(name)


def test_page_and_watch_start_without_the_kernel():
    """It takes seconds to load, in which neither the page nor Ctrl-C would answer."""
    script = (
        "import sys\nimport geomgen.watching.live_page.server, geomgen.watching.watch as w\n"
        "from geomgen.watching.live_page.page_text import page_html\npage_html('a', 'b')\n"
        "print([name for name in sys.modules if name.split('.')[0] == 'OCP'])"
    )
    found = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60
    )
    assert found.stdout.strip() == "[]"
