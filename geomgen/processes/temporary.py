"""One folder for all temporary files of a run, its children's too, which goes when the run ends.

A child that is killed can't clear up after itself; a run that is killed can't either, so the next
one clears away what it finds of runs that are gone.
"""

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from geomgen.processes.locks import lock

PREFIX = "geomgen-"
# Locked as long as the run, or a forked child of it, is alive: the system unlocks it whatever ends
# them. A folder without it is nobody's that we know, and stays.
ALIVE = ".alive"


@contextmanager
def temporary_folder() -> Iterator[None]:
    """Have temporary files of this process and its children go into a folder that is cleared.

    Folders of runs that were killed are cleared as well. Where no folder can be made, whatever
    needs one says so.

    >>> with temporary_folder():
    ...     os.path.basename(tempfile.gettempdir()).startswith(PREFIX)
    True
    """
    try:
        clear_left()
        own = tempfile.TemporaryDirectory(prefix=PREFIX, ignore_cleanup_errors=True)
    except OSError:
        yield
        return
    former, variable = tempfile.tempdir, os.environ.get("TMPDIR")
    with own as folder, _kept_alive(Path(folder)):
        tempfile.tempdir = os.environ["TMPDIR"] = folder
        try:
            yield
        finally:
            tempfile.tempdir = former
            if variable is None:
                del os.environ["TMPDIR"]
            else:
                os.environ["TMPDIR"] = variable


def clear_left() -> int:
    """Clear away the folders of this user's runs that were killed; return how many."""
    gone = 0
    for folder in Path(tempfile.gettempdir()).glob(f"{PREFIX}*"):
        with suppress(OSError):
            if not folder.is_symlink() and _mine(folder) and _dead(folder):
                _clear(folder)
                gone += 1
    return gone


def _mine(folder: Path) -> bool:
    """Say whether a folder is this user's: on Windows each user has a place of his own for them."""
    return not hasattr(os, "getuid") or folder.stat().st_uid == os.getuid()


def _clear(folder: Path) -> None:
    """Clear a folder away, its mark last: what can't be cleared now is found the next time."""
    for path in folder.iterdir():
        if path.name == ALIVE:
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()
    (folder / ALIVE).unlink()
    folder.rmdir()


def _dead(folder: Path) -> bool:
    """Say whether a folder is a run's that is gone."""
    handle = os.open(folder / ALIVE, os.O_RDWR | getattr(os, "O_NOFOLLOW", 0))
    try:
        return _locked(handle)
    finally:
        os.close(handle)


@contextmanager
def _kept_alive(folder: Path) -> Iterator[None]:
    """Mark a folder as in use; where files can't be locked it has no mark, and is never cleared."""
    handle = None
    with suppress(OSError):
        # Locked before it has its name: nobody sees it unlocked.
        handle, beside = tempfile.mkstemp(dir=folder)
        if _locked(handle):
            os.replace(beside, folder / ALIVE)
        else:
            os.unlink(beside)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _locked(handle: int) -> bool:
    """Lock an open file unless somebody else has; say whether it is ours now."""
    try:
        return lock(handle)
    except OSError:
        return False
