"""What stands before the page: only this machine's own browser, from the page itself.

A server on this machine can be reached by every web page that the browser has open. So the name it
was asked by must be this machine's own (a foreign name that was pointed here is refused), what a
browser says about where a request comes from must be the page itself, and changes need a token.
"""

import json
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

TOKEN_HEADER = "x-geomgen-token"
# The longest body of a change [bytes].
LONGEST = 4096
# The two style elements that the viewer makes: an empty one, and a fixed one. By their hashes, so
# that no other one gets in.
VIEWER_STYLES = (
    "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='",
    "'sha256-ji27qzEtxXZW+7dun6UwjHXJ18e6WAin1VvNtkzIE/o='",
)
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        f"style-src 'self' {' '.join(VIEWER_STYLES)}",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "worker-src blob:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = (
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cache-control", "no-store"),
)
Refusal = tuple[int, str]


class Guard:
    """An application before another one: refuses what does not come from the page itself.

    `port` is the one listened on; `token` is wanted, in a header, with everything that changes.
    """

    def __init__(self, app: App, port: int, token: str) -> None:
        self._app = app
        self._hosts = (f"127.0.0.1:{port}", f"localhost:{port}")
        self._token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or pass it on."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                names = {name for name, _ in HEADERS}
                kept = [(n, v) for n, v in message.get("headers", ()) if n.decode() not in names]
                message["headers"] = [*kept, *((n.encode(), v.encode()) for n, v in HEADERS)]
            await send(message)

        refused = self.refusal(scope["method"], headers_of(scope))
        if refused is None:
            await self._app(scope, receive, guarded)
        else:
            await _answer(guarded, *refused)

    def refusal(self, method: str, headers: dict[str, list[str]]) -> Refusal | None:
        """Return status and words for a request that is refused, None for one that is not."""
        if method not in ("GET", "HEAD", "POST"):
            return 405, "only GET and POST are answered"
        hosts = headers.get("host", [])
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            return 421, "asked by a name that is not this machine's own"
        origins = headers.get("origin", [])
        if any(origin.lower() != f"http://{hosts[0].lower()}" for origin in origins):
            return 403, "asked from another page"
        if any(site not in ("same-origin", "none") for site in headers.get("sec-fetch-site", [])):
            return 403, "asked from another page: open the address by hand"
        return self._change_refusal(headers, origins) if method == "POST" else None

    def _change_refusal(self, headers: dict[str, list[str]], origins: list[str]) -> Refusal | None:
        if len(origins) != 1:
            return 403, "a change without its origin"
        tokens = headers.get(TOKEN_HEADER, [])
        if len(tokens) != 1 or not same(tokens[0], self._token):
            return 403, "a change without the page's token: load the page again"
        if headers.get("content-type", []) != ["application/json"]:
            return 415, "a change is sent as application/json"
        if "transfer-encoding" in headers:
            return 411, "a change is sent in one piece"
        lengths = headers.get("content-length", [])
        if len(lengths) != 1 or not lengths[0].isascii() or not lengths[0].isdigit():
            return 411, "a change has to say how long it is"
        if len(lengths[0]) > 8 or int(lengths[0]) > LONGEST:
            return 413, f"a change may be {LONGEST} bytes long"
        return None


def same(one: str, other: str) -> bool:
    r"""Compare two secrets in a time that does not tell where they differ.

    >>> same("a", "a"), same("a", "\xe9")
    (True, False)
    """
    return secrets.compare_digest(one.encode("utf-8"), other.encode("utf-8"))


def headers_of(scope: Scope) -> dict[str, list[str]]:
    """Return the headers of a request, each with all its values."""
    found: dict[str, list[str]] = {}
    for name, value in scope["headers"]:
        found.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
    return found


async def _answer(send: Send, status: int, words: str) -> None:
    body = json.dumps({"error": "refused", "problem": words}).encode("ascii")
    headers = [(b"content-type", b"application/json"), (b"connection", b"close")]
    headers.append((b"content-length", str(len(body)).encode()))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
