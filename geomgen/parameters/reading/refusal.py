"""From findings of the record check to messages with file, line, key and what is allowed."""

from collections.abc import Callable, Container, Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import partial
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.file_text.renamed_keys import new_name
from geomgen.parameters.records.aircraft import Parameters
from geomgen.parameters.values.quantities import clipped

SET = "--set"
MOST = 25
# What is wrong beyond so many is counted, not told.
MOST_TOLD = 200
MISSING = "missing"
# A file without so many of the tables that each needs was not begun with the program.
BARE = 3
BEGIN = "to start from a whole file, with every key and its meaning: geomgen new FILE"


@dataclass(frozen=True)
class Origin:
    """Where a value was written: a file's name and line, or the command line."""

    file: str
    line: int | None


Origins = dict[Path, Origin]


class ManyParametersError(ParameterError):
    """Several refusals of one file in one message; its fields are those of the first.

    `untold` is how many more there are.
    """

    def __init__(self, errors: Sequence[ParameterError], untold: int = 0) -> None:
        first = errors[0]
        self.errors = tuple(errors)
        self.untold = untold
        super().__init__(
            first.problem,
            file=first.file,
            key=first.key,
            line=first.line,
            written=first.written,
            allowed=first.allowed,
            advice=first.advice,
        )

    def _text(self) -> str:
        shown = [str(error) for error in self.errors[:MOST]]
        many = len(self.errors) + self.untold
        if many > MOST:
            shown.append(f"and {many - MOST} more")
        return "\n".join([*shown, f"{many} things to put right"])

    def as_dict(self) -> dict[str, object]:
        """Return the first refusal's fields, and all of them under `errors`."""
        rows = [error.as_dict() for error in self.errors]
        return {**super().as_dict(), "errors": rows, "untold": self.untold}


def raise_all(errors: Iterable[ParameterError], untold: int = 0) -> None:
    """Raise one refusal as it is, several as one; do nothing when there are none."""
    every = list(errors)
    if len(every) == 1 and not untold:
        raise every[0]
    if every:
        raise ManyParametersError(every, untold)


def dotted(path: Path) -> str:
    """Return a path as text.

    >>> dotted(("scoops", 0, "width"))
    'scoops.0.width'
    """
    return ".".join(str(part) for part in path)


def origin_of(path: Path, origins: Origins) -> Origin:
    """Return where a key was written; for a key left out, where its table was."""
    for length in range(len(path), 0, -1):
        if path[:length] in origins:
            return origins[path[:length]]
    return origins[()]


def raise_validation(
    error: ValidationError,
    origins: Origins,
    more: Iterable[ParameterError] = (),
    silent: Container[Path] = (),
) -> None:
    """Raise each finding of the record check as a refusal, in the order of the file.

    `more` are refusals that join them; what was found at `silent` paths is left out. Beyond
    `MOST_TOLD` they are counted.
    """
    placed: list[tuple[Origin, Callable[[], ParameterError]]] = []
    for other in more:
        placed.append((Origin(other.file or "", other.line), partial(_itself, other)))
    items = error.errors(include_url=False)
    inside = {item["loc"][:end] for item in items for end in range(1, len(item["loc"]))}
    # A key under its former name is told once, not as a missing one too.
    renamed = {(*loc[:-1], new_name(loc)) for item in items if new_name(loc := item["loc"])}
    for item in items:
        path = tuple(item["loc"])
        if item["type"] == "missing" and path in renamed:
            continue
        # Rows that are refused count as rows that are not there: that finding says nothing new.
        echo = item["type"] == "too_short" and path in inside
        if echo or path in silent or item["type"] == "default_factory_not_called":
            continue
        cause = item.get("ctx", {}).get("error")
        if isinstance(cause, ParameterError):
            made = partial(_placed, cause, path, origins)
        else:
            made = partial(_plain, dict(item), path, origins)
        placed.append((origin_of(path, origins), made))
    placed.sort(key=lambda row: (row[0].file != SET, row[0].line or 0))
    found = [made() for _, made in placed[:MOST_TOLD]]
    whole = [one for one in found if one.problem == MISSING and "." not in one.key]
    if len(whole) >= BARE:
        at = found.index(whole[-1])
        found[at] = located(
            (whole[-1].key,), origins, MISSING, allowed=whole[-1].allowed, advice=BEGIN
        )
    raise_all(found, len(placed) - len(found))


def _itself(error: ParameterError) -> ParameterError:
    return error


def _placed(cause: ParameterError, path: Path, origins: Origins) -> ParameterError:
    if cause.key:
        path = (*path, cause.key)
    return located(path, origins, cause.problem, cause.written, cause.allowed, cause.advice)


def located(
    path: Path,
    origins: Origins,
    problem: str,
    written: str | None = None,
    allowed: str | None = None,
    advice: str | None = None,
) -> ParameterError:
    """Return a refusal of the value at `path`, with the file and line that it was written on."""
    origin = origin_of(path, origins)
    return ParameterError(
        problem,
        file=origin.file,
        line=origin.line,
        key=dotted(path),
        written=written,
        allowed=allowed,
        advice=advice,
    )


def _plain(item: dict[str, Any], path: Path, origins: Origins) -> ParameterError:
    kind, written, context = item["type"], clipped(item["input"]), item.get("ctx", {})
    if kind == "extra_forbidden":
        return _unknown(path, origins)
    if kind == "missing":
        about = field_words(path)
        return located(path, origins, MISSING, allowed=about)
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return located(path, origins, "not a table", written, f"a table [{dotted(path)}]")
    if kind in ("tuple_type", "list_type"):
        more = len(path) + 1
        laid = [k for k, o in origins.items() if k[:-1][: len(path)] == path and o.file == SET]
        if laid:
            return ParameterError(
                "no such item",
                file=SET,
                key=dotted(laid[0][:more]),
                allowed=f"none: the file has no [[{dotted(path)}]]",
            )
        tables = bool(keys_at((*path, 0)))
        one = f'"{written}"' if isinstance(item["input"], str) else written
        allowed = f"tables [[{dotted(path)}]]" if tables else f"a list, in brackets: [{one}]"
        return located(path, origins, "not a list", written, allowed)
    if kind in ("too_short", "too_long"):
        few = kind == "too_short"
        count = context.get("min_length") if few else context.get("max_length")
        allowed = f"at {'least' if few else 'most'} {count}"
        return located(path, origins, "too few" if few else "too many", None, allowed)
    return located(path, origins, str(item["msg"]), written)


def _unknown(path: Path, origins: Origins) -> ParameterError:
    key = str(path[-1])
    now = new_name(path)
    if now:
        return located(path, origins, "this key has another name now", advice=f"write {now}")
    known = keys_at(path[:-1])
    near = get_close_matches(key.lower().replace("-", "_"), known, 1, 0.6)
    advice = f"perhaps {dotted((*path[:-1], near[0]))}?" if near else None
    return located(path, origins, "unknown key", allowed=", ".join(known), advice=advice)


def items_in_words(many: int, names: Sequence[str]) -> str:
    """Say how the items of a list are named on the command line.

    >>> items_in_words(2, ["crown", "starboard"])
    'a number from 0 (the first) to 1 (the last), or a name: crown, starboard'
    >>> items_in_words(1, []), items_in_words(0, [])
    ('0, for the only one', 'none: the list is empty')
    """
    if not many:
        return "none: the list is empty"
    one = f"a number from 0 (the first) to {many - 1} (the last)"
    return (one if many > 1 else "0, for the only one") + (
        f", or a name: {', '.join(names)}" if names else ""
    )


def keys_at(path: Path) -> list[str]:
    """Return the keys that a table may hold.

    >>> keys_at(("spinner",))
    ['diameter', 'length']
    """
    model = model_at(path)
    return list(model.model_fields) if model else []


def field_words(path: Path) -> str | None:
    """Return the description of a key, in the trade's words."""
    model = model_at(path[:-1])
    field = model.model_fields.get(str(path[-1])) if model else None
    return field.description if field else None


def model_at(path: Path) -> type[BaseModel] | None:
    """Return the record that stands at a path of a file; None where no record does."""
    model: type[BaseModel] | None = Parameters
    for part in path:
        if isinstance(part, int) or model is None:
            continue
        field = model.model_fields.get(part)
        model = record_in(field.annotation) if field else None
    return model


def record_in(annotation: object) -> type[BaseModel] | None:
    """Return the record inside an annotation such as `tuple[Scoop, ...]` or `Wing | None`."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in get_args(annotation):
        model = record_in(inner)
        if model is not None:
            return model
    return None
