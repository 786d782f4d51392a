"""Where the keys that an error names stand: file and line, or that they were left out."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from geomgen.errors import GeometryError, Stand
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.written_key import at, inner
from geomgen.parameters.records.aircraft import Parameters

DEFAULT, ABSENT = "left to its default", "not in the file"


def stand_of(p: Parameters, key: str) -> Stand | None:
    """Return where a dotted key stands; None for words that are no key of a parameter file.

    Items of a list go by their number or by their name, as `--set` takes them.
    """
    return _stand(p, key, p.plain())


def _stand(p: Parameters, key: str, plain: dict[str, Any]) -> Stand | None:
    path = _path_of(key, plain)
    if path is None:
        return None
    file, line = p.lines.get(path, (None, None))
    if file is not None:
        return Stand(key, file, line)
    return Stand(key, note=ABSENT if at(plain, path) is None else DEFAULT)


def _path_of(key: str, plain: dict[str, Any]) -> Path | None:
    """Return the path of a key of a table, a list or a value."""
    path: Path = ()
    here: Any = plain
    for part in key.split("."):
        step: str | int = part
        if isinstance(here, list | tuple):
            names = [row.get("name") if isinstance(row, dict) else None for row in here]
            number = int(part) if part.isascii() and part.isdigit() and len(part) < 5 else None
            step = names.index(part) if part in names else -1 if number is None else number
            if not 0 <= int(step) < len(here):
                return None
        path = (*path, step)
        here = inner(here, step)
    return path if _known(path) else None


def _known(path: Path) -> bool:
    from geomgen.parameters.reading.refusal import keys_at

    heads = [path[:i] for i, part in enumerate(path) if isinstance(part, str)]
    return all(path[len(head)] in keys_at(head) for head in heads)


@contextmanager
def lines_told(p: Parameters) -> Iterator[None]:
    """Say in every GeometryError of a block where the keys to look at stand."""
    try:
        yield
    except GeometryError as error:
        if error.stands or not error.look_at:
            raise
        plain = p.plain()
        found = [_stand(p, key, plain) for key in error.look_at]
        raise error.standing([stand for stand in found if stand is not None]) from error
