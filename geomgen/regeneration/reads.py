"""What a builder reads of the parameters, noted while it reads: its part of the fingerprint.

A builder gets a view of the records instead of the records. Whatever it asks for is handed on and
noted by its path, so that no one has to list by hand what a part depends on, and no one can forget
to. The same values at the same paths lead to the same reads, and so to the same part.
"""

from collections.abc import Iterator, Mapping
from typing import Any

Key = str | int
Path = tuple[Key, ...]
LENGTH, KIND = "#", "?"


class Reads:
    """The reads of one builder: texts that stand for the values, by path."""

    def __init__(self) -> None:
        self.seen: dict[Path, str] = {}

    def note(self, path: Path, text: str) -> None:
        """Note that the value at a path was read."""
        self.seen[path] = text

    def paths(self) -> list[Path]:
        """Return the paths that were read, sorted."""
        return sorted(self.seen, key=lambda path: [(str(type(key)), key) for key in path])


def viewed(record: Any, reads: Reads) -> Any:
    """Return a view of a record; what is read through it is noted in `reads`.

    >>> from geomgen.parameters.records.conditions import Output
    >>> reads = Reads()
    >>> viewed(Output(), reads).mesh_tolerance
    0.1
    >>> reads.seen
    {('?',): 'Output', ('mesh_tolerance',): '0.1'}
    """
    return _shown(record, reads, ())


def text_at(record: Any, path: Path) -> str:
    """Return the text of the value at a path of a record, as a view would note it.

    >>> from geomgen.parameters.records.conditions import Output
    >>> text_at(Output(), ("mesh_tolerance",)), text_at(Output(), ("gone", 3))
    ('0.1', 'nothing there')
    """
    at = record
    for key in path:
        try:
            if key == LENGTH:
                return str(len(at))
            if key == KIND:
                return type(at).__name__
            at = getattr(at, key) if isinstance(key, str) and _is_record(at) else at[key]
        except (AttributeError, KeyError, IndexError, TypeError):
            return "nothing there"
    return _text(at)


def _is_record(value: Any) -> bool:
    return hasattr(type(value), "model_fields")


def _is_rows(value: Any) -> bool:
    return isinstance(value, tuple) and any(_is_record(item) for item in value)


def _text(value: Any) -> str:
    if _is_record(value):
        return type(value).__name__
    return f"{len(value)} rows" if _is_rows(value) else repr(value)


def _shown(value: Any, reads: Reads, path: Path) -> Any:
    if _is_record(value):
        reads.note((*path, KIND), type(value).__name__)
        return _Record(value, reads, path)
    if _is_rows(value):
        return _Rows(value, reads, path)
    if isinstance(value, Mapping):
        return _Table(value, reads, path)
    if callable(value):
        raise AttributeError(f"{path[-1]} can't be read through a view")
    reads.note(path, repr(value))
    return value


class _Record:
    """A record whose attributes are noted when they are read."""

    __slots__ = ("_path", "_reads", "_value")

    def __init__(self, value: Any, reads: Reads, path: Path) -> None:
        self._value, self._reads, self._path = value, reads, path

    def __getattr__(self, name: str) -> Any:
        return _shown(getattr(self._value, name), self._reads, (*self._path, name))


class _Rows:
    """A list of records; its length is noted when it is asked for or walked through."""

    __slots__ = ("_path", "_reads", "_value")

    def __init__(self, value: tuple[Any, ...], reads: Reads, path: Path) -> None:
        self._value, self._reads, self._path = value, reads, path

    def __len__(self) -> int:
        self._reads.note((*self._path, LENGTH), str(len(self._value)))
        return len(self._value)

    def __getitem__(self, index: int | slice) -> Any:
        if isinstance(index, slice):
            return tuple(self[i] for i in range(*index.indices(len(self))))
        place = index + len(self) if index < 0 else index
        return _shown(self._value[place], self._reads, (*self._path, place))

    def __iter__(self) -> Iterator[Any]:
        return (self[i] for i in range(len(self)))


class _Table:
    """A mapping whose values are noted when they are looked up; it can't be walked through."""

    __slots__ = ("_path", "_reads", "_value")

    def __init__(self, value: Mapping[str, Any], reads: Reads, path: Path) -> None:
        self._value, self._reads, self._path = value, reads, path

    def __getitem__(self, name: str) -> Any:
        return _shown(self._value[name], self._reads, (*self._path, name))
