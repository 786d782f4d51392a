"""The changes made in the page that can be taken back, and whether they still may be."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.editing.rewriting import rewritten, without
from geomgen.parameters.file_text.source_text import tables_of
from geomgen.parameters.reading.written_key import at, path_of
from geomgen.parameters.values.quantities import clipped

# So many changes can be taken back.
KEPT = 50


@dataclass(frozen=True)
class PageEdit:
    """A change: its key, the file's bytes before and the hash after, the values before and after.

    `former` is None where the key was left out; `former_said` is how it read all the same. `item`
    tells which item of a list was changed, `sitting` during which visit to the field.
    """

    key: str
    before: bytes
    after: str
    former: object
    former_said: str
    value: object
    item: object = None
    sitting: str = ""

    @property
    def words(self) -> str:
        """The change in words."""
        return f"{self.key}: {self.former_said} → {said(self.value)}"


class EditHistory:
    """The last changes, the newest last."""

    def __init__(self) -> None:
        self._edits: list[PageEdit] = []

    @property
    def last(self) -> PageEdit | None:
        """What is taken back next."""
        return self._edits[-1] if self._edits else None

    def add(self, edit: PageEdit) -> None:
        """Note a change; changes of one sitting at one field are one edit.

        Where the file was saved elsewhere between the two they stay two, so that each can tell
        whether the file is as it left it. A sitting that ends where it began leaves no edit.
        """
        last = self.last
        if last is None or not _goes_on(last, edit):
            self._edits = [*self._edits, edit][-KEPT:]
        elif edit.after == hash_of(last.before):
            self._edits.pop()
        else:
            self._edits[-1] = replace(last, after=edit.after, value=edit.value)

    def drop(self) -> None:
        """Forget the last change."""
        self._edits.pop()


def _goes_on(last: PageEdit, edit: PageEdit) -> bool:
    same = (last.key, last.sitting) == (edit.key, edit.sitting)
    return bool(edit.sitting) and same and hash_of(edit.before) == last.after


def hash_of(raw: bytes) -> str:
    """Return the hash of a file's bytes."""
    return hashlib.sha256(raw).hexdigest()


def said(value: object) -> str:
    """Return a value as it reads in a file.

    >>> said(True), said("4 mm")
    ('true', '4 mm')
    """
    return str(value).lower() if isinstance(value, bool) else str(value)


class ElsewhereError(ParameterError):
    """The value was changed in the file itself since: to take it back would lose that."""


def taken_back(edit: PageEdit) -> Callable[..., str]:
    """Return what puts the former value of one key back into a text that has changed since.

    It raises ElsewhereError where the key no longer says what was written there.
    """

    def change(text: str, known: dict[str, Any]) -> str:
        _check_own(edit, text, known)
        if edit.former is None:
            return without(text, edit.key, **known)
        return rewritten(text, {edit.key: edit.former}, **known)

    return change


def item_at(tables: dict[str, Any], key: str) -> object:
    """Return what tells an item of a list: its name, else all in it but the key; None if no item.

    >>> item_at({"scoops": [{"name": "cheek", "width": "4 in"}]}, "scoops.0.width")
    'cheek'
    """
    path, _ = path_of(key, tables, tables)
    numbers = [i for i, part in enumerate(path) if isinstance(part, int)]
    if not numbers:
        return None
    item = at(tables, path[: numbers[-1] + 1])
    if not isinstance(item, dict):
        return len(at(tables, path[: numbers[-1]]) or ())
    return item.get("name") or {name: value for name, value in item.items() if name != path[-1]}


def _check_own(edit: PageEdit, text: str, known: dict[str, Any]) -> None:
    tables = tables_of(text, Path(str(known.get("file", ""))))
    present = _value(tables, edit.key)
    moved = edit.item is not None and (present is None or item_at(tables, edit.key) != edit.item)
    if present == edit.value and type(present) is type(edit.value) and not moved:
        return
    raise ElsewhereError(
        "was changed in the file itself since: undo would lose that",
        file=known.get("file") or None,
        key=edit.key,
        written="nothing" if present is None else clipped(present),
        advice=f"to have {edit.former_said} again, write it into the field",
    )


def _value(tables: dict[str, Any], key: str) -> Any:
    try:
        path, _ = path_of(key, tables, {})
    except ParameterError:
        return None
    value = at(tables, path)
    return value.get("value") if isinstance(value, dict) else value
