"""The server asked with a raw client (http.client of the standard library), as an attacker would.

Sources: Fetch (Origin), Fetch Metadata (Sec-Fetch-Site), Content Security Policy 3 (W3C); HTML
Living Standard 9.2 (server-sent events).
"""

import http.client
import json
import logging
import socket
import threading
import time
from contextlib import contextmanager

import pytest

from geomgen.errors import FileWriteError, ParameterError
from geomgen.watching.live_page.page_state import PageState
from geomgen.watching.live_page.server import PageServer, listening


class Editor:
    """Remembers what was asked of it."""

    def __init__(self):
        self.asked = []

    def preview(self, key, given):
        self.asked.append(("preview", key, given))
        return {"key": key, "written": str(given), "reads": ""}

    def change(self, key, given, sitting=""):
        self.asked.append((key, given, sitting) if sitting else (key, given))
        if key == "refused":
            raise ParameterError("out of range", key=key, allowed="from 1 mm to 2 mm")
        if key == "fault":
            raise ZeroDivisionError("by nought")
        return {"key": key, "written": str(given), "undo": ""}

    def undo(self):
        self.asked.append("undo")
        return {"key": "a", "written": "", "undo": ""}

    def redo(self):
        self.asked.append("redo")
        return {"key": "a", "written": "", "undo": ""}

    def keep(self, name):
        self.asked.append(("keep", name))
        return {"name": name}

    def come_back(self, name):
        self.asked.append(("come back", name))
        return {"name": name, "changed": True, "undo": ""}

    def lines(self, changes):
        self.asked.append(("lines", changes))
        return {"pod": {}}


@contextmanager
def serving():
    state, editor = PageState(), Editor()
    state.put("status", {"revision": 1})
    state.keep({"model": b"{}", "drawing-1-0": b"<svg/>"})
    server = PageServer(state, editor, 'a "file" <b>.toml')
    server.start()
    yield server, state, editor
    server.stop()


@pytest.fixture(scope="module")
def shared():
    with serving() as made:
        yield made


@pytest.fixture
def served(shared):
    """Give a server whose editor was not asked yet."""
    shared[2].asked.clear()
    return shared


@pytest.fixture
def own():
    """Give a server of the test's own."""
    with serving() as made:
        yield made


def ask(server, path, method="GET", body=None, headers=(), own=True):
    """Return status, headers and body; `headers` replace those that the page's browser sends."""
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    sent = {"Host": f"127.0.0.1:{server.port}"} if own else {}
    sent |= dict(headers)
    line.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
    for name, value in sent.items():
        for one in value if isinstance(value, list) else [value]:
            if one is not None:
                line.putheader(name, one)
    line.endheaders(body)
    answer = line.getresponse()
    found = answer.status, dict(answer.getheaders()), answer.read()
    line.close()
    return found


def change(server, given=None, body=None, **replaced):
    """Send a change as the page does, with some headers replaced (None leaves one out)."""
    raw = json.dumps(given or {"key": "pod.wall", "value": 5}).encode() if body is None else body
    headers = {
        "Origin": f"http://127.0.0.1:{server.port}",
        "Sec-Fetch-Site": "same-origin",
        "Content-Type": "application/json",
        "Content-Length": str(len(raw)),
        "X-Geomgen-Token": server.token,
    }
    headers |= {name.replace("_", "-"): value for name, value in replaced.items()}
    return ask(server, f"/{server.key}/change", "POST", raw, headers)


def test_the_page_and_its_files_are_handed_out_with_all_guards(served):
    server, _, _ = served
    for name in ("", "file/live.css", "file/live.js", "body/model", "body/drawing-1-0"):
        status, headers, body = ask(server, f"/{server.key}/{name}")
        assert status == 200
        assert body
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["x-frame-options"] == "DENY"
        assert headers["cache-control"] == "no-store"
        policy = headers["content-security-policy"]
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert not any(name.startswith("access-control") for name in headers)
    _, _, page = ask(server, f"/{server.key}/")
    assert b"&lt;b&gt;" in page
    assert server.token.encode() in page
    assert server.key.encode() not in page
    assert server.address == f"http://127.0.0.1:{server.port}/{server.key}/"


def test_it_listens_on_this_machine_only(served):
    server, _, _ = served
    others = {row[4][0] for row in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in others - {"127.0.0.1", "127.0.1.1"}:
        with pytest.raises(OSError, match=r"refused|timed out|unreachable"):
            socket.create_connection((address, server.port), 1).close()
    assert server._socket.getsockname()[0] == "127.0.0.1"


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "evil.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        "0.0.0.0:{port}",
        "[::1]:{port}",
        "127.0.0.1:{port}.evil.example",
        "user@127.0.0.1:{port}",
        "",
    ],
)
def test_a_foreign_name_is_refused(served, host):
    """A name that was pointed at this machine (DNS rebinding) shows in the Host header."""
    server, _, editor = served
    named = host.format(port=server.port)
    status, _, body = ask(server, f"/{server.key}/", headers={"Host": named})
    assert status in (400, 421)
    assert server.token.encode() not in body
    status, _, _ = change(server, Host=named, Origin=f"http://{named}")
    assert status in (400, 421)
    assert editor.asked == []


def test_two_names_or_none_are_refused(served):
    server, _, _ = served
    both = [f"127.0.0.1:{server.port}", "evil.example"]
    assert ask(server, f"/{server.key}/", headers={"Host": both})[0] in (400, 421)
    assert ask(server, f"/{server.key}/", own=False)[0] in (400, 421)


def test_localhost_is_the_same_machine(served):
    server, _, editor = served
    named = f"localhost:{server.port}"
    assert ask(server, f"/{server.key}/", headers={"Host": named})[0] == 200
    assert change(server, Host=named, Origin=f"http://{named}")[0] == 200
    # But one is not the other: a page of one must not change through the other.
    assert change(server, Host=named)[0] == 403
    assert editor.asked == [("pod.wall", 5)]


@pytest.mark.parametrize("site", ["cross-site", "same-site", "odd", ["same-origin", "cross-site"]])
def test_another_page_is_refused(served, site):
    server, _, editor = served
    for path in ("", "events", "body/model"):
        assert ask(server, f"/{server.key}/{path}", headers={"Sec-Fetch-Site": site})[0] == 403
    assert change(server, Sec_Fetch_Site=site)[0] == 403
    assert editor.asked == []


@pytest.mark.parametrize(
    "origin", ["https://evil.example", "null", "http://127.0.0.1", "http://127.0.0.1:1", ""]
)
def test_a_foreign_origin_is_refused(served, origin):
    server, _, editor = served
    assert change(server, Origin=origin)[0] == 403
    assert ask(server, f"/{server.key}/events", headers={"Origin": origin})[0] == 403
    assert editor.asked == []


def test_a_change_needs_origin_token_kind_and_length(served):
    server, _, editor = served
    assert change(server, Origin=None)[0] == 403
    assert change(server, X_Geomgen_Token=None)[0] == 403
    assert change(server, X_Geomgen_Token="")[0] == 403
    assert change(server, X_Geomgen_Token=server.token[:-1] + "?")[0] == 403
    assert change(server, X_Geomgen_Token=[server.token, "x"])[0] == 403
    assert change(server, X_Geomgen_Token=server.key)[0] == 403
    # What a form can send without asking first.
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data", None):
        assert change(server, Content_Type=kind)[0] == 415
    assert change(server, Content_Length=None, body=b"")[0] == 411
    chunked = {"Content_Length": None, "Transfer_Encoding": "chunked"}
    assert change(server, body=b"2\r\n{}\r\n0\r\n\r\n", **chunked)[0] == 411
    assert change(server, Transfer_Encoding="chunked")[0] in (400, 411)
    assert editor.asked == []
    assert change(server)[0] == 200
    assert editor.asked == [("pod.wall", 5)]


def test_a_huge_body_is_refused_before_it_is_read(served):
    server, _, editor = served
    assert change(server, body=b"", Content_Length=str(10**9))[0] == 413
    assert change(server, body=b"", Content_Length="9" * 300)[0] in (400, 413)
    big = {"key": "a", "value": "x" * 5000}
    assert change(server, big)[0] == 413
    assert editor.asked == []


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"not json",
        b"[1]",
        b'{"key": 1, "value": 2}',
        b'{"key": "a"}',
        b'{"key": "a", "value": 1, "more": 2}',
        b'{"key": "a", "value": 1, "sitting": 2}',
        b'{"key": "a", "value": 1, "sitting": "' + b"x" * 81 + b'"}',
        b'{"key": "a", "value": 1, "sitting": "\\ud800"}',
        b"[" * 4000,
        b'{"key": "\\ud800", "value": 1}',
        b'{"key": "pod.wall", "value": "\\udfff mm"}',
        b"\xff\xfe",
    ],
)
def test_what_is_no_change_is_refused(served, body):
    server, _, editor = served
    assert change(server, body=body)[0] == 400
    assert editor.asked == []


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "PATCH", "TRACE", "CONNECT", "XX"])
def test_odd_methods_are_refused(served, method):
    server, _, editor = served
    status, headers, _ = ask(server, f"/{server.key}/change", method)
    assert status in (400, 405)
    assert not any(name.startswith("access-control") for name in headers)
    assert ask(server, f"/{server.key}/change")[0] == 404
    assert editor.asked == []


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/x/",
        "/{short}/",
        "/{key}x/",
        "/{key}",
        "//{key}/",
        "/{key}/file/../../../../etc/passwd",
        "/{key}/file/..%2f..%2fguard.py",
        "/{key}/file/%2fetc%2fpasswd",
        "/{key}/file/live.html.j2",
        "/{key}/file/",
        "/{key}/body/status",
        "/{key}/body/..%2fmodel",
        "/%E9/",
        "/x/events",
        "/x/file/live.css",
        "/x/body/model",
    ],
)
def test_nothing_lies_outside_the_secret_path_and_no_file_is_found_by_a_path(served, path):
    server, _, _ = served
    status, _, body = ask(server, path.format(key=server.key, short=server.key[:-1]))
    assert status == 404
    assert len(body) < 100


def test_a_change_under_another_path_is_refused(served):
    server, _, editor = served
    headers = {
        "Origin": f"http://127.0.0.1:{server.port}",
        "Content-Type": "application/json",
        "Content-Length": "2",
        "X-Geomgen-Token": server.token,
    }
    assert ask(server, "/x/change", "POST", b"{}", headers)[0] == 404
    assert editor.asked == []


def test_refusals_and_faults_are_answers(served):
    server, _, _ = served
    status, _, body = change(server, {"key": "refused", "value": 1})
    assert status == 422
    assert json.loads(body)["allowed"] == "from 1 mm to 2 mm"
    status, _, body = change(server, {"key": "fault", "value": 1})
    assert status == 500
    assert json.loads(body)["problem"].endswith("(ZeroDivisionError: by nought)")
    assert b"Traceback" not in body


def test_undo(served):
    server, _, editor = served
    headers = {
        "Origin": f"http://127.0.0.1:{server.port}",
        "Content-Type": "application/json",
        "Content-Length": "2",
        "X-Geomgen-Token": server.token,
    }
    assert ask(server, f"/{server.key}/undo", "POST", b"{}", headers)[0] == 200
    assert editor.asked == ["undo"]


def test_what_was_typed_is_read_without_being_written(served):
    server, _, editor = served
    raw = b'{"key": "pod.wall", "value": "5 mm"}'
    headers = {
        "Origin": f"http://127.0.0.1:{server.port}",
        "Content-Type": "application/json",
        "Content-Length": str(len(raw)),
    }
    assert ask(server, f"/{server.key}/read", "POST", raw, headers)[0] == 403
    assert editor.asked == []
    headers["X-Geomgen-Token"] = server.token
    status, _, body = ask(server, f"/{server.key}/read", "POST", raw, headers)
    assert (status, json.loads(body)["written"]) == (200, "5 mm")
    assert editor.asked == [("preview", "pod.wall", "5 mm")]
    headers["Content-Length"] = "2"
    assert ask(server, f"/{server.key}/read", "POST", b"{}", headers)[0] == 400


def test_a_sitting_is_passed_on(served):
    server, _, editor = served
    assert change(server, {"key": "a", "value": "5 mm", "sitting": "s1"})[0] == 200
    assert editor.asked == [("a", "5 mm", "s1")]


@contextmanager
def stream(server):
    """Give a stream of events, as an iterator of name and text."""
    line = socket.create_connection(("127.0.0.1", server.port), 5)
    head = f"GET /{server.key}/events HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n"
    line.sendall(head.encode())
    file = line.makefile("r", encoding="utf-8", newline="\n")

    def rows():
        name = ""
        for row in file:
            if row.startswith("event: "):
                name = row[7:].strip()
            elif row.startswith("data: "):
                yield name, row[6:].strip()

    yield rows()
    file.close()
    line.close()


def test_a_stream_begins_with_the_whole_state_and_goes_on_with_what_is_new(own):
    server, state, _ = own
    state.put("verdict", {"sentence": "x\ny"})
    with stream(server) as rows:
        assert [next(rows), next(rows)] == [
            ("status", '{"revision":1}'),
            ("verdict", '{"sentence":"x\\ny"}'),
        ]
        state.put("status", {"revision": 2})
        assert next(rows) == ("status", '{"revision":2}')


def test_ten_readers_come_and_go(own):
    server, state, _ = own
    found = []

    def read():
        with stream(server) as rows:
            for name, text in rows:
                if name == "status" and json.loads(text)["revision"] == 9:
                    found.append(text)
                    return

    readers = [threading.Thread(target=read) for _ in range(10)]
    for reader in readers:
        reader.start()
    end = time.monotonic() + 5
    while state.readers < 10 and time.monotonic() < end:
        time.sleep(0.01)
    assert state.readers == 10
    for revision in range(2, 10):
        state.put("status", {"revision": revision})
    for reader in readers:
        reader.join(5)
    assert len(found) == 10
    while state.readers and time.monotonic() < end:
        time.sleep(0.01)
    assert state.readers == 0


def test_the_end_is_told_and_comes_at_once(own):
    server, _, _ = own
    with stream(server) as rows:
        next(rows)
        started = time.monotonic()
        server.stop()
        assert next(rows)[0] == "ended"
        assert time.monotonic() - started < 2
    with pytest.raises(OSError, match="refused"):
        socket.create_connection(("127.0.0.1", server.port), 1)


def test_a_port_in_use():
    first = listening(None)
    taken = first.getsockname()[1]
    second = listening(None)
    assert second.getsockname()[1] != taken
    with pytest.raises(FileWriteError, match="in use") as caught:
        listening(taken)
    assert caught.value.exit_code == 4
    assert f"127.0.0.1:{taken}" in str(caught.value)
    first.close()
    second.close()


def test_what_a_browser_breaks_off_is_not_for_the_terminal(served):
    """With no handler of its own, logging would print tracebacks as a last resort."""
    assert not logging.getLogger("uvicorn.error").isEnabledFor(logging.CRITICAL)


def test_two_runs_share_no_secret(served):
    server, state, editor = served
    other = PageServer(state, editor, "b.toml")
    assert len({server.key, server.token, other.key, other.token}) == 4
    assert min(len(key) for key in (other.key, other.token)) >= 32
    other.stop()


POSTED = {
    "redo": ({}, "redo"),
    "keep": ({"name": "longer nose"}, ("keep", "longer nose")),
    "come-back": ({"name": "longer nose"}, ("come back", "longer nose")),
    "lines": ({"changes": {"pod.wall": "5 mm"}}, ("lines", {"pod.wall": "5 mm"})),
}


def posted(server, path, given, **replaced):
    raw = json.dumps(given).encode()
    headers = {
        "Origin": f"http://127.0.0.1:{server.port}",
        "Content-Type": "application/json",
        "Content-Length": str(len(raw)),
        "X-Geomgen-Token": server.token,
    }
    headers |= {name.replace("_", "-"): value for name, value in replaced.items()}
    return ask(server, f"/{server.key}/{path}", "POST", raw, headers)[0]


@pytest.mark.parametrize("path", POSTED)
def test_all_that_is_posted_is_guarded_as_a_change_is(served, path):
    server, _, editor = served
    given, asked = POSTED[path]
    assert posted(server, path, given) == 200
    assert editor.asked == [asked]
    assert posted(server, path, given, Origin="https://evil.example") == 403
    assert posted(server, path, given, X_Geomgen_Token="x") == 403
    assert posted(server, path, given, Host="evil.example") == 421
    assert ask(server, f"/{server.key}/{path}")[0] == 404
    assert len(editor.asked) == 1


@pytest.mark.parametrize(
    ("path", "given"),
    [
        ("keep", {}),
        ("keep", {"name": 1}),
        ("keep", {"name": "a", "more": 1}),
        ("come-back", {"name": "\ud800"}),
        ("lines", {"changes": []}),
        ("lines", {"changes": {"a": 1}}),
        ("lines", {"changes": {str(i): "" for i in range(21)}}),
    ],
)
def test_what_is_no_state_and_no_lines_is_refused(served, path, given):
    assert posted(served[0], path, given) == 400
    assert served[2].asked == []
