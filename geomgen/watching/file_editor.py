"""Changes made in the live page, written into the parameter file: checked first, then whole."""

import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.editing.field_list import DEFAULT, Field, fields_of, value_for
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.editing.typed_values import reading_of, typed
from geomgen.parameters.file_text.source_text import tables_of
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.loading import records_of
from geomgen.parameters.reading.overrides import apply
from geomgen.parameters.reading.refusal import SET, Origins
from geomgen.watching.named_states import NamedStates
from geomgen.watching.undo import (
    WHOLE,
    EditHistory,
    ElsewhereError,
    PageEdit,
    UndoneEdit,
    hash_of,
    item_at,
    put_again,
    said,
    taken_back,
)
from geomgen.watching.writing import FileWriter

REFUSED_NOW = "the file as saved is refused, so nothing more is written into it"
RIGHT_FIRST = "put right in the file what the page and the terminal say of it"
UNDO_FIRST = "nothing was changed in the page yet"
REDO_FIRST = "nothing was taken back in the page"


class ParameterFileEditor:
    """Changes one parameter file; safe for threads. `changed` is called after each change."""

    def __init__(
        self, file: Path, overrides: Sequence[str] = (), changed: Callable[[], None] | None = None
    ) -> None:
        self._file, self._overrides = file, tuple(overrides)
        self._changed = changed or (lambda: None)
        self._lock = threading.Lock()
        self._edits = EditHistory()
        self._writer = FileWriter(file, overrides)
        self._states = NamedStates(file)

    def fields(self) -> tuple[Field, ...]:
        """Return the fields of the file as it stands; ParameterError when it is refused."""
        return self._read()[0]

    def _read(self) -> tuple[tuple[Field, ...], dict[str, Any], Origins]:
        tables, origins = read_with_bases(self._file)
        apply(tables, origins, list(self._overrides))
        p = records_of(tables, origins, self._file.parent)
        return fields_of(p, tables, origins), tables, origins

    @property
    def last(self) -> str:
        """What `undo` would take back, in words; empty when there is nothing."""
        return self._edits.last.words if self._edits.last else ""

    @property
    def history(self) -> dict[str, Any]:
        """What can be taken back and made again, how many changes each; the names of states."""
        back, again = self._edits.depth
        undone = self._edits.undone
        told = {"undo": self.last, "redo": undone.edit.words if undone else ""}
        return {**told, "undo_depth": back, "redo_depth": again, "states": self._states.names()}

    def preview(self, key: str, given: object) -> dict[str, Any]:
        """Return how what was typed would stand in the file, and what it comes to.

        ParameterError when this key may not have it; what only the whole file can tell is told by
        `change`.
        """
        field, value, reads = self._typed(key, given)
        return {"key": field.key, "written": said(value), "reads": reads}

    def change(self, key: str, given: object, sitting: str = "") -> dict[str, Any]:
        """Write what was typed in a field into the file; return what now stands there.

        The whole file is read and checked with the change before it is written. Changes of one
        `sitting` at a field are taken back together. ParameterError when it is refused,
        FileWriteError when it can't be written; the file then is as it was.
        """
        with self._lock:
            field, value, reads = self._typed(key, given)
            done = self._writer.write(lambda text, known: rewritten(text, {key: value}, **known))
            if done is not None:
                before, after, text = done
                former = self._as_written(field)
                item = item_at(tables_of(text, self._file), key)
                edit = PageEdit(key, before, after, former, field.written, value, item, sitting)
                self._edits.add(edit)
        self._changed()
        told = {"key": key, "written": said(value), "reads": reads, "former": field.written}
        return {**told, "changed": done is not None, "undo": self.last}

    def undo(self) -> dict[str, Any]:
        """Take the last change back: byte for byte where the file was not touched since.

        Where it was, only the change's own key is put back; ElsewhereError where that key was
        changed in the file itself. Such an edit is forgotten: what stands in the file counts.
        """
        try:
            with self._lock:
                last = self._edits.last
                if last is None:
                    raise ParameterError(UNDO_FIRST)
                raw = self._writer.raw()
                alone = self._put_back(last, raw)
                self._edits.took_back(raw, hash_of(self._writer.raw()))
        finally:
            self._changed()
        told = {"key": last.key, "written": last.former_said, "undo": self.last}
        return {**told, "elsewhere": not alone}

    def redo(self) -> dict[str, Any]:
        """Make the change again that was taken back last, in the same way as `undo`."""
        try:
            with self._lock:
                undone = self._edits.undone
                if undone is None:
                    raise ParameterError(REDO_FIRST)
                raw = self._writer.raw()
                alone = self._put_again(undone, raw)
                self._edits.made_again(raw, hash_of(self._writer.raw()))
        finally:
            self._changed()
        edit = undone.edit
        told = {"key": edit.key, "written": said(edit.value), "undo": self.last}
        return {**told, "elsewhere": not alone}

    def keep(self, name: str) -> dict[str, Any]:
        """Keep the file as it stands under a name; a name that is taken is refused."""
        with self._lock:
            self._states.keep(name, self._writer.raw())
        self._changed()
        return {"name": name}

    def come_back(self, name: str) -> dict[str, Any]:
        """Make the file what it was under a name; it is checked first, and can be taken back.

        ParameterError for a name that is not there and for a state that is refused by now.
        """
        with self._lock:
            body, raw = self._states.body(name), self._writer.raw()
            changed = body != raw
            if changed:
                if not self._writer.put(body, raw):
                    raise ParameterError("the file was saved meanwhile", advice="try again")
                self._edits.add(PageEdit(WHOLE, raw, hash_of(body), None, "", name))
        self._changed()
        return {"name": name, "changed": changed, "undo": self.last}

    def lines(self, changes: Mapping[str, str]) -> dict[str, Any]:
        """Return the lines of the file's bodies with changes that are not written (`lines_plan`).

        ParameterError, GeometryError for changes that can't be.
        """
        from geomgen.watching.lines_plan import asked_lines

        self._writer.rest()
        return asked_lines(self._file, self._overrides, changes)

    def _put_back(self, last: PageEdit, raw: bytes) -> bool:
        """Undo an edit; say whether nothing else was in the file since."""
        if hash_of(raw) == last.after and self._writer.put(last.before, raw):
            return True
        try:
            self._writer.write(taken_back(last))
        except ElsewhereError:
            self._edits.drop()
            raise
        return False

    def _put_again(self, undone: UndoneEdit, raw: bytes) -> bool:
        if hash_of(raw) == undone.since and self._writer.put(undone.before, raw):
            return True
        try:
            self._writer.write(put_again(undone.edit))
        except ElsewhereError:
            self._edits.drop_undone()
            raise
        return False

    def _typed(self, key: str, given: object) -> tuple[Field, object, str]:
        """Return the field, the value to write for what was typed, and what that comes to."""
        self._writer.rest()
        try:
            fields, tables, origins = self._read()
        except ParameterError as error:
            raise ParameterError(REFUSED_NOW, key=key[:200], advice=RIGHT_FIRST) from error
        field = next((field for field in fields if field.key == key), None)
        if field is None:
            raise ParameterError("there is no such field", key=key[:200])
        if field.file == SET:
            raise ParameterError(
                "set on the command line, which overrules the file",
                key=key,
                advice="start geomgen watch again without that --set",
            )
        value = typed(field, given)
        return field, value, reading_of(field, value, tables, origins)

    def _as_written(self, field: Field) -> object:
        """Return the former value as the file holds it, None where it is left out.

        A change inside a list that only a base file has copies the list: then the base's value.
        """
        copied = any(part.isdigit() for part in field.key.split(".")) and field.file != DEFAULT
        if field.file != self._file.name and not copied:
            return None
        if field.kind == "number":
            return field.written if field.unit else _plain(field)
        return value_for(field, field.number if field.kind == "whole" else field.written)


def _plain(field: Field) -> object:
    return field.number if "%" not in field.written else field.written
