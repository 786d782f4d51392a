"""A set that is there and stays: made by this very program of the same file, and not touched since.

Of each set that was built and proved the hash of its manifest is remembered beside the kept solids,
under all that the set depends on. A set is kept where its manifest has that hash and each of its
files the hash that its manifest gives; whatever else is found, it is built.
"""

import json
import platform
import sys
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import NamedTuple

from geomgen.errors import FileWriteError
from geomgen.files.disk import disk_errors, sha256
from geomgen.files.manifest import NAME, present, verify, versions
from geomgen.parameters import Parameters, as_toml, fingerprint
from geomgen.parameters.reading.own_units import counts_in_inches
from geomgen.processes.target_lock import Say, locked
from geomgen.regeneration import fingerprints
from geomgen.regeneration.store import Store
from geomgen.verdicts.check import Check
from geomgen.workflows.building.outcome import CHECKS, read_checks


class KeptSet(NamedTuple):
    """What a set that stays says of itself."""

    checks: tuple[Check, ...]
    notices: tuple[str, ...]


def kept_set(folder: Path, p: Parameters, store: Store | None, say: Say) -> KeptSet | None:
    """Return what the set in a folder says where it stays as it is; None where it is to be built.

    Every file is read. While another run is at work on the set this one waits.
    """
    meant = None if store is None else store.get(_key(p))
    if meant is None or folder.is_symlink() or not folder.is_dir():
        return None
    with disk_errors(folder), locked(folder, say):
        try:
            return _read(folder) if _stands(folder, meant.decode("ascii")) else None
        except (FileWriteError, OSError, ValueError, KeyError, TypeError):
            # Whatever is wrong with it, a fresh one takes its place, or says why it can't.
            return None


def remember(manifest: str, p: Parameters, store: Store | None) -> None:
    """Remember the hash of the manifest of a set that is built, proved and in its place."""
    if store is not None:
        store.put(_key(p), manifest.encode("ascii"))


def hash_of(folder: Path) -> str:
    """Return the hash of the manifest in a folder."""
    return sha256(folder / NAME)


def _stands(folder: Path, meant: str) -> bool:
    """Say whether a set is file by file what it was when it was proved."""
    linked = any((folder / name).is_symlink() for name in present(folder))
    return not linked and hash_of(folder) == meant and not verify(folder)


def _read(folder: Path) -> KeptSet:
    notices = json.loads((folder / CHECKS).read_bytes())["notices"]
    return KeptSet(read_checks(folder), tuple(str(notice) for notice in notices))


def _key(p: Parameters) -> str:
    """Return what stands for all that a set depends on, down to how lengths are written."""
    written = (fingerprint(p), as_toml(p), counts_in_inches(p))
    return fingerprints.of("set", of_whole_program(), *written)


@cache
def of_whole_program() -> str:
    """Return the fingerprint of all of the program, templates too, of libraries and machine."""
    root = Path(__file__).parents[2]
    own = [path for path in sorted(root.rglob("*")) if path.is_file() and path.suffix != ".pyc"]
    files = [(path.relative_to(root).as_posix(), sha256(path)) for path in own]
    libraries = {**versions(), **{name: _version(name) for name in fingerprints.LIBRARIES}}
    return fingerprints.of(files, libraries, sys.version, platform.machine())


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "not installed as a package"
