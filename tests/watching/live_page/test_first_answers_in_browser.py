"""First verdicts in a browser: those that are known beside those of the state before."""

import pytest
from browser import until
from live_pages import given, revision
from watched_aircraft import edit

from geomgen.parameters import load

TITLE = 'title = "Saltmarsh shore-bird counter"'
SEEN = """
  const rows = [...document.querySelectorAll('#group-list li[id^=check-]')];
  const former = rows.filter((row) => row.classList.contains('former')).map((row) => row.id.slice(6));
  const head = document.getElementById('verdict');
  return {former, of: Number(head.dataset.revision), open: head.dataset.open, kind: head.className,
          head: head.textContent,
          wall: document.getElementById('check-pod.wall').textContent};
"""  # noqa: E501
# Noted by the page itself whenever the verdict changes, so that nothing slips by between looks.
NOTED = f"""
  window.noted = [];
  const look = () => {{ {SEEN} }};
  new MutationObserver(() => window.noted.push(look()))
    .observe(document.getElementById('group-list'), {{childList: true}});
"""


def changed(flat):
    """Return the page where the wall was changed in a state that is answered bit by bit."""
    window, running = flat
    edit(running.file, TITLE, 'title = "bit-by-bit"')
    revision(flat, 2)
    until(window, "return document.getElementById('verdict').dataset.open === 'no'", 20)
    window.execute_script(NOTED)
    given(window, "pod.wall", "6 mm")
    return flat


@pytest.mark.long
def test_a_change_is_answered_row_by_row_and_nothing_is_well_before_all_are(flat):
    window, running = changed(flat)
    revision(flat, 3)
    until(window, "return document.getElementById('verdict').dataset.open === 'no'", 20)
    noted = window.execute_script("return window.noted")
    two, three = running.number(2), running.number(3)
    now = [look for look in noted if look["of"] == three]
    counts = [len(look["former"]) for look in now]
    assert counts == sorted(counts, reverse=True)
    assert set(counts) >= {3, 2, 1, 0}
    for look in now:
        former = "pod.wall" in look["former"]
        assert ("4.00 mm" if former else "6.00 mm") in look["wall"]
        assert (f"of the state before (revision {two})" in look["wall"]) == former
        if look["former"]:
            assert look["open"] == "partial"
            assert look["kind"] == "waits"
            assert look["head"].startswith(f"Revision {three}: nothing fails so far.")


@pytest.mark.long
def test_late_answers_of_an_older_change_are_never_shown(flat):
    window, running = changed(flat)
    until(window, "return document.getElementById('verdict').dataset.open === 'partial'")
    until(
        window,
        f"return document.getElementById('verdict').dataset.revision === '{running.number(3)}'",
    )
    given(window, "pod.wall", "7 mm")
    revision(flat, 4)
    until(window, "return document.getElementById('verdict').dataset.open === 'no'", 20)
    noted = window.execute_script("return window.noted")
    four = running.number(4)
    late = noted[next(i for i, look in enumerate(noted) if look["of"] == four) :]
    assert {look["of"] for look in late} == {four}
    # What was known of the state that was given up is of no state that is shown.
    assert not any("6.00 mm" in look["wall"] for look in late)
    assert "7.00 mm" in late[-1]["wall"]
    assert load(running.file).pod.wall == 7.0
