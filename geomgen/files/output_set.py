"""A set of files that appears whole or not at all.

Files are written into a folder beside the target, on the same disk, and swapped in at the end. A
lock per target keeps two runs apart (`target_lock.py`); what a killed run left behind is cleared by
the next one.
"""

import ctypes
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from geomgen.errors import FileWriteError
from geomgen.files.disk import check_writable, disk_errors
from geomgen.files.manifest import NAME, listed, present
from geomgen.processes.target_lock import Say, locked, silent

PART, OLD = ".part", ".old"
AT_FDCWD, RENAME_EXCHANGE = -100, 2


@contextmanager
def output_set(out: Path, name: str, say: Say = silent) -> Iterator[Path]:
    """Give a fresh folder to write into; at the end it becomes `out/name` in one step.

    The folder must hold a manifest that lists every file in it. A target that is not a set of
    geomgen's, or that holds files which its manifest does not know, is left alone. While another
    run holds the target this one waits, and `say` hears for whom. FileWriteError when it can't be
    written, or when the run that holds it is gone.
    """
    target = out / name
    with disk_errors(target):
        out.mkdir(parents=True, exist_ok=True)
        with locked(target, say):
            _recover(out, name)
            _ours(target)
            fresh = Path(tempfile.mkdtemp(prefix=f".{name}.", suffix=PART, dir=out))
            try:
                fresh.chmod(0o755)
                yield fresh
                _complete(fresh)
                _flush(fresh)
                _ours(target)
                _swap(fresh, target)
            finally:
                shutil.rmtree(fresh, ignore_errors=True)


def check_place(out: Path, name: str) -> None:
    """Try at once what `output_set` needs of a place at its end; leaves nothing behind.

    FileWriteError when nothing can be written there, or when it is not ours to replace.
    """
    with disk_errors(out / name):
        check_writable(out, name)
        _ours(out / name)


def _recover(out: Path, name: str) -> None:
    """Clear what dead runs left; the lock is ours, so nobody is at work on it."""
    target = out / name
    for left in sorted(out.glob(f".{name}.*{OLD}")):
        if target.exists():
            shutil.rmtree(left)
        else:
            os.rename(left, target)
    for left in out.glob(f".{name}.*{PART}"):
        shutil.rmtree(left)


def _ours(target: Path) -> None:
    """Refuse to replace anything that geomgen did not write."""
    if not target.exists() and not target.is_symlink():
        return
    if target.is_symlink() or not target.is_dir():
        raise FileWriteError(
            "something that is not a folder is in the way",
            path=target,
            advice="move it or choose another folder with --out",
        )
    inside = present(target)
    if not inside and not any(target.iterdir()):
        return
    if NAME not in inside:
        raise FileWriteError(
            "the folder holds files, but no manifest of geomgen's: it is left as it is",
            path=target,
            advice="move them or choose another folder with --out",
        )
    strangers = sorted(inside - listed(target))
    if strangers:
        raise FileWriteError(
            f"the folder holds files that geomgen did not write: {', '.join(strangers[:5])}",
            path=target,
            advice="move them out of the folder: it is replaced as a whole",
        )


def _complete(fresh: Path) -> None:
    strangers = sorted(present(fresh) - listed(fresh))
    lost = sorted(listed(fresh) - present(fresh))
    if strangers or lost:
        raise FileWriteError(
            f"files and manifest do not agree: {', '.join(strangers + lost)}", path=fresh.name
        )


def _flush(folder: Path) -> None:
    """Have the disk hold every file and folder before the swap."""
    for path in [*sorted(folder.rglob("*")), folder]:
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _swap(fresh: Path, target: Path) -> None:
    if not target.exists():
        os.rename(fresh, target)
    elif _exchanged(fresh, target):
        # `fresh` now names the old set; the caller clears it away.
        pass
    else:
        old = fresh.with_suffix(OLD)
        os.rename(target, old)
        os.rename(fresh, target)
        shutil.rmtree(old, ignore_errors=True)
    handle = os.open(target.parent, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _exchanged(a: Path, b: Path) -> bool:
    """Exchange two folders in one step where the system can (Linux, renameat2)."""
    if not sys.platform.startswith("linux"):
        return False
    library = ctypes.CDLL(None, use_errno=True)
    if not hasattr(library, "renameat2"):
        return False
    names = (os.fsencode(a), os.fsencode(b))
    return bool(library.renameat2(AT_FDCWD, names[0], AT_FDCWD, names[1], RENAME_EXCHANGE) == 0)
