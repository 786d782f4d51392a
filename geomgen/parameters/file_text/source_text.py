"""From a path to the tables of a TOML file: what may be wrong with the file itself."""

import re
import tomllib
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.nesting import check_nesting

LARGEST = 1_000_000
UTF8 = "save the file as UTF-8 text"


def read_bytes(path: Path, longest: int, what: str) -> bytes:
    """Return the bytes of a plain file of at most `longest` bytes; ParameterError otherwise."""
    try:
        if path.is_dir():
            raise ParameterError(
                f"a folder, not {what}",
                file=path if path.name else path.resolve(),
                advice="name a file in it",
            )
        if not path.exists():
            raise ParameterError(f"there is no such file; give {what}", file=path)
        if not path.is_file():
            raise ParameterError(f"not a plain file; give {what}", file=path)
        size = path.stat().st_size
        if size > longest:
            raise ParameterError(
                "too big", file=path, written=f"{size} bytes", allowed=f"up to {longest} bytes"
            )
        with path.open("rb") as stream:
            raw = stream.read(longest + 1)
        if len(raw) > longest:
            # It grew meanwhile, or is one of those that hide their size.
            raise ParameterError("too big", file=path, allowed=f"up to {longest} bytes")
        return raw
    except ParameterError:
        raise
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise ParameterError(f"can't be read: {reason}", file=path) from error


def decoded(raw: bytes, path: Path) -> str:
    """Return bytes as text, a UTF-8 byte order mark left out; ParameterError for other codes."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\x00" in raw[:200]:
        raise ParameterError("in UTF-16, or not a text file", file=path, advice=UTF8)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ParameterError(
            "not UTF-8 text",
            file=path,
            line=line,
            written=f"the byte 0x{raw[error.start]:02x}",
            advice=UTF8,
        ) from error


def tables_of(text: str, path: Path) -> dict[str, Any]:
    """Return the tables of TOML text; ParameterError with the line where it is not TOML.

    A text that goes deeper, or holds more values, than a parameter file does is refused, too.
    """
    check_nesting(text, path.name)
    try:
        return tomllib.loads(text)
    except RecursionError as error:
        raise ParameterError("nested too deeply", file=path) from error
    except ValueError as error:
        raise _not_toml(str(error), text, path) from error


def _twice(problem: str, before: list[str]) -> str | None:
    """Return what to do about a table or key that is written twice; None of other faults."""
    table = re.fullmatch(r"Cannot declare ([\w.-]+) twice", problem)
    if table:
        head = re.compile(rf"\s*\[{{1,2}}{re.escape(table[1])}\]")
        heads = [i for i, one in enumerate(before, 1) if head.match(one)]
        where = f" in line {heads[0]}" if heads else ""
        return f"[{table[1]}] stands{where} already: write its keys there, or take one of both out"
    if problem == "Cannot overwrite a value":
        return "that key stands in this table already: take one of both out"
    return None


def _not_toml(message: str, text: str, path: Path) -> ParameterError:
    match = re.search(r"\(at line (\d+), column \d+\)|\(at end of document\)", message)
    lines = text.splitlines() or [""]
    line = int(match[1]) if match and match[1] else len(lines)
    problem = message[: match.start()].strip() if match else message
    if not match and "digits" in message:
        problem, line = "a number with too many digits", 0
    written = lines[line - 1].strip() if 0 < line <= len(lines) else None
    # The reader names a table by its parts: ('wing',), ('gear', 'wheels').
    problem = re.sub(r"\(('[^)]*)\)", lambda m: ".".join(re.findall(r"'([^']*)'", m[1])), problem)
    advice = _twice(problem, lines[: line - 1])
    if written and re.search(r"=\s*[-+.\d]+\s*[A-Za-z°]", written):
        advice = "put a value with a unit between quotes"
    return ParameterError(
        f"not TOML: {problem[:1].lower()}{problem[1:120]}",
        file=path,
        line=line or None,
        written=written[:80] if written else None,
        advice=advice,
    )
