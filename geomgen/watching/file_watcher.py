"""File watcher: tells when a parameter file, its base files or its aerofoil files were saved.

Polled, not told by the system: that survives files and folders that vanish, come back or are
renamed over, and folders of other machines. watchfiles tells of a save as late (0.12 s against
0.13 s, of which 0.08 s are waited here and there); told by events it does not see a folder that
takes another's place, polled not a save that keeps size and time.
"""

import hashlib
import time
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.source_text import LARGEST, read_bytes

Signature = tuple[int, int, int]
Shot = dict[Path, str]
# Saves that follow each other faster than this are one [s]; but none waits longer than the second.
QUIET, LONGEST = 0.08, 0.35
# A file that was written so lately [s] may be written again without its times telling.
FRESH = 2.0
DEEPEST = 8
MISSING = "missing"


@dataclass
class FileWatcher:
    """What was last seen of the files; `look` tells whether something new has settled."""

    file: Path
    _seen: dict[Path, tuple[Signature, str, float]] = field(default_factory=dict)
    _others: tuple[Path, ...] = ()
    _parsed: str = ""
    _handled: Shot | None = None
    _pending: Shot | None = None
    _since: float = 0.0
    _first: float | None = None

    def look(self, now: float | None = None) -> bool:
        """Look at the files; say whether they differ from what was last told and have settled.

        The first look tells of what is there. `now` is the time of a clock that never goes back
        [s]; left out, that of `time.monotonic`.
        """
        now = time.monotonic() if now is None else now
        shot = self.shot()
        if shot == self._handled:
            self._pending = self._first = None
            return False
        if shot != self._pending:
            self._pending, self._since = shot, now
            self._first = now if self._first is None else self._first
        settled = now - self._since >= QUIET or now - (self._first or now) >= LONGEST
        if self._handled is None or settled:
            self._handled, self._pending, self._first = shot, None, None
            return True
        return False

    @property
    def missing(self) -> bool:
        """Say whether the parameter file itself was not there at the last look."""
        return self._seen.get(self.file, ((0, 0, 0), MISSING, 0.0))[1] == MISSING

    def shot(self) -> Shot:
        """Return what is in the files now, as hashes."""
        shot = {self.file: self._hash(self.file)}
        shot |= {path: self._hash(path) for path in self._others}
        whole = "".join(shot.values())
        if whole != self._parsed:
            self._parsed = whole
            found = tuple(dict.fromkeys(beside(self.file)))
            # While the file is half-written, what it named before is still looked at.
            if found or _tables(self.file) is not None:
                self._others = found
            shot = {self.file: shot[self.file], **{path: self._hash(path) for path in self._others}}
        return shot

    def _hash(self, path: Path) -> str:
        try:
            stat = path.stat()
            signature = (stat.st_mtime_ns, stat.st_size, stat.st_ino)
            known = self._seen.get(path)
            if known is not None and known[0] == signature and known[2] > stat.st_mtime + FRESH:
                return known[1]
            told = hashlib.sha256(read_bytes(path, LARGEST, "a file")).hexdigest()
        except (OSError, ValueError, ParameterError):
            signature, told = (0, 0, 0), MISSING
        self._seen[path] = (signature, told, time.time())
        return told


def beside(file: Path) -> Iterator[Path]:
    """Yield the base files and aerofoil files that a parameter file names, as far as they read."""
    at = file
    for _ in range(DEEPEST):
        tables = _tables(at)
        if tables is None:
            return
        yield from (at.parent / name for name in _aerofoils(tables))
        base = tables.get("extends")
        if not isinstance(base, str) or "\0" in base or Path(base).is_absolute():
            return
        at = at.parent / base
        yield at


def _tables(path: Path) -> dict[str, Any] | None:
    try:
        return tomllib.loads(read_bytes(path, LARGEST, "a file").decode("utf-8-sig"))
    except (ValueError, RecursionError, ParameterError):
        return None


def _aerofoils(rows: Any) -> Iterator[str]:
    for key, value in rows.items() if isinstance(rows, dict) else enumerate(rows):
        if isinstance(value, dict | list):
            yield from _aerofoils(value)
        elif key == "aerofoil" and isinstance(value, str) and value.startswith("file:"):
            name = value.removeprefix("file:").strip()
            if name and "\0" not in name and not Path(name).is_absolute():
                yield Path(name).as_posix()
