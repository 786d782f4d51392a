"""Changes made in the live page, written into the parameter file: checked first, then whole."""

import hashlib
import os
import tempfile
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.errors import FileWriteError, ParameterError
from geomgen.files.disk import disk_errors, write_bytes
from geomgen.parameters import load
from geomgen.parameters.field_list import DEFAULT, Field, fields_of, value_for
from geomgen.parameters.inheritance import read_with_bases
from geomgen.parameters.overrides import apply
from geomgen.parameters.reading import records_of
from geomgen.parameters.refusal import SET, ManyParametersError
from geomgen.parameters.rewriting import rewritten, without
from geomgen.parameters.source_text import LARGEST, decoded, read_bytes

# So many changes can be taken back, and so often is a change tried on a file that moves meanwhile.
KEPT, TRIES = 50, 4
BOM = b"\xef\xbb\xbf"
UNDO_FIRST = "nothing was changed in the page yet"


@dataclass(frozen=True)
class _Done:
    """A change: its key, the file's bytes before and the hash after, the former value.

    The former value is None where the key was left out.
    """

    key: str
    before: bytes
    after: str
    former: object
    said: str


class FileDesk:
    """Changes one parameter file; safe for threads. `changed` is called after each change."""

    def __init__(
        self, file: Path, overrides: Sequence[str] = (), changed: Callable[[], None] | None = None
    ) -> None:
        self._file, self._overrides = file, tuple(overrides)
        self._changed = changed or (lambda: None)
        self._lock = threading.Lock()
        self._done: list[_Done] = []

    def fields(self) -> tuple[Field, ...]:
        """Return the fields of the file as it stands; ParameterError when it is refused."""
        tables, origins = read_with_bases(self._file)
        apply(tables, origins, list(self._overrides))
        return fields_of(records_of(tables, origins, self._file.parent), tables, origins)

    @property
    def last(self) -> str:
        """What `undo` would take back, in words; empty when there is nothing."""
        return self._done[-1].said if self._done else ""

    def change(self, key: str, given: object) -> dict[str, Any]:
        """Write a value of a field into the file; return what now stands there.

        The whole file is read and checked with the change before it is written. ParameterError
        when it is refused, FileWriteError when it can't be written; the file then is as it was.
        """
        with self._lock:
            field = next((field for field in self.fields() if field.key == key), None)
            if field is None:
                raise ParameterError("there is no such field", key=key[:200])
            if field.file == SET:
                raise ParameterError(
                    "set on the command line, which overrules the file",
                    key=key,
                    advice="start geomgen watch again without that --set",
                )
            value = value_for(field, given)
            done = self._write(lambda text, known: rewritten(text, {key: value}, **known))
            if done is not None:
                said = f"{key}: {field.written} → {_text(value)}"
                former = self._as_written(field)
                self._done = [*self._done, _Done(key, *done, former, said)][-KEPT:]
        self._changed()
        return {"key": key, "written": _text(value), "undo": self.last}

    def undo(self) -> dict[str, Any]:
        """Take the last change back: byte for byte where the file was not touched since."""
        with self._lock:
            if not self._done:
                raise ParameterError(UNDO_FIRST)
            last = self._done[-1]
            raw = read_bytes(self._file, LARGEST, "a parameter file")
            untouched = hashlib.sha256(raw).hexdigest() == last.after
            if not (untouched and self._put(last.before, raw)):
                self._write(lambda text, known: _former(text, last, known))
            self._done.pop()
        self._changed()
        return {"key": last.key, "written": "", "undo": self.last}

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

    def _write(self, change: Callable[..., str]) -> tuple[bytes, str] | None:
        """Change the file's text; return its bytes before and its hash after, None if the same.

        The file is read just before. When somebody saves it meanwhile, it is read again.
        """
        for _ in range(TRIES):
            raw = read_bytes(self._file, LARGEST, "a parameter file")
            tables, _ = read_with_bases(self._file)
            text = decoded(raw, self._file)
            made = change(text, {"inherited": tables, "file": self._file.name})
            if made == text:
                return None
            body = (BOM if raw.startswith(BOM) else b"") + made.encode("utf-8")
            if self._put(body, raw):
                return raw, hashlib.sha256(body).hexdigest()
        raise FileWriteError(
            "the file keeps changing meanwhile", path=self._file.name, advice="try again"
        )

    def _put(self, body: bytes, expected: bytes) -> bool:
        """Check the whole file as it would be, then put it in place; False if it has changed."""
        # A link stays a link: what it points to is replaced, on the disk where that lies.
        target = Path(os.path.realpath(self._file))
        if not os.access(target, os.W_OK):
            raise FileWriteError(
                "the file is read-only", path=self._file.name, advice="allow writing to it first"
            )
        with self._new_file(self._file.parent) as beside:
            write_bytes(beside, body)
            self._check(beside)
        with self._new_file(target.parent) as beside:
            write_bytes(beside, body)
            with disk_errors(self._file.name):
                os.chmod(beside, target.stat().st_mode & 0o777)
                if target.read_bytes() != expected:
                    return False
                os.replace(beside, target)
        return True

    @contextmanager
    def _new_file(self, folder: Path) -> Iterator[Path]:
        """Give a new file in a folder, which goes away again if it is still there."""
        with disk_errors(self._file.name):
            handle, name = tempfile.mkstemp(
                prefix=f".{self._file.stem}-", suffix=".toml", dir=folder
            )
            os.close(handle)
        try:
            yield Path(name)
        finally:
            with suppress(OSError):
                Path(name).unlink()

    def _check(self, beside: Path) -> None:
        """Load the file as it would be; its refusals speak of the file's own name."""
        try:
            load(beside, self._overrides)
        except ParameterError as error:
            raise self._renamed(error, beside.name) from error

    def _renamed(self, error: ParameterError, beside: str) -> ParameterError:
        if isinstance(error, ManyParametersError):
            every = [self._renamed(one, beside) for one in error.errors]
            return ManyParametersError(every, error.untold)
        return ParameterError(
            error.problem.replace(beside, self._file.name),
            file=self._file.name if error.file == beside else error.file,
            key=error.key,
            line=error.line,
            written=error.written,
            allowed=error.allowed,
            advice=error.advice,
        )


def _former(text: str, last: _Done, known: dict[str, Any]) -> str:
    if last.former is None:
        return without(text, last.key, **known)
    return rewritten(text, {last.key: last.former}, **known)


def _plain(field: Field) -> object:
    return field.number if "%" not in field.written else field.written


def _text(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
