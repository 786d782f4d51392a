"""What a page asks for, read out of the body of a request: a value for a key, lines, a state."""

import asyncio
import json
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request

BODY_SECONDS = 5.0
# The longest name that a page may give to one sitting at a field.
SITTING = 80
# So many values may differ in lines that are only asked for.
CHANGES = 20


class BadRequestError(Exception):
    """The body is nothing that a page asks; the words are for the page."""


@dataclass(frozen=True)
class EditRequest:
    """A key, what was typed for it, and during which sitting at its field."""

    key: str
    given: object
    sitting: str


async def body_of(request: Request) -> Any:
    """Return the JSON of a request's body, None for what is none."""
    try:
        return json.loads(await asyncio.wait_for(request.body(), BODY_SECONDS))
    except (ValueError, RecursionError, TimeoutError):
        return None


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


def changes_from(given: Any) -> dict[str, str]:
    """Return the changes that lines are asked for with, texts by key; BadRequestError if none.

    >>> changes_from({"changes": {"pod.stations.3.crown": "1.1 m"}})
    {'pod.stations.3.crown': '1.1 m'}
    """
    changes = given.get("changes") if isinstance(given, dict) and len(given) == 1 else None
    if not isinstance(changes, dict) or len(changes) > CHANGES:
        raise BadRequestError(f"lines are asked for with at most {CHANGES} changes")
    texts = [*changes, *changes.values()]
    if not all(isinstance(text, str) for text in texts) or not encodes(*texts):
        raise BadRequestError("a key and its value are text that can be written")
    return changes


def name_from(given: Any) -> str:
    """Return the name of a state; BadRequestError for a body of any other form.

    >>> name_from({"name": "longer nose"})
    'longer nose'
    """
    name = given.get("name") if isinstance(given, dict) and len(given) == 1 else None
    if not isinstance(name, str) or not encodes(name) or len(name) > SITTING:
        raise BadRequestError("a state is asked for by its name")
    return name


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
