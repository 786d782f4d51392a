"""Closed forms: means and times."""

import io

import pytest

from geomgen.studies.progress import Planning, Progress, duration
from geomgen.terminal.sweep_progress import APART, plain


def test_time_left_from_the_finished_ones():
    seen = Progress(total=11, kept=1, workers=3)
    assert seen.left() is None
    seen.add(True, 2.0)
    seen.add(False, 4.0)
    # Eight are left for three workers: three rounds of the mean of three seconds.
    assert (seen.done, seen.failing, seen.left()) == (3, 1, 9.0)


def test_kept_ones_say_nothing_of_speed():
    seen = Progress(total=100, kept=99, workers=1)
    seen.add(True, 5.0)
    assert seen.left() == 0.0
    assert seen.line() == "100 of 100 done, 0 failing"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "0 s"), (59.2, "1 min 0 s"), (3599, "59 min 59 s"), (7260, "2 h 1 min")],
)
def test_durations(seconds, words):
    assert duration(seconds) == words


def test_plain_lines_come_now_and_then():
    now = [0.0]
    stream = io.StringIO()
    tell = plain(stream, lambda: now[0])
    seen = Progress(total=50, workers=1)
    tell(seen)
    for _ in range(50):
        now[0] += APART / 10
        seen.add(True, 1.0)
        tell(seen)
    lines = stream.getvalue().splitlines()
    assert lines[0].startswith("0 of 50 done")
    assert lines[-1].startswith("50 of 50 done")
    assert 5 <= len(lines) <= 8


def test_the_work_has_a_first_line_of_its_own():
    stream = io.StringIO()
    tell = plain(stream, lambda: 0.0)
    for done in (200, 400, 600):
        tell(Planning(20_000, done, 1))
    tell(Progress(total=20_000))
    assert stream.getvalue().splitlines() == [
        "200 of 20000 read, 1 refused",
        "0 of 20000 done, 0 failing",
    ]
