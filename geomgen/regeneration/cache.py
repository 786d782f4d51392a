"""What this and earlier runs made, by fingerprint: bodies by their own hash, facts by their cause.

A body (a solid, a mesh) lies under the hash of its bytes. What a step gave lies as facts, naming
its bodies, under the fingerprint of the program, the step, what it was given, and all that it read
of the parameters. Which parameters a step reads is noted when it is made, and looked up before.
"""

import json
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.errors import FileWriteError
from geomgen.parameters import Parameters
from geomgen.regeneration import fingerprints
from geomgen.regeneration.reads import Reads, text_at
from geomgen.regeneration.store import Store

# Ways to read the parameters that are remembered of each step; a branch of the code is one.
WAYS = 16
GONE = "something that was kept has gone"
FULL = "what was made can't be kept"


class BuildCache:
    """Bodies and facts in a store; without one, in a folder that goes away with this object.

    A `careful` one reads every body before it counts on it, instead of looking whether it is there.
    """

    def __init__(self, store: Store | None, careful: bool = False) -> None:
        self._careful = careful
        self._own = None
        if store is None or not store.put(fingerprints.of("probe"), b""):
            self._own = tempfile.TemporaryDirectory(prefix="geomgen-")
            store = Store(Path(self._own.name))
        self.store = store
        self.made = 0
        self.kept = 0

    def __reduce__(self) -> tuple[Any, ...]:
        # Another process shares the folder, and leaves it to this one to clear it.
        return BuildCache, (self.store, self._careful)

    def body(self, digest: str) -> bytes:
        """Return a body; FileWriteError (GONE) when it was deleted or damaged meanwhile."""
        found = self.store.get(digest)
        if found is None:
            raise lost(digest, GONE)
        return found

    def keep_body(self, body: bytes) -> str:
        """Keep a body, in place of a damaged one; return its hash. FileWriteError: FULL."""
        digest = fingerprints.of_bytes(body)
        if self.store.get(digest) != body and not self.store.put(digest, body):
            raise lost(self.store.folder, FULL)
        return digest

    def has(self, digest: str) -> bool:
        """Say whether a body is there; a damaged one may still count, unless this is careful."""
        return self.store.get(digest) is not None if self._careful else self.store.has(digest)

    def facts(self, key: str) -> Any:
        """Return facts, None when there are none."""
        text = self.store.get(key)
        return None if text is None else json.loads(text)

    def keep_facts(self, key: str, facts: Any) -> None:
        """Keep plain values under a key."""
        self.store.put(key, json.dumps(facts, separators=(",", ":")).encode("ascii"))

    def known(self, step: str, given: Any, p: Parameters) -> Any:
        """Return the facts of a step that was made before of the same; None when there are none."""
        for paths in self.facts(_shelf(step)) or []:
            ways = [tuple(path) for path in paths]
            facts = self.facts(_cause(step, given, [(path, text_at(p, path)) for path in ways]))
            if facts is not None and all(map(self.has, _bodies(facts))):
                self.kept += 1
                return facts
        return None

    def learn(self, step: str, given: Any, reads: Reads, facts: Any) -> None:
        """Keep the facts of a step that was made now."""
        self.made += 1
        paths = reads.paths()
        self.keep_facts(_cause(step, given, [(path, reads.seen[path]) for path in paths]), facts)
        ways = self.facts(_shelf(step)) or []
        mine = [list(path) for path in paths]
        if mine not in ways:
            self.keep_facts(_shelf(step), [mine, *ways][:WAYS])


def lost(path: str | Path, problem: str) -> FileWriteError:
    """Return the error of a store that fails on the way; what it says is for the last resort."""
    return FileWriteError(
        problem, path=path, advice="free some space there, or in the folder for temporary files"
    )


def _shelf(step: str) -> str:
    return fingerprints.of("what it reads", fingerprints.of_program(), step)


def _cause(step: str, given: Any, texts: Sequence[tuple[Any, str]]) -> str:
    return fingerprints.of("made", fingerprints.of_program(), step, given, list(texts))


def _bodies(facts: Any) -> list[str]:
    """Return the hashes of the bodies that facts of pieces name."""
    rows = facts if isinstance(facts, list) else []
    return [row[key] for row in rows for key in ("solid", "half") if row.get(key)]
