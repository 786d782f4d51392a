"""What a page asks for: a value for a key, read out of the body of a request."""

import asyncio
import json
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request

BODY_SECONDS = 5.0
# The longest name that a page may give to one sitting at a field.
SITTING = 80


class BadRequestError(Exception):
    """The body is nothing that a page asks; the words are for the page."""


@dataclass(frozen=True)
class EditRequest:
    """A key, what was typed for it, and during which sitting at its field."""

    key: str
    given: object
    sitting: str


async def read_request(request: Request) -> EditRequest:
    """Return what a request asks; BadRequestError for a body of any other form."""
    try:
        given = json.loads(await asyncio.wait_for(request.body(), BODY_SECONDS))
    except (ValueError, RecursionError, TimeoutError):
        given = None
    return request_from(given)


def request_from(given: Any) -> EditRequest:
    """Return what the JSON of a body asks; BadRequestError for any other form.

    >>> request_from({"key": "pod.wall", "value": "5 mm"})
    EditRequest(key='pod.wall', given='5 mm', sitting='')
    """
    if not isinstance(given, dict) or not {"key", "value"} <= set(given) <= {
        "key",
        "value",
        "sitting",
    }:
        raise BadRequestError("a change is a key and a value")
    key, value, sitting = given["key"], given["value"], given.get("sitting", "")
    if not isinstance(key, str) or not encodes(key, value, sitting):
        raise BadRequestError("a key and its value are text that can be written")
    if not isinstance(sitting, str) or len(sitting) > SITTING:
        raise BadRequestError(f"a sitting is named by at most {SITTING} characters")
    return EditRequest(key, value, sitting)


def encodes(*given: object) -> bool:
    r"""Say whether texts have no lone surrogates, which no file can hold.

    >>> encodes("5 mm", 3), encodes("\ud800")
    (True, False)
    """
    try:
        "".join(text for text in given if isinstance(text, str)).encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
