"""The examples give what they gave before: every check, file and drawing. Unchanged, not right.

On another processor or with other libraries figures may differ in their last digits: the bound here
is that of the figures that people read. `standing.py differences` is the strict one.
"""

import pytest
from regression import standing

WITHIN = 1e-6


@pytest.mark.long
@pytest.mark.parametrize("name", standing.EXAMPLES)
def test_an_example_gives_what_it_gave(name):
    assert standing.differences(standing.whole(name), standing.record_of(name), name, WITHIN) == []


@pytest.mark.long
def test_help_says_what_it_said():
    assert standing.differences(standing.help_texts(), standing.record_of("help")) == []


def test_what_differs_is_told():
    then = {"a.stl": [12, 1.0, [0.0, 3.0]], "b.json": {"gap": 2.5, "ok": True}, "c": "x"}
    now = {"a.stl": [12, 1.0 + 1e-12, [1e-9, 3.1]], "b.json": {"gap": None, "ok": 1}, "d": "x"}
    found = standing.differences(now, then)
    assert found == [
        "/c: gone",
        "/d: new",
        "/a.stl[2][1]: 3.1, was 3.0",
        "/b.json/gap: null, was 2.5",
        "/b.json/ok: 1, was true",
    ]
