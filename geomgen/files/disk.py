"""Bytes to disk: whole, flushed, and with an answer for a user when it fails."""

import errno
import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from geomgen.errors import FileWriteError

ELSEWHERE = "choose another folder, with --out where it is for a set"
ADVICE = {
    errno.ENOENT: ("nothing can be written there: no folder can be made in that place", ELSEWHERE),
    errno.EINVAL: ("no file of that name can be written there", ELSEWHERE),
    errno.EIO: ("the disk reports a fault", "choose a folder on another disk"),
    errno.ELOOP: ("its links lead in a circle", ELSEWHERE),
    errno.ENOSPC: ("the disk is full", "free some space, or choose another folder with --out"),
    errno.EDQUOT: (
        "your share of the disk is used up",
        "free some space, or choose another folder",
    ),
    errno.EACCES: ("writing is not allowed there", "choose a folder that you may write to"),
    errno.EPERM: ("writing is not allowed there", "choose a folder that you may write to"),
    errno.EROFS: ("the disk is read-only", "choose a folder on another disk"),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter name or folder"),
    errno.ENOTDIR: ("part of the path is a file", "choose a folder, not a file"),
    errno.EEXIST: ("a file of that name is in the way", "move it or choose another folder"),
    errno.EISDIR: ("a folder of that name is in the way", "move it or choose another name"),
}

AGAIN = "this is a fault of the program: keep the parameter file and report it"


def file_error(error: OSError, path: str | Path) -> FileWriteError:
    """Return what to tell the user about a failed write.

    >>> print(file_error(OSError(errno.ENOSPC, "x"), "pod_mm.stl"))
    pod_mm.stl: the disk is full
      do: free some space, or choose another folder with --out
    """
    problem, advice = ADVICE.get(
        error.errno or 0, (f"can't be written: {error.strerror or error}", ELSEWHERE)
    )
    if error.errno in (errno.EEXIST, errno.ENOTDIR):
        path = _file_on_the_way(Path(path)) or path
    return FileWriteError(problem, path=path, advice=advice)


def _file_on_the_way(path: Path) -> Path | None:
    """Return the file that stands where a path wants a folder; None when there is none."""
    return next((p for p in path.parents if os.path.lexists(p) and not p.is_dir()), None)


@contextmanager
def disk_errors(path: str | Path) -> Iterator[None]:
    """Turn every OSError inside into a FileWriteError with advice."""
    try:
        yield
    except FileWriteError:
        raise
    except OSError as error:
        raise file_error(error, path) from error


def check_writable(folder: Path, name: str = "trial") -> None:
    """Try whether a file can be written into a folder, which may have to be made.

    FileWriteError with advice when it can't. Nothing is left behind.
    """
    with disk_errors(folder):
        there = next(p for p in (folder, *folder.absolute().parents) if os.path.lexists(p))
        # In a folder of its own: another run may be making the very same one.
        with tempfile.TemporaryDirectory(prefix=".geomgen-", dir=there) as trial:
            missing = folder.absolute().relative_to(there.absolute())
            (Path(trial) / missing).mkdir(parents=True, exist_ok=True)
            write_bytes(Path(trial) / missing / name, b"")


def write_bytes(path: Path, data: bytes, told: Path | None = None) -> None:
    """Write a whole file and flush it to the disk; FileWriteError when that fails.

    `told` is what an error calls it, where it stands in for another.
    """
    with disk_errors(told or path), open(path, "wb", buffering=0) as file:
        left = memoryview(data)
        while left:
            left = left[file.write(left) :]
        os.fsync(file.fileno())


def put(path: Path, data: bytes, replace: bool = False) -> None:
    """Write a file so that nobody ever sees half of it.

    FileExistsError when something of that name is there, unless it may be replaced;
    FileWriteError when writing fails; nothing is left behind then.
    """
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    claimed = False
    try:
        write_bytes(beside, data, path)
        if not replace:
            with disk_errors(path), suppress(FileExistsError):
                # The empty file holds the name until the whole one takes its place.
                os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o666))
                claimed = True
            if not claimed:
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
        with disk_errors(path):
            os.replace(beside, path)
            claimed = False
    finally:
        for left in (beside, path) if claimed else (beside,):
            with suppress(OSError):
                left.unlink()


def sha256(path: Path) -> str:
    """Return the SHA-256 of a file as it stands on the disk."""
    with open(path, "rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def proof_failed(path: Path, what: str) -> FileWriteError:
    """Return what to tell when a file that was written does not prove right.

    >>> print(proof_failed(Path("pod_mm.stl"), "its mesh is open"))
    pod_mm.stl: verification failed: its mesh is open
      do: this is a fault of the program: keep the parameter file and report it
    """
    return FileWriteError(f"verification failed: {what}", path=path.name, advice=AGAIN)
