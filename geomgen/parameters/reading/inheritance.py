"""`extends`: a file lays its keys over those of another."""

import os
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.file_text import positions
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes, tables_of
from geomgen.parameters.reading.refusal import Origin, Origins
from geomgen.parameters.values.quantities import clipped

DEEPEST = 8
BLADE_PLANE = ("station", "behind_trailing_edge")


def read_with_bases(path: Path) -> tuple[dict[str, Any], Origins]:
    """Return the tables of a file laid over those that it extends, and where each key stands.

    Tables are joined key by key; a list of tables, and a threshold under `rules`, replaces the
    whole of the other; so do `propeller.station` and `propeller.behind_trailing_edge`.
    Raises ParameterError for a circle, and for more than 8 files in a row.
    """
    return _chain(path, [])


def _chain(path: Path, above: list[Path]) -> tuple[dict[str, Any], Origins]:
    text = decoded(read_bytes(path, LARGEST, "a parameter file"), path)
    tables = tables_of(text, path)
    origins = {key: Origin(path.name, line) for key, line in lines_of(text).items()}
    origins[()] = Origin(path.name, None)
    if "extends" not in tables:
        return tables, origins
    line = origins[("extends",)].line
    base = _base_of(path, tables.pop("extends"), [*above, path], line)
    try:
        below, origins_below = _chain(base, [*above, path])
    except ParameterError as error:
        if error.file == base.name and not base.is_file():
            raise _refused(path, line, error.problem, str(base.name)) from error
        raise
    _carry_aerofoils(below, base.parent, path.parent)
    _lay_over(below, tables, origins_below, origins)
    origins_below[()] = origins[()]
    return below, origins_below


def lines_of(text: str) -> dict[positions.Path, int]:
    """Return the lines of the keys, in text with any line ends."""
    return positions.lines_of_keys(text.replace("\r\n", "\n"))


def _base_of(path: Path, written: object, chain: list[Path], line: int | None) -> Path:
    if not isinstance(written, str) or not written.strip() or not written.isprintable():
        raise _refused(path, line, "not the name of a file", clipped(written))
    if Path(written).is_absolute():
        raise _refused(path, line, "an absolute path would tie the file to one machine", written)
    base = path.parent / written
    if any(_same(base, other) for other in chain):
        raise _refused(path, line, "the files extend each other in a circle", written)
    if len(chain) >= DEEPEST:
        raise _refused(path, line, f"more than {DEEPEST} files extend each other", written)
    return base


def _same(one: Path, other: Path) -> bool:
    return os.path.realpath(one) == os.path.realpath(other)


def _refused(path: Path, line: int | None, problem: str, written: str) -> ParameterError:
    return ParameterError(
        problem,
        file=path,
        line=line,
        key="extends",
        written=written,
        allowed="the name of a parameter file, from the folder of this one on",
    )


def _carry_aerofoils(tables: Any, from_folder: Path, to_folder: Path) -> None:
    """Make the names of aerofoil files count from the folder of the extending file."""
    if _same(from_folder, to_folder):
        return
    rows = tables.values() if isinstance(tables, dict) else tables
    for row in rows:
        if isinstance(row, dict | list):
            _carry_aerofoils(row, from_folder, to_folder)
    name = tables.get("aerofoil") if isinstance(tables, dict) else None
    if isinstance(name, str) and name.startswith("file:"):
        file = from_folder / name.removeprefix("file:").strip()
        tables["aerofoil"] = "file:" + Path(os.path.relpath(file, to_folder)).as_posix()


def drop_other_way(below: dict[str, Any], above: dict[str, Any], at: positions.Path) -> None:
    """Drop what is replaced: a blade plane given one way takes the place of the other way."""
    if at != ("propeller",):
        return
    for new, old in (BLADE_PLANE, BLADE_PLANE[::-1]):
        if new in above and old not in above:
            below.pop(old, None)


def _lay_over(
    below: dict[str, Any],
    above: dict[str, Any],
    origins: Origins,
    origins_above: Origins,
) -> None:
    """Lay tables over others; what stands where goes with them."""
    replaced: set[positions.Path] = set()
    joined: set[positions.Path] = set()
    _join(below, above, (), replaced, joined)
    for path in [path for path in origins if _within(path, replaced)]:
        del origins[path]
    for path, origin in origins_above.items():
        if path in joined or _within(path, replaced):
            origins[path] = origin


def _join(
    below: dict[str, Any],
    above: dict[str, Any],
    at: positions.Path,
    replaced: set[positions.Path],
    joined: set[positions.Path],
) -> None:
    drop_other_way(below, above, at)
    for key, value in above.items():
        path = (*at, key)
        if isinstance(value, dict) and isinstance(below.get(key), dict) and at != ("rules",):
            _join(below[key], value, path, replaced, joined)
            joined.add(path)
        else:
            below[key] = value
            replaced.add(path)


def _within(path: positions.Path, heads: set[positions.Path]) -> bool:
    return any(path[:end] in heads for end in range(1, len(path) + 1))
