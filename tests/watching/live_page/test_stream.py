"""The stream of events by itself, with a loop of its own (HTML Living Standard 9.2)."""

import asyncio

from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.stream import events


def told(state, steps, beat=0.02):
    """Return what a page hears; `steps` are called one after each piece, the state then closed."""

    async def listen():
        heard, left = [], list(steps)
        async for piece in events(state, beat):
            heard.append(piece)
            (left.pop(0) if left else state.close)()
        return heard

    return asyncio.run(asyncio.wait_for(listen(), 10))


def test_all_there_is_comes_first_then_only_what_is_new():
    state = PageState()
    state.put("status", {"revision": 1})
    state.put("verdict", "line\nline")
    heard = told(state, [lambda: None, lambda: state.put("status", {"revision": 2})], beat=5.0)
    assert heard == [
        "retry: 1000\n\n",
        'event: status\ndata: {"revision":1}\n\nevent: verdict\ndata: "line\\nline"\n\n',
        'event: status\ndata: {"revision":2}\n\n',
        "event: ended\ndata: 0\n\n",
    ]
    assert state.readers == 0


def test_a_slow_reader_gets_the_newest_only():
    state = PageState()

    def many():
        for number in range(5):
            state.put("status", number)

    assert told(state, [many])[1] == "event: status\ndata: 4\n\n"


def test_silence_is_broken_by_a_beat():
    assert told(PageState(), [lambda: None])[1:] == [
        "event: beat\ndata: 0\n\n",
        "event: ended\ndata: 0\n\n",
    ]


def test_a_reader_that_goes_away_is_forgotten():
    state = PageState()

    async def leave():
        stream = events(state)
        state.put("status", 1)
        await anext(stream)
        await anext(stream)
        assert state.readers == 1
        await stream.aclose()

    asyncio.run(leave())
    assert state.readers == 0
