"""What a page may ask for, as plain JSON; the server's tests send it over a line."""

import pytest

from geomgen.watching.live_page.edit_request import (
    SITTING,
    BadRequestError,
    EditRequest,
    request_from,
)


def test_a_key_a_value_and_a_sitting():
    given = {"key": "pod.wall", "value": "5 mm", "sitting": "s" * SITTING}
    assert request_from(given) == EditRequest("pod.wall", "5 mm", "s" * SITTING)
    assert request_from({"key": "pod.wall", "value": 5}) == EditRequest("pod.wall", 5, "")


@pytest.mark.parametrize(
    "given",
    [
        None,
        [1],
        "key",
        {"key": "a"},
        {"value": 1},
        {"key": 1, "value": 2},
        {"key": "a", "value": 1, "more": 2},
        {"key": "a", "value": 1, "sitting": None},
        {"key": "a", "value": 1, "sitting": "s" * (SITTING + 1)},
        {"key": "\ud800", "value": 1},
        {"key": "a", "value": "\udfff"},
        {"key": "a", "value": 1, "sitting": "\ud800"},
    ],
)
def test_any_other_form_is_refused(given):
    with pytest.raises(BadRequestError):
        request_from(given)
