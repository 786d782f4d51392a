"""A new parameter file: its text, proved to load, put where it is wanted and nothing else."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from geomgen.errors import FileWriteError, ParameterError
from geomgen.parameters.reading.loading import load
from geomgen.parameters.records.engine_bay import SLUG
from geomgen.parameters.values.quantities import Text, under
from geomgen.starting.choices import choices_of, name_from
from geomgen.starting.examples import copied
from geomgen.starting.fresh_text import fresh_text

TITLE = Text(120)
OTHER = "choose another name"


@dataclass(frozen=True)
class Begun:
    """What was written: the file, the files beside it, what was chosen."""

    file: Path
    beside: tuple[Path, ...]
    chosen: dict[str, str]


def place_for(file: str, replace: bool) -> Path:
    """Return where a new file is to stand; FileWriteError when it can't or must not."""
    place = Path(file)
    if place.is_dir():
        raise FileWriteError("a folder of that name is in the way", path=place, advice=OTHER)
    if place.parent.exists() and not place.parent.is_dir():
        raise FileWriteError(
            f"{place.parent} is a file, no folder to write it into", path=place, advice=OTHER
        )
    if not place.parent.is_dir():
        raise FileWriteError(
            "there is no such folder to write it into",
            path=place,
            advice=f"make the folder {place.parent} first, or choose another",
        )
    if (place.exists() or place.is_symlink()) and not replace:
        raise _taken(place)
    return place


def _taken(place: Path) -> FileWriteError:
    return FileWriteError(
        "it is there already", path=place, advice=f"{OTHER}, or allow it with --replace"
    )


def names_for(place: Path, name: str | None, title: str | None) -> tuple[str, str]:
    """Return name and title of a new file, out of its own name where they are not given."""
    name = _read(SLUG.read, name_from(place.stem) if name is None else name, "--name")
    plain = " ".join(name.replace("_", "-").split("-")).strip().capitalize()
    return name, _read(
        TITLE.read, f"{plain} twin-boom pusher" if title is None else title, "--title"
    )


def _read(read: Callable[[object], Any], text: str, option: str) -> str:
    try:
        return str(read(text))
    except ParameterError as error:
        raise under(option, error) from error


def begin(
    place: Path, chosen: Mapping[str, str], name: str, title: str, replace: bool = False
) -> Begun:
    """Write a new file as chosen; ParameterError for a choice that there is not."""
    choices = choices_of(name, title, chosen)
    return _written(place, fresh_text(choices), {}, replace, choices.words())


def begin_from(
    place: Path, example: str, name: str, title: str | None, replace: bool = False
) -> Begun:
    """Write a copy of an example under a name of its own, with the files that it reads."""
    text, beside = copied(example, name, title)
    if place.name in beside:
        raise FileWriteError(
            f"the example {example} reads a file of that name", path=place, advice=OTHER
        )
    return _written(place, text, beside, replace, {"from": example})


def _written(
    place: Path, text: str, beside: Mapping[str, bytes], replace: bool, chosen: dict[str, str]
) -> Begun:
    from geomgen.files.disk import put

    _proved(place.name, text, beside)
    made: list[Path] = []
    try:
        for name, data in beside.items():
            other = place.with_name(name)
            if other.is_file() and other.read_bytes() == data:
                continue
            try:
                put(other, data)
            except FileExistsError as error:
                raise FileWriteError(
                    "another file of that name is there, and the example needs its own",
                    path=other,
                    advice="write the copy into another folder",
                ) from error
            made.append(other)
        try:
            put(place, text.encode("utf-8"), replace)
        except FileExistsError as error:
            raise _taken(place) from error
    except BaseException:
        for path in made:
            with suppress(OSError):
                path.unlink()
        raise
    return Begun(place, tuple(place.with_name(name) for name in beside), chosen)


def _proved(name: str, text: str, beside: Mapping[str, bytes]) -> None:
    """Load a text as it will stand, with the files beside it, before anything is put in place."""
    with TemporaryDirectory(prefix="geomgen-") as folder:
        for other, data in beside.items():
            Path(folder, other).write_bytes(data)
        Path(folder, name).write_text(text, encoding="utf-8")
        load(Path(folder, name))
