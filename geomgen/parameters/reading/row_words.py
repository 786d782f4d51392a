"""Which row of a list a refused key is of, as a builder counts: from 1, with the row's own name."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.refusal import ManyParametersError


def row_words(tables: Any, path: Path) -> str:
    """Return the rows of lists that a path goes through; nothing where there are none.

    >>> tables = {"frames": [{"name": "nose"}, {"name": "aft", "openings": [{}, {}]}]}
    >>> row_words(tables, ("frames", 1, "openings", 0, "width"))
    'no. 2 of frames, aft; no. 1 of openings'
    >>> row_words(tables, ("pod", "wall"))
    ''
    """
    found, here = [], tables
    for before, part in zip(("", *path), path, strict=False):
        try:
            here = here[part]
        except (KeyError, IndexError, TypeError):
            here = None
        if isinstance(part, int):
            name = here.get("name") if isinstance(here, dict) else None
            beside = f", {name}" if isinstance(name, str) else ""
            found.append(f"no. {part + 1} of {before}{beside}")
    return "; ".join(found)


@contextmanager
def rows_told(tables: Any) -> Iterator[None]:
    """Have what is refused inside tell its row by its number from 1 and its name."""
    try:
        yield
    except ManyParametersError as error:
        told = [_told(one, tables) for one in error.errors]
        raise ManyParametersError(told, error.untold) from error
    except ParameterError as error:
        raise _told(error, tables) from error


def _told(error: ParameterError, tables: Any) -> ParameterError:
    parts = error.key.split(".") if error.key else []
    row = row_words(tables, tuple(int(part) if part.isdigit() else part for part in parts))
    return ParameterError(
        error.problem,
        file=error.file,
        key=error.key,
        line=error.line,
        written=error.written,
        allowed=error.allowed,
        advice=error.advice,
        row=row,
    )
