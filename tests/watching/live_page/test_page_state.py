"""The state: only the present counts."""

import asyncio
import json
import threading

from hypothesis import given
from hypothesis import strategies as st

from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.stream import events


@given(
    st.lists(
        st.one_of(st.tuples(st.sampled_from("abc"), st.integers(0, 3)), st.just("read")),
        max_size=40,
    )
)
def test_a_reader_that_takes_what_is_new_always_knows_the_whole(steps):
    """Whenever it reads, what it holds is what was put last; nothing the same is sent twice."""
    state, truth, held, seen = PageState(), {}, {}, 0
    for step in [*steps, "read"]:
        if step == "read":
            seen, new = state.since(seen)
            assert all(held.get(name) != json.loads(text) for name, text in new.items()) or truth
            held |= {name: json.loads(text) for name, text in new.items()}
            assert held == truth
        else:
            state.put(*step)
            truth[step[0]] = step[1]
    assert state.since(seen) == (seen, {})


def test_the_same_value_is_not_told_again():
    state = PageState()
    state.put("a", 1)
    stamp, _ = state.since(0)
    state.put("a", 1)
    assert state.since(stamp) == (stamp, {})


def test_a_stream_wakes_when_another_thread_puts_and_beats_when_none_does():
    state = PageState()

    async def read():
        rows = events(state, beat=0.05)
        assert (await anext(rows)).startswith("retry")
        assert "beat" in await anext(rows)
        threading.Timer(0.01, state.put, ("a", {"x": 1})).start()
        while True:
            row = await anext(rows)
            if "beat" not in row:
                break
        assert row == 'event: a\ndata: {"x":1}\n\n'
        state.close()
        assert "ended" in await anext(rows)
        assert [row async for row in rows] == []

    asyncio.run(read())
    assert state.readers == 0


def test_bodies_are_kept_and_dropped():
    state = PageState()
    state.keep({"drawing-1-0": b"a", "drawing-10-0": b"b"})
    state.drop("drawing-1-")
    assert state.body("drawing-1-0") is None
    assert state.body("drawing-10-0") == b"b"
    assert state.section("none") is None
