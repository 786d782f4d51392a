"""Parameters back to a file: every key with its default filled and its meaning beside it."""

import json
import re
from collections.abc import Mapping
from typing import Any

from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.refusal import dotted, field_words, keys_at, model_at
from geomgen.parameters.reading.written_key import Slot, slot_of
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.quantities import OneOf

# Where the meaning of a key begins, as far as the key leaves room.
COLUMN = 42


def as_toml(parameters: Parameters) -> str:
    """Return TOML text with all defaults filled; it loads back to equal records.

    A place that hangs on another part stands as what it became, with what was written beside it.
    Names of aerofoil files stay as they are: the text belongs into the same folder.
    """
    return toml_of(parameters.plain(), parameters.hung)


def toml_of(
    tables: dict[str, Any], hung: Mapping[Path, str] | None = None, guide: bool = False
) -> str:
    """Return TOML text of the tables of a parameter file, each key with its meaning.

    `hung` are the places that hang on another part, as they were written, by path. As a `guide`
    for someone who begins, tables have their meaning too, the rows of a list say it once, choices
    are listed, and keys that are left out follow as comments.

    >>> print(toml_of({"spinner": {"length": "180 mm"}}), end="")
    [spinner]
    length = "180 mm"  # length
    >>> toml_of({"spinner": {"length": "180 mm"}}, guide=True).splitlines()[-3:-1]
    ['[spinner]                                 # the spinner', \
'length = "180 mm"                         # length']
    """
    writer = _Guide(hung or {}) if guide else _Writer(hung or {})
    writer.table(tables, ())
    return "\n".join(writer.lines).lstrip("\n") + "\n"


class _Writer:
    """Collects the lines of a file; `hung` as in `toml_of`."""

    def __init__(self, hung: Mapping[Path, str]) -> None:
        self.lines: list[str] = []
        self.hung = hung

    def table(self, table: dict[str, Any], path: Path) -> None:
        order = {key: i for i, key in enumerate(keys_at(path))}
        items = sorted(table.items(), key=lambda item: order[item[0]])
        deeper = [item for item in items if _is_table(item[1])]
        for key, value in items:
            if (key, value) not in deeper:
                here = (*path, key)
                self.line(f"{key} = {_value(value)}", self.with_hung(here, value))
        self.absent(path, [key for key in order if key not in table])
        for key, value in deeper:
            inner = (*path, key)
            for number, row in enumerate(value if isinstance(value, list | tuple) else [value]):
                many = isinstance(value, list | tuple)
                self.lines.append("")
                self.head(f"[[{_name(inner)}]]" if many else f"[{_name(inner)}]", inner)
                self.table(row, (*inner, number) if many else inner)

    def line(self, text: str, words: str | None) -> None:
        self.lines.append(text + (f"  # {words}" if words else ""))

    def words(self, path: Path) -> str | None:
        return field_words(path)

    def with_hung(self, path: Path, value: Any) -> str | None:
        """Return the meaning of a key, and what was written where its place hangs on a part."""
        said = [self.hung[at] for at in _places(path, value) if at in self.hung]
        told = [self.words(path) or "", *([f"written as {', '.join(said)}"] if said else [])]
        return "; ".join(part for part in told if part) or None

    def head(self, text: str, path: Path) -> None:
        self.lines.append(text)

    def absent(self, path: Path, keys: list[str]) -> None:
        """Tell nothing of keys that are left out."""


class _Guide(_Writer):
    """The same, for someone who begins."""

    def __init__(self, hung: Mapping[Path, str]) -> None:
        super().__init__(hung)
        self.said: set[str] = set()

    def line(self, text: str, words: str | None) -> None:
        self.lines.append(f"{text:<{COLUMN - 2}}  # {words}" if words else text)

    def words(self, path: Path) -> str | None:
        """Return the meaning of a key the first time, with the choices that it leaves unnamed."""
        if _name(path) in self.said:
            return None
        self.said.add(_name(path))
        words, choices = field_words(path) or "", _choices(path)
        named = all(re.search(rf"\b{re.escape(word)}\b", words) for word in choices)
        return words if named else f"{words}: {', '.join(choices)}"

    def head(self, text: str, path: Path) -> None:
        self.line(text, self.words(path))

    def absent(self, path: Path, keys: list[str]) -> None:
        for key in keys:
            here = (*path, key)
            words = self.words(here)
            if words is not None:
                self.line(f"# {_gap(here)}", words)


def _name(path: Path) -> str:
    return dotted(tuple(part for part in path if isinstance(part, str)))


def _choices(path: Path) -> tuple[str, ...]:
    reader = _slot(path).reader
    return reader.words if isinstance(reader, OneOf) else ()


def _slot(path: Path) -> Slot:
    model = model_at(path[:-1])
    assert model is not None
    return slot_of(model.model_fields[str(path[-1])])


def _gap(path: Path) -> str:
    """Return how a key that is left out would be written, its value left open."""
    slot = _slot(path)
    if slot.record is not None:
        return f"[[{_name(path)}]]" if slot.many else f"[{_name(path)}]"
    return f"{path[-1]} = [...]" if slot.many else f"{path[-1]} = ..."


def _places(path: Path, value: Any) -> list[Path]:
    """Return the paths of a value, and of the items of a list."""
    many = isinstance(value, list | tuple)
    return [(*path, i) for i in range(len(value))] if many else [path]


def _is_table(value: Any) -> bool:
    if isinstance(value, dict) and set(value) <= {"value", "source"}:
        # A threshold stays on its line.
        return False
    if isinstance(value, list | tuple):
        return bool(value) and isinstance(value[0], dict)
    return isinstance(value, dict)


def _value(value: Any) -> str:
    """Return a TOML value.

    >>> _value("1 in"), _value(0.8), _value({"value": 0.1, "source": "own"}), _value([])
    ('"1 in"', '0.8', '{ value = 0.1, source = "own" }', '[]')
    """
    if isinstance(value, dict):
        inside = ", ".join(f"{key} = {_value(item)}" for key, item in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    if isinstance(value, str):
        # JSON text escapes as TOML does, but for the one control character it leaves as it is.
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value)
