"""A key that a study changes must not be laid over with `--set` too."""

from collections.abc import Sequence

from geomgen.errors import ParameterError
from geomgen.parameters.file_text.positions import Path
from geomgen.parameters.reading.refusal import SET, Origins, dotted

WORDS = {"--vary": "varied", "--free": "freed"}


def not_set_too(keys: Sequence[Path], origins: Origins, option: str) -> None:
    """Refuse a key that is set and varied, or set and freed, at once; also inside a set table.

    `keys` are the paths that a study changes, `origins` those of the tables after
    `overrides.apply`, `option` is one of `WORDS`. Raises ParameterError.

    >>> from geomgen.parameters.reading.refusal import Origin
    >>> laid = {("pod", "nose"): Origin(SET, None)}
    >>> not_set_too([("pod", "wall")], laid, "--free")
    >>> not_set_too([("pod", "nose")], laid, "--free")
    Traceback (most recent call last):
    geomgen.errors.ParameterError: --free: pod.nose: set and freed at once
      written: --set pod.nose
      allowed: one of the two
    """
    laid = [path for path, origin in origins.items() if origin.file == SET]
    for key in keys:
        for path in laid:
            if key[: len(path)] == path or path[: len(key)] == key:
                raise _refused(key, path, option)


def _refused(key: Path, laid: Path, option: str) -> ParameterError:
    inside = len(laid) < len(key)
    advice = f"set the other keys of {dotted(laid)} one by one" if inside else None
    return ParameterError(
        f"set and {WORDS[option]} at once",
        file=option,
        key=dotted(key),
        written=f"{SET} {dotted(laid)}",
        allowed="one of the two",
        advice=advice,
    )
