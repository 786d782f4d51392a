"""The server of the live page: on this machine only, in a thread of its own."""

import json
import logging
import secrets
import socket
import threading
from collections.abc import Callable
from typing import Any, Protocol, TypeVar

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from geomgen.errors import FaultError, FileWriteError, GeomgenError, fields_of
from geomgen.watching.live_page.edit_request import (
    BadRequestError,
    body_of,
    changes_from,
    name_from,
    request_from,
)
from geomgen.watching.live_page.guard import App, Guard, same
from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.page_text import FILES, file_body, page_html
from geomgen.watching.live_page.stream import events

HOME = "127.0.0.1"
# The first port tried, and how many after it, when none was asked for.
PORT, TRIED = 8470, 30
Given = TypeVar("Given")
NO_PAGE = "Nothing here: open the address that geomgen watch has printed."


class FileEditor(Protocol):
    """What changes the file for the page; a refusal is a GeomgenError."""

    def preview(self, key: str, given: object) -> dict[str, Any]:
        """Return how what was typed would be written; nothing is."""
        ...

    def change(self, key: str, given: object, sitting: str = "") -> dict[str, Any]:
        """Write what was typed into the file; return what was done."""
        ...

    def undo(self) -> dict[str, Any]:
        """Take the last change back; return what was done."""
        ...

    def redo(self) -> dict[str, Any]:
        """Make again what was taken back last; return what was done."""
        ...

    def keep(self, name: str) -> dict[str, Any]:
        """Keep the file as it stands under a name; return what was done."""
        ...

    def come_back(self, name: str) -> dict[str, Any]:
        """Make the file what it was under a name; return what was done."""
        ...

    def lines(self, changes: dict[str, str]) -> dict[str, Any]:
        """Return the lines with changes that are not written."""
        ...


def listening(port: int | None) -> socket.socket:
    """Return a socket bound on this machine only; the next free port when none is asked for.

    FileWriteError when the port is taken or may not be used.
    """
    wanted = [port] if port is not None else [*range(PORT, PORT + TRIED), 0]
    for number in wanted:
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((HOME, number))
            made.listen(64)
        except (OSError, OverflowError) as error:
            made.close()
            reason = getattr(error, "strerror", None) or str(error)
        else:
            return made
    raise FileWriteError(
        f"can't listen there: {reason.lower()}",
        path=f"{HOME}:{port}",
        advice="give another --port, or none to take the next free one",
    )


class PageServer:
    """The page's server; `address` is what to open, and holds a secret of this run."""

    def __init__(
        self, state: PageState, editor: FileEditor, title: str, port: int | None = None
    ) -> None:
        import uvicorn

        # What a browser breaks off is nothing for the builder's terminal to see.
        logging.getLogger("uvicorn.error").setLevel(logging.CRITICAL + 1)
        self._state = state
        self._socket = listening(port)
        self.port = int(self._socket.getsockname()[1])
        self.key, self.token = secrets.token_urlsafe(24), secrets.token_urlsafe(24)
        app = Guard(application(state, editor, title, self.key, self.token), self.port, self.token)
        self._server = uvicorn.Server(
            uvicorn.Config(
                app,
                log_config=None,
                access_log=False,
                lifespan="off",
                ws="none",
                http="h11",
                server_header=False,
                proxy_headers=False,
                timeout_keep_alive=15,
                timeout_graceful_shutdown=1,
                h11_max_incomplete_event_size=16384,
            )
        )
        self._thread = threading.Thread(target=self._run, name="live page", daemon=True)

    @property
    def address(self) -> str:
        """The address to open in a browser on this machine."""
        return f"http://{HOME}:{self.port}/{self.key}/"

    def start(self) -> None:
        """Begin to answer."""
        self._thread.start()

    def stop(self) -> None:
        """End all streams and stop answering."""
        self._state.close()
        self._server.should_exit = True
        if self._thread.is_alive():
            self._thread.join(5.0)
        self._socket.close()

    def _run(self) -> None:
        self._server.run(sockets=[self._socket])


def application(state: PageState, editor: FileEditor, title: str, key: str, token: str) -> App:
    """Return the application behind the guard: everything lies under the secret `key`."""

    def known(work: Callable[[Request], Any]) -> Callable[[Request], Any]:
        async def answer(request: Request) -> Response:
            if not same(request.path_params["key"], key):
                return Response(NO_PAGE, 404, media_type="text/plain")
            made: Response = await work(request)
            return made

        return answer

    async def page(_: Request) -> Response:
        return Response(page_html(title, token), media_type="text/html")

    async def file(request: Request) -> Response:
        name = request.path_params["name"]
        if name not in FILES:
            return Response(NO_PAGE, 404, media_type="text/plain")
        return Response(await run_in_threadpool(file_body, name), media_type=FILES[name])

    async def stream(_: Request) -> Response:
        return StreamingResponse(events(state), media_type="text/event-stream")

    async def body(request: Request) -> Response:
        name = request.path_params["name"]
        found = state.body(name)
        if found is None:
            return Response("not there yet", 404, media_type="text/plain")
        drawing = name.startswith("drawing-")
        return Response(found, media_type="image/svg+xml" if drawing else "application/json")

    def asked(
        read: Callable[[Any], Given], work: Callable[[Given], dict[str, Any]]
    ) -> Callable[[Request], Any]:
        async def answer(request: Request) -> Response:
            try:
                given = read(await body_of(request))
            except BadRequestError as error:
                return _problem(400, str(error))
            return await _done(lambda: work(given))

        return answer

    change = asked(request_from, lambda one: editor.change(one.key, one.given, one.sitting))
    read = asked(request_from, lambda one: editor.preview(one.key, one.given))
    lines = asked(changes_from, editor.lines)
    keep = asked(name_from, editor.keep)
    come_back = asked(name_from, editor.come_back)

    async def undo(_: Request) -> Response:
        return await _done(editor.undo)

    async def redo(_: Request) -> Response:
        return await _done(editor.redo)

    async def nothing(_: Request) -> Response:
        return Response(NO_PAGE, 404, media_type="text/plain")

    routes = [
        Route("/{key}/", known(page)),
        Route("/{key}/file/{name}", known(file)),
        Route("/{key}/events", known(stream)),
        Route("/{key}/body/{name}", known(body)),
        Route("/{key}/change", known(change), methods=["POST"]),
        Route("/{key}/read", known(read), methods=["POST"]),
        Route("/{key}/lines", known(lines), methods=["POST"]),
        Route("/{key}/undo", known(undo), methods=["POST"]),
        Route("/{key}/redo", known(redo), methods=["POST"]),
        Route("/{key}/keep", known(keep), methods=["POST"]),
        Route("/{key}/come-back", known(come_back), methods=["POST"]),
        Route("/{rest:path}", nothing),
    ]
    made = Starlette(routes=routes)
    made.router.redirect_slashes = False
    return made


async def _done(work: Callable[[], dict[str, Any]]) -> Response:
    """Do what was asked, not on the server's own thread; a refusal is an answer as well."""
    try:
        return _told(await run_in_threadpool(work), 200)
    except GeomgenError as error:
        return _told(fields_of(error), 422)
    except Exception as error:  # noqa: BLE001 - a fault is told on the page, not dumped
        return _told(fields_of(FaultError.of(error)), 500)


def _problem(status: int, words: str) -> Response:
    return _told({"error": "refused", "problem": words}, status)


def _told(told: dict[str, Any], status: int) -> Response:
    """Return an answer in ASCII, which holds any text."""
    return Response(json.dumps(told), status, media_type="application/json")
