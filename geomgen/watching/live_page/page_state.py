"""The present state that all open pages show: named sections of JSON, and larger bodies."""

import asyncio
import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager


class PageState:
    """The present state. Any thread may put; pages are told that something is new.

    Only the present counts: a slow reader gets the newest of each section, never a backlog.

    >>> state = PageState()
    >>> state.put("status", {"revision": 1})
    >>> state.since(0)
    (1, {'status': '{"revision":1}'})
    """

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._stamp = 0
        self._sections: dict[str, tuple[int, str]] = {}
        self._bodies: dict[str, bytes] = {}
        self._listeners: dict[object, tuple[asyncio.AbstractEventLoop, asyncio.Event]] = {}
        self.closed = False

    def put(self, name: str, value: object) -> None:
        """Replace a section; what is the same as before is not told again."""
        text = json.dumps(value, allow_nan=False, separators=(",", ":"))
        with self._lock:
            if name in self._sections and self._sections[name][1] == text:
                return
            self._stamp += 1
            self._sections[name] = (self._stamp, text)
            self._wake()

    def keep(self, bodies: dict[str, bytes]) -> None:
        """Replace larger bodies; pages fetch them when a section says that they are new."""
        with self._lock:
            self._bodies.update(bodies)

    def drop(self, prefix: str) -> None:
        """Forget the bodies whose names begin so."""
        with self._lock:
            for name in [name for name in self._bodies if name.startswith(prefix)]:
                del self._bodies[name]

    def body(self, name: str) -> bytes | None:
        """Return a larger body."""
        with self._lock:
            return self._bodies.get(name)

    def section(self, name: str) -> object:
        """Return the value of a section, None when there is none."""
        with self._lock:
            text = self._sections.get(name, (0, "null"))[1]
        return json.loads(text)

    def since(self, stamp: int) -> tuple[int, dict[str, str]]:
        """Return the newest stamp and, as JSON, the sections newer than `stamp`, oldest first."""
        with self._lock:
            newer = sorted((s, name) for name, (s, _) in self._sections.items() if s > stamp)
            return self._stamp, {name: self._sections[name][1] for _, name in newer}

    def close(self) -> None:
        """End all streams."""
        with self._lock:
            self.closed = True
            self._wake()

    @contextmanager
    def news(self) -> Iterator[asyncio.Event]:
        """Give an event of the running loop that is set whenever something is new."""
        key, event = object(), asyncio.Event()
        with self._lock:
            self._listeners[key] = (asyncio.get_running_loop(), event)
        try:
            yield event
        finally:
            with self._lock:
                del self._listeners[key]

    @property
    def readers(self) -> int:
        """How many pages are listening."""
        with self._lock:
            return len(self._listeners)

    def _wake(self) -> None:
        for loop, event in self._listeners.values():
            if not loop.is_closed():
                loop.call_soon_threadsafe(event.set)
