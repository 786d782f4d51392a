"""`--set dotted.key=value`: values from the command line laid over those of the file."""

import tomllib
from typing import Any

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.inheritance import drop_other_way
from geomgen.parameters.reading.refusal import SET, Origin, Origins, dotted, items_in_words
from geomgen.parameters.values.quantities import clipped


def apply(tables: dict[str, Any], origins: Origins, texts: list[str]) -> None:
    """Lay overrides such as `scoops.0.width=40 mm` over `tables`, in the order given.

    An item of a list is named by its number or by its name (`scoops.cheek.width`). Raises
    ParameterError for text of another form and for an item that is not there.

    >>> tables = {"scoops": [{"name": "cheek", "width": "9 in"}]}
    >>> apply(tables, {}, ["scoops.cheek.width=40 mm", "output.mesh_tolerance='0.2 mm'"])
    >>> tables["scoops"], tables["output"]
    ([{'name': 'cheek', 'width': '40 mm'}], {'mesh_tolerance': '0.2 mm'})
    """
    given = [_split(text) for text in texts]
    blades = {key[1]: value for key, value in given if len(key) == 2 and key[0] == "propeller"}
    if isinstance(tables.get("propeller"), dict):
        drop_other_way(tables["propeller"], blades, ("propeller",))
    for key, value in given:
        path = _put(tables, key, value)
        for old in [old for old in origins if old[: len(path)] == path]:
            del origins[old]
        origins[path] = Origin(SET, None)


def _split(text: str) -> tuple[list[str], Any]:
    key, equals, value = text.partition("=")
    parts = [part.strip() for part in key.split(".")]
    if not equals or not all(parts) or not value.strip():
        raise ParameterError(
            "not an override",
            file=SET,
            written=clipped(text),
            allowed="a dotted key, an equals sign and a value",
            advice='write it like --set scoops.0.width="40 mm"',
        )
    if parts == ["extends"]:
        raise ParameterError(
            "can't be set from the command line", file=SET, key="extends", written=clipped(text)
        )
    return parts, value_of(value.strip())


def value_of(text: str) -> Any:
    """Return text as a TOML value; what is none stands for itself as text.

    >>> value_of("40 mm"), value_of('"40 mm"'), value_of("0.8"), value_of("true")
    ('40 mm', '40 mm', 0.8, True)
    """
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return read["value"] if list(read) == ["value"] else text


def _put(tables: dict[str, Any], parts: list[str], value: Any) -> Path:
    at: Any = tables
    path: Path = ()
    for i, part in enumerate(parts):
        last = i == len(parts) - 1
        if isinstance(at, list):
            number = _item(at, part, path)
            path = (*path, number)
            if last:
                at[number] = value
            at = at[number]
        elif isinstance(at, dict):
            path = (*path, part)
            if last:
                at[part] = value
            at = at.setdefault(part, {})
        else:
            raise ParameterError(
                "has no keys inside", file=SET, key=dotted(path), written=clipped(at)
            )
    return path


def _item(rows: list[Any], part: str, path: Path) -> int:
    named = [i for i, row in enumerate(rows) if isinstance(row, dict) and row.get("name") == part]
    if named:
        return named[0]
    if part.isascii() and part.isdigit() and int(part) < len(rows):
        return int(part)
    names = [str(row["name"]) for row in rows if isinstance(row, dict) and "name" in row]
    raise ParameterError(
        "no such item",
        file=SET,
        key=dotted((*path, part)),
        written=part,
        allowed=items_in_words(len(rows), names),
    )
