"""A store of made things on disk: bytes by key, whole or not at all, bounded, safe to delete.

An entry is one file whose name is its key and whose first bytes are the hash of key and body. It is
written beside and renamed into place, so that two processes can't see half of one; what does not
match its hash, or lies under another name, is dropped and counts as missing. What was not used for
longest goes first when the store grows beyond its bound. Nothing here is of value: the whole folder
may be deleted at any time.
"""

import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

# Room for some thousand solids and meshes.
BOUND = 1 << 30
# Share of the bound that is left after a clearing, so that the next one is not due at once.
LEFT = 0.8
MARK = b"geomgen kept 2\n"
HASH = 32
LOOK_EVERY = 64
KEPT = ".kept"


class Store:
    """Made things by key, in one folder; `bound` is the most that it may hold [bytes].

    A store that can't be written (full disk, no rights) keeps nothing; it never fails a build.

    >>> import tempfile
    >>> store = Store(tempfile.mkdtemp())
    >>> store.put("0a", b"solid"), store.get("0a"), store.get("0b")
    (True, b'solid', None)
    """

    def __init__(self, folder: str | Path, bound: int = BOUND) -> None:
        self.folder = Path(folder)
        self.bound = bound
        self._puts = 0

    def get(self, key: str) -> bytes | None:
        """Return what was kept under a key; None when nothing sound is there."""
        path = self._path(key)
        try:
            whole = path.read_bytes()
        except OSError:
            return None
        start = len(MARK) + HASH
        body = whole[start:]
        if whole[: len(MARK)] != MARK or whole[len(MARK) : start] != _seal(key, body):
            with suppress(OSError):
                path.unlink()
            return None
        with suppress(OSError):
            os.utime(path)
        return body

    def put(self, key: str, body: bytes) -> bool:
        """Keep bytes under a key, in place of what was there; say whether it worked."""
        # The folder may be deleted between two steps of this; once more, then.
        if not (self._put(key, body) or self._put(key, body)):
            return False
        self._puts += 1
        if self._puts % LOOK_EVERY == 1:
            self.clear_to_bound()
        return True

    def _put(self, key: str, body: bytes) -> bool:
        path = self._path(key)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, beside = tempfile.mkstemp(prefix=".new-", dir=path.parent)
        except OSError:
            return False
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(MARK + _seal(key, body) + body)
            os.replace(beside, path)
        except OSError:
            with suppress(OSError):
                os.unlink(beside)
            return False
        return True

    def has(self, key: str) -> bool:
        """Say whether an entry is there, and count it as used; it may still prove damaged."""
        try:
            os.utime(self._path(key))
        except OSError:
            return False
        return True

    def size(self) -> int:
        """Return how much the store holds [bytes]."""
        return sum(size for _, size, _ in self._entries())

    def clear_to_bound(self) -> int:
        """Drop what was not used for longest until the rest fits; return how many went."""
        entries = sorted(self._entries())
        total = sum(size for _, size, _ in entries)
        gone = 0
        if total <= self.bound:
            return gone
        for _, size, path in entries:
            if total <= LEFT * self.bound:
                break
            with suppress(OSError):
                os.unlink(path)
                gone += 1
            total -= size
        return gone

    def _path(self, key: str) -> Path:
        return self.folder / key[:2] / key

    def _entries(self) -> Iterator[tuple[float, int, str]]:
        """Yield last use, size and path of every file, also of ones left half-written."""
        with suppress(OSError), os.scandir(self.folder) as shelves:
            for shelf in shelves:
                if len(shelf.name) == 2 and shelf.is_dir(follow_symlinks=False):
                    yield from _files(shelf.path)


def _seal(key: str, body: bytes) -> bytes:
    return hashlib.sha256(key.encode("utf-8") + b"\n" + body).digest()


def store_in(out: str | Path) -> Store:
    """Return the store that lies beside the sets of an output folder."""
    return Store(Path(out) / KEPT)


def _files(folder: str) -> Iterator[tuple[float, int, str]]:
    with suppress(OSError), os.scandir(folder) as files:
        for file in files:
            with suppress(OSError):
                about = file.stat(follow_symlinks=False)
                yield about.st_mtime, about.st_size, file.path
