"""Parameters back to a file: every key with its default filled and its meaning beside it."""

import json
from collections.abc import Mapping
from typing import Any

from geomgen.parameters.positions import Path
from geomgen.parameters.records import Parameters
from geomgen.parameters.refusal import dotted, field_words, keys_at


def as_toml(parameters: Parameters) -> str:
    """Return TOML text with all defaults filled; it loads back to equal records.

    A place that hangs on another part stands as what it became, with what was written beside it.
    Names of airfoil files stay as they are: the text belongs into the same folder.
    """
    return toml_of(parameters.plain(), parameters.hung)


def toml_of(tables: dict[str, Any], hung: Mapping[Path, str] | None = None) -> str:
    """Return TOML text of the tables of a parameter file, each key with its meaning.

    `hung` are the places that hang on another part, as they were written, by path.

    >>> print(toml_of({"spinner": {"length": "180 mm"}}), end="")
    [spinner]
    length = "180 mm"  # length
    """
    lines: list[str] = []
    _table(tables, (), lines, hung or {})
    return "\n".join(lines).lstrip("\n") + "\n"


def _table(table: dict[str, Any], path: Path, lines: list[str], hung: Mapping[Path, str]) -> None:
    order = {key: i for i, key in enumerate(keys_at(path))}
    items = sorted(table.items(), key=lambda item: order[item[0]])
    deeper = [item for item in items if _is_table(item[1])]
    for key, value in items:
        if (key, value) in deeper:
            continue
        words = field_words((*path, key)) or ""
        said = [hung[at] for at in _places((*path, key), value) if at in hung]
        words += f"; written as {', '.join(said)}" if said else ""
        lines.append(f"{key} = {_value(value)}" + (f"  # {words}" if words else ""))
    for key, value in deeper:
        inner = (*path, key)
        for number, row in enumerate(value if isinstance(value, list | tuple) else [value]):
            many = isinstance(value, list | tuple)
            name = dotted(tuple(part for part in inner if isinstance(part, str)))
            lines += ["", f"[[{name}]]" if many else f"[{name}]"]
            _table(row, (*inner, number) if many else inner, lines, hung)


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
