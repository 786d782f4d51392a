"""The changes made in the page that can be taken back and made again, and whether they may be."""

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

# So many changes can be taken back: more than a day's work, and files are some kilobytes each.
KEPT = 1000
# The key of a change of the whole file: a state with a name that was come back to.
WHOLE = ""


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
        if self.key == WHOLE:
            return f"back to the state {self.value}"
        return f"{self.key}: {self.former_said} → {said(self.value)}"


@dataclass(frozen=True)
class UndoneEdit:
    """A change that was taken back: the file's bytes before that, and its hash since."""

    edit: PageEdit
    before: bytes
    since: str


class EditHistory:
    """The last changes, the newest last, and those taken back since."""

    def __init__(self) -> None:
        self._edits: list[PageEdit] = []
        self._undone: list[UndoneEdit] = []

    @property
    def last(self) -> PageEdit | None:
        """What is taken back next."""
        return self._edits[-1] if self._edits else None

    @property
    def undone(self) -> UndoneEdit | None:
        """What is made again next."""
        return self._undone[-1] if self._undone else None

    @property
    def depth(self) -> tuple[int, int]:
        """How many changes can be taken back, and how many made again."""
        return len(self._edits), len(self._undone)

    def add(self, edit: PageEdit) -> None:
        """Note a change; changes of one sitting at one field are one edit.

        Where the file was saved elsewhere between the two they stay two, so that each can tell
        whether the file is as it left it. A sitting that ends where it began leaves no edit.
        """
        self._undone = []
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

    def took_back(self, before: bytes, since: str) -> None:
        """Note that the last change was taken back from a file of `before`; `since` is its hash."""
        self._undone.append(UndoneEdit(self._edits.pop(), before, since))

    def made_again(self, before: bytes, after: str) -> None:
        """Note that what was taken back last stands in the file again."""
        edit = self._undone.pop().edit
        # Another sitting at its field is a step of its own.
        self._edits.append(replace(edit, before=before, after=after, sitting=""))

    def drop_undone(self) -> None:
        """Forget what was taken back last."""
        self._undone.pop()


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
    """The value was changed in the file itself since: to put another there would lose that."""


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


def put_again(edit: PageEdit) -> Callable[..., str]:
    """Return what makes a change again in a text that has changed since it was taken back.

    It raises ElsewhereError where the key no longer says what it did before the change.
    """
    former = replace(edit, value=edit.former, former_said=said(edit.value))

    def change(text: str, known: dict[str, Any]) -> str:
        _check_own(former, text, known)
        return rewritten(text, {edit.key: edit.value}, **known)

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
    file = known.get("file") or None
    if edit.key == WHOLE:
        raise ElsewhereError(
            "the file was changed since: that would be lost", file=file, advice="keep it first"
        )
    tables = tables_of(text, Path(str(file or "")))
    present = _value(tables, edit.key)
    moved = edit.item is not None and (present is None or item_at(tables, edit.key) != edit.item)
    if present == edit.value and type(present) is type(edit.value) and not moved:
        return
    raise ElsewhereError(
        "was changed in the file itself since: undo would lose that",
        file=file,
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
