"""Lines of a parameter file's text: a key or a list added, a key taken out, a line put aside."""

from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Item, Table

from geomgen.errors import ParameterError
from geomgen.parameters.editing.writing import toml_of
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.inheritance import lines_of
from geomgen.parameters.reading.refusal import dotted
from geomgen.parameters.reading.written_key import at
from geomgen.parameters.values.quantities import clipped


def item_of(path: Path, value: object) -> Item:
    """Return a value as it stands in a file, a table on one line; ParameterError for another kind.

    >>> item_of((), {"value": 0.9, "source": "own"}).as_string()
    '{value = 0.9, source = "own"}'
    """
    try:
        if not isinstance(value, dict):
            return tomlkit.item(value)
        table = tomlkit.inline_table()
        table.update(value)
        return table
    except (TOMLKitError, ValueError, TypeError) as error:
        raise ParameterError(
            "not a value that a file can hold", key=dotted(path), written=clipped(value)
        ) from error


def with_key(text: str, path: Path, value: Any) -> str:
    r"""Return the text with a key that its table does not have yet, behind the table's last one.

    A table that is not there is added at the end.

    >>> with_key('name = "a"\n# the wing\n[wing]\n', ("title",), "A")
    'name = "a"\ntitle = "A"\n# the wing\n[wing]\n'
    >>> with_key('name = "a"\n', ("spinner", "length"), "180 mm")
    'name = "a"\n\n[spinner]\nlength = "180 mm"\n'
    """
    document = tomlkit.parse(text)
    table, key = path[:-1], str(path[-1])
    line = f"{tomlkit.key(key).as_string()} = {item_of(path, value).as_string()}"
    lines = text.splitlines(keepends=True)
    if table and at(document, table) is None:
        return _joined(text, f"\n[{'.'.join(str(part) for part in table)}]\n{line}\n")
    last = _last_line(document, table, lines_of(text), lines)
    if last is None:
        return _joined(text, f"{line}\n")
    number, prefix = last
    if number and not lines[number - 1].endswith("\n"):
        lines[number - 1] += "\n"
    lines.insert(number, f"{prefix}{line}\n")
    return "".join(lines)


def _last_line(
    document: Any, table: Path, places: dict[Path, int], lines: list[str]
) -> tuple[int, str] | None:
    """Return behind which line [1] a key of a table belongs, and what stands before it there."""
    found: list[tuple[int, str]] = []
    held = at(document, table) if table else document
    for key in held:
        item = held.item(key) if hasattr(held, "item") else held[key]
        if isinstance(item, Table) and not isinstance(item, InlineTable):
            continue
        if isinstance(item, AoT) or (*table, key) not in places:
            continue
        start = places[(*table, key)]
        head = lines[start - 1].split("=", 1)[0]
        found.append((start + item.as_string().count("\n"), head[: head.rfind(key)]))
    if found:
        return max(found)
    if table:
        return places[table], ""
    headers = [i for i, line in enumerate(lines) if line.lstrip().startswith("[")]
    if not headers:
        return None
    first = headers[0]
    while first and lines[first - 1].lstrip().startswith("#"):
        first -= 1
    return first, ""


def with_list(text: str, path: Path, rows: list[Any]) -> str:
    r"""Return the text with a whole list that it does not have, its tables at the end.

    >>> print(with_list('[firewall]\n', ("firewall", "penetrations"), [{"use": "wiring"}]))
    [firewall]
    <BLANKLINE>
    [[firewall.penetrations]]
    use = "wiring"  # what goes through: fuel, throttle, wiring
    <BLANKLINE>
    """
    if not rows or not isinstance(rows[0], dict):
        return with_key(text, path, rows)
    whole: Any = rows
    for part in reversed(path):
        whole = {part: whole}
    # The tables above stand in the file, or need no head of their own.
    heads = {f"[{'.'.join(str(part) for part in path[:end])}]" for end in range(1, len(path))}
    made = [line for line in toml_of(whole).splitlines() if line not in heads]
    return _joined(text, "\n" + "\n".join(made).strip("\n") + "\n")


def with_row(text: str, path: Path, row: dict[str, Any]) -> str:
    r"""Return the text with a table more at the end of a list that it has.

    Comments that follow the last table's keys line by line stay with it.

    >>> print(with_row('[[mass]]\npart = "pod"\n# mine\n\n[loads]\n', ("mass",), {"part": "fin"}))
    [[mass]]
    part = "pod"
    # mine
    <BLANKLINE>
    [[mass]]
    part = "fin"
    <BLANKLINE>
    [loads]
    <BLANKLINE>
    """
    document = tomlkit.parse(text)
    rows = at(document, path)
    if not isinstance(rows, AoT):
        rows.append(item_of(path, row))
        return tomlkit.dumps(document)
    lines = text.splitlines(keepends=True)
    # Tables inside a row follow its keys.
    head = (*path, len(rows) - 1)
    inside = [number for key, number in lines_of(text).items() if key[: len(head)] == head]
    last = _last_line(document, head, lines_of(text), lines)
    number = max(inside, default=0) if last is None else max(last[0], *inside)
    while number < len(lines) and lines[number].lstrip().startswith("#"):
        number += 1
    if not lines[number - 1].endswith("\n"):
        lines[number - 1] += "\n"
    made = [f"{key} = {item_of((*path, key), value).as_string()}\n" for key, value in row.items()]
    lines[number:number] = ["\n", f"[[{'.'.join(str(part) for part in path)}]]\n", *made]
    return "".join(lines)


def put_aside(text: str, path: Path) -> str:
    r"""Return the text with the line of a key turned into a comment.

    >>> put_aside('[propeller]\nstation = "3 m"  # plane\n', ("propeller", "station"))
    '[propeller]\n# station = "3 m"  # plane\n'
    """
    number = lines_of(text)[path] - 1
    lines = text.splitlines(keepends=True)
    lines[number] = f"# {lines[number]}"
    return "".join(lines)


def without_key(text: str, path: Path) -> str:
    r"""Return the text without a key that stands in it, its lines taken out.

    >>> without_key('[pod]\nwall = "4 mm"  # skin\nnose = "flat"\n', ("pod", "wall"))
    '[pod]\nnose = "flat"\n'
    """
    document = tomlkit.parse(text)
    table = at(document, path[:-1])
    if isinstance(table, InlineTable):
        table.remove(str(path[-1]))
        return tomlkit.dumps(document)
    first = lines_of(text)[path] - 1
    more = table[path[-1]].as_string().count("\n")
    lines = text.splitlines(keepends=True)
    return "".join(lines[:first] + lines[first + more + 1 :])


def _joined(text: str, more: str) -> str:
    return f"{text}\n{more}" if text and not text.endswith("\n") else text + more
