"""A release although a check failed: its reason, held to what sheets can carry, in every STEP."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError

# Characters that the title block of the smallest sheet holds in large type (own choice, tried).
LONGEST = 120
KEY = "--release-anyway"


def reason_of_release(words: str) -> str:
    """Return the reason as it is printed, on one line; ParameterError when it is none or too long.

    >>> reason_of_release(" only to  try the fit ")
    'only to try the fit'
    """
    reason = " ".join(words.split())
    allowed = f"one to {LONGEST} characters of text"
    if not any(letter.isalnum() for letter in reason):
        raise ParameterError(
            "the reason is blank, and it is what the shops will read",
            key=KEY,
            written=repr(words),
            allowed=allowed,
            advice='say why the set may be used although a check fails: --release-anyway "..."',
        )
    if len(reason) > LONGEST:
        raise ParameterError(
            f"the reason has {len(reason)} characters, more than a small sheet has room for",
            key=KEY,
            written=f"{reason[:40]} ...",
            allowed=allowed,
            advice=f"shorten it by {len(reason) - LONGEST} characters",
        )
    return reason


def write_reason(folder: Path, entries: Sequence[dict[str, Any]], reason: str) -> None:
    """Write the reason into the header of every STEP of the entries; their hashes follow.

    FileWriteError when that fails.
    """
    from geomgen.drafting.paper.title import RELEASED
    from geomgen.files.disk import disk_errors, sha256, write_bytes
    from geomgen.files.step_remark import remarked

    for entry in entries:
        path = folder / str(entry["file"])
        if path.suffix == ".step":
            with disk_errors(path.name):
                text = path.read_bytes()
            write_bytes(path, remarked(text, f"{RELEASED}: {reason}"))
            entry |= {"sha256": sha256(path), "bytes": path.stat().st_size}
