"""Cases of one kind: a few in the default run; the further ones, which fail with them, are long."""

from collections.abc import Iterable
from typing import Any

import pytest


def few(cases: Iterable[Any], *kept: int, rows: bool = False) -> list[Any]:
    """Return cases for `parametrize`, all but those `kept` (places; the first) marked long.

    With `rows` each case is a row of several values. What is marked already stays as it is.
    """
    return [
        case if i in (kept or (0,)) or hasattr(case, "marks") else _long(case, rows)
        for i, case in enumerate(cases)
    ]


def _long(case: Any, rows: bool) -> Any:
    return pytest.param(*(case if rows else (case,)), marks=pytest.mark.long)
