"""The state as server-sent events (HTML Living Standard, section 9.2)."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import suppress

from geomgen.watching.live_page.page_state import PageState

# A page that has heard nothing for longer says that the connection is lost.
BEAT = 5.0
AGAIN = 1000


async def events(state: PageState, beat: float = BEAT) -> AsyncIterator[str]:
    """Yield the whole present state, then what is new; a beat when nothing is for a while [s]."""
    yield f"retry: {AGAIN}\n\n"
    seen = 0
    with state.news() as news:
        while not state.closed:
            news.clear()
            seen, changed = state.since(seen)
            if changed:
                yield "".join(f"event: {n}\ndata: {text}\n\n" for n, text in changed.items())
                continue
            with suppress(TimeoutError):
                await asyncio.wait_for(news.wait(), beat)
                continue
            yield "event: beat\ndata: 0\n\n"
    yield "event: ended\ndata: 0\n\n"
