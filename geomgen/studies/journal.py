"""The journal of a study: one line a finished variant, so that a killed run goes on where it was.

A line is written and flushed in one go. The key of a line says everything that its outcome depends
on; a line that was torn by a kill, or that is not of this form, counts as not there.
"""

import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from geomgen.errors import FileWriteError
from geomgen.processes.locks import lock
from geomgen.studies.row import VariantOutcome, outcome_of

# What is not done again. A crash, a fault and a job that ran out of time may end otherwise.
FINAL = ("built", "not built")


class Journal:
    """An open journal; `known` holds the outcomes that stand in it, by key."""

    def __init__(self, handle: int, path: Path, known: dict[str, VariantOutcome]) -> None:
        self._handle, self._path, self.known = handle, path, known

    def add(self, key: str, outcome: VariantOutcome) -> None:
        """Write the outcome of a variant and have the disk hold it; FileWriteError if it can't."""
        row = {"key": key, **outcome.as_dict()}
        line = json.dumps(row, ensure_ascii=True, allow_nan=False, separators=(",", ":")) + "\n"
        left = memoryview(line.encode("ascii"))
        try:
            while left:
                left = left[os.write(self._handle, left) :]
            os.fsync(self._handle)
        except OSError as error:
            raise _trouble(error, self._path) from error
        self.known[key] = outcome


def key_of_variant(fingerprint: str, made_with: Mapping[str, str]) -> str:
    """Return the key of an outcome: the whole of the variant's parameters, and what built it.

    >>> key_of_variant("ab", {"geomgen": "1"}) == key_of_variant("ab", {"geomgen": "2"})
    False
    """
    whole = json.dumps([fingerprint, dict(made_with)], sort_keys=True)
    return hashlib.sha256(whole.encode()).hexdigest()


@contextmanager
def journal(path: Path) -> Iterator[Journal]:
    """Give the journal of a study; FileWriteError when another run holds it or it can't be used."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError as error:
        raise _trouble(error, path) from error
    try:
        _lock(handle, path)
        yield Journal(handle, path, _known(handle))
    finally:
        os.close(handle)


def _lock(handle: int, path: Path) -> None:
    if not lock(handle):
        raise FileWriteError(
            "another run is at work on this study",
            path=path.name,
            advice="wait for it, or choose another folder with --out",
        )


def _known(handle: int) -> dict[str, VariantOutcome]:
    """Read what stands in the journal; leave the handle behind the last whole line."""
    # Through the handle that holds the lock: on Windows no other one may read.
    os.lseek(handle, 0, os.SEEK_SET)
    text = b"".join(iter(lambda: os.read(handle, 1 << 20), b""))
    whole = text.rfind(b"\n") + 1
    os.ftruncate(handle, whole)
    os.lseek(handle, whole, os.SEEK_SET)
    known: dict[str, VariantOutcome] = {}
    for line in text[:whole].splitlines():
        try:
            row = json.loads(line)
            outcome = outcome_of(row)
            key = str(row["key"])
        except (ValueError, KeyError, TypeError):
            continue
        if outcome.status in FINAL:
            known[key] = outcome
    return known


def _trouble(error: OSError, path: Path) -> FileWriteError:
    return FileWriteError(
        f"the journal of the study can't be written: {error.strerror or error}",
        path=path,
        advice="choose a folder that can be written with --out",
    )
