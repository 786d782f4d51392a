"""A parameter file replaced whole, after it was read and checked as it would be."""

import os
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from geomgen.errors import FileWriteError, ParameterError
from geomgen.files.disk import disk_errors, write_bytes
from geomgen.files.swap import swapped
from geomgen.parameters import load
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes
from geomgen.parameters.reading.inheritance import read_with_bases
from geomgen.parameters.reading.refusal import ManyParametersError
from geomgen.watching.undo import hash_of

# So often is a change tried on a file that moves meanwhile.
TRIES = 4
# A file written so lately [s] may be half-saved: it is waited for, but no longer than the second.
RESTED, LONGEST_WAIT = 0.1, 1.0
BOM = b"\xef\xbb\xbf"


def _in_place_of(target: Path, beside: Path, expected: bytes) -> bool:
    """Put a file in place of another that holds what is expected; False, and as it was, if not."""
    ours = beside.read_bytes()
    if target.read_bytes() != expected:
        return False
    if not swapped(beside, target):
        os.replace(beside, target)
        return True
    if beside.read_bytes() == expected:
        return True
    # Saved since the last look: that save back, unless a newer one has taken its place meanwhile.
    swapped(beside, target)
    if beside.read_bytes() != ours:
        swapped(beside, target)
    return False


class FileWriter:
    """Writes one parameter file; `overrides` are laid over it when it is checked."""

    def __init__(self, file: Path, overrides: Sequence[str] = ()) -> None:
        self._file, self._overrides = file, tuple(overrides)

    def rest(self) -> None:
        """Wait until nobody is writing the file, or for so long that nobody can be waited for.

        Some editors empty a file first and fill it then.
        """
        end = time.monotonic() + LONGEST_WAIT
        with suppress(OSError):
            while 0.0 <= time.time() - self._file.stat().st_mtime < RESTED:
                if time.monotonic() > end:
                    return
                time.sleep(RESTED / 5)

    def raw(self) -> bytes:
        """Return the file as it stands when it rests; ParameterError when it can't be read."""
        self.rest()
        return read_bytes(self._file, LARGEST, "a parameter file")

    def write(self, change: Callable[..., str]) -> tuple[bytes, str, str] | None:
        """Change the file's text; return its bytes before, its hash and text after; None if same.

        The file is read just before. When somebody saves it meanwhile, it is read again.
        """
        for _ in range(TRIES):
            raw = self.raw()
            tables, _ = read_with_bases(self._file)
            text = decoded(raw, self._file)
            made = change(text, {"inherited": tables, "file": self._file.name})
            if made == text:
                return None
            body = (BOM if raw.startswith(BOM) else b"") + made.encode("utf-8")
            if self.put(body, raw):
                return raw, hash_of(body), made
        raise FileWriteError(
            "the file keeps changing meanwhile", path=self._file.name, advice="try again"
        )

    def put(self, body: bytes, expected: bytes) -> bool:
        """Check the whole file as it would be, then put it in place; False if it has changed.

        A save between the last look and the writing is found and stays, where names can be
        exchanged (`files/swap.py`); elsewhere it is lost if it falls between those two calls. An
        editor that opened the file before and writes into it afterwards, without a file of its
        own, writes into what is no longer there: no program can tell that beforehand.
        """
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
                return _in_place_of(target, beside, expected)

    @contextmanager
    def _new_file(self, folder: Path) -> Iterator[Path]:
        """Give a new file in a folder, which goes away again if it is still there."""
        with disk_errors(self._file.name):
            handle, name = tempfile.mkstemp(
                prefix=f".{self._file.stem}-{os.getpid()}-", suffix=".toml", dir=folder
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
