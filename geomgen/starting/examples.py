"""The examples that come with the package: where they are, what they are, what a copy needs."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.editing.rewriting import rewritten
from geomgen.parameters.file_text.source_text import LARGEST, decoded, read_bytes, tables_of

PACKAGE = Path(__file__).parents[1]
# In an installed package; in a clone.
PLACES = (PACKAGE / "examples", PACKAGE.parent / "configs")
FILE = "file:"


@dataclass(frozen=True)
class Example:
    """One example: its short name, its title, its first words, the files that go with it."""

    name: str
    title: str
    words: str
    files: tuple[str, ...]


def folder() -> Path:
    """Return the folder of the examples; ParameterError where the package has none."""
    for place in PLACES:
        if any(place.glob("*.toml")):
            return place
    raise ParameterError(
        "no examples were installed with geomgen",
        advice="set it up again from its folder, or start with: geomgen new FILE",
    )


def examples() -> list[Example]:
    """Return all examples, by name.

    >>> [example.name for example in examples()]
    ['framed', 'hayfield', 'saltmarsh', 'tight']
    """
    return [_example(path) for path in sorted(folder().glob("*.toml"))]


def _example(path: Path) -> Example:
    text = _text(path)
    comment = (line.removeprefix("#").strip() for line in text.splitlines() if line[:1] == "#")
    tables = tables_of(text, path)
    return Example(path.stem, tables["title"], next(comment, ""), _files(path, tables))


def copied(name: str, as_name: str, title: str | None) -> tuple[str, dict[str, bytes]]:
    """Return the text of an example under another name, and the files that it needs beside it.

    Comments stay. ParameterError says which examples there are.

    >>> text, beside = copied("saltmarsh", "mine", None)
    >>> text.count('name = "mine"'), list(beside)
    (1, ['curlew.dat'])
    """
    known = {example.name: example for example in examples()}
    if name not in known:
        raise ParameterError(
            "no such example", key="--from", written=name[:60], allowed=", ".join(known)
        )
    path = folder() / f"{name}.toml"
    changes = {"name": as_name} | ({"title": title} if title is not None else {})
    text = rewritten(_text(path), changes, file=str(path))
    return text, {file: (folder() / file).read_bytes() for file in known[name].files[1:]}


def _files(path: Path, tables: dict[str, Any]) -> tuple[str, ...]:
    """Return the names of an example's file and of all that it reads."""
    found = [path.name, *dict.fromkeys(_aerofoils(tables))]
    if "extends" in tables:
        base = path.with_name(tables["extends"])
        found += _files(base, tables_of(_text(base), base))
    return tuple(dict.fromkeys(found))


def _aerofoils(tables: Any) -> list[str]:
    found: list[str] = []
    for key, value in tables.items() if isinstance(tables, dict) else enumerate(tables):
        if isinstance(value, dict | list):
            found += _aerofoils(value)
        elif key == "aerofoil" and str(value).startswith(FILE):
            found.append(value.removeprefix(FILE).strip())
    return found


def _text(path: Path) -> str:
    return decoded(read_bytes(path, LARGEST, "an example"), path)
