"""The guard by itself; the server's tests ask it over the wire."""

import asyncio

import pytest

from geomgen.watching.live_page.guard import LONGEST, TOKEN_HEADER, Guard


def guard():
    async def app(scope, receive, send):
        await send({"type": "http.response.start", "status": 200, "headers": []})

    return Guard(app, 8470, "secret")


OWN = {
    "host": ["127.0.0.1:8470"],
    "origin": ["http://127.0.0.1:8470"],
    "content-type": ["application/json"],
    "content-length": ["10"],
    TOKEN_HEADER: ["secret"],
}


def test_what_the_page_sends_passes():
    assert guard().refusal("GET", {"host": OWN["host"]}) is None
    assert guard().refusal("POST", OWN) is None
    assert guard().refusal("POST", {**OWN, "content-length": [str(LONGEST)]}) is None


@pytest.mark.parametrize("missing", sorted(OWN))
def test_each_header_counts_by_itself(missing):
    """Take one away at a time: the guard must not lean on another one."""
    left = {name: value for name, value in OWN.items() if name != missing}
    assert guard().refusal("POST", left) is not None
    assert guard().refusal("POST", {**OWN, missing: ["x"]}) is not None
    assert guard().refusal("POST", {**OWN, missing: OWN[missing] * 2}) is not None


def test_a_websocket_is_closed():
    sent = []

    async def send(message):
        sent.append(message)

    asyncio.run(guard()({"type": "websocket", "headers": []}, None, send))
    assert sent == [{"type": "websocket.close", "code": 1008}]
