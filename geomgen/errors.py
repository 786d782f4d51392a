"""Everything that can go wrong, in one family; a failed check is data, never an error."""

import re
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

# So much of the words of a fault of our own is told [characters].
LONGEST = 200


class GeomgenError(Exception):
    """Base of all errors that a user of geomgen can meet.

    `exit_code` is what the command line returns for it. It can be pickled: it comes out of another
    process as it went in.

    >>> GeomgenError("no such thing").exit_code
    3
    """

    exit_code = 3

    def __reduce__(self) -> tuple[Any, ...]:
        # Exception's own way calls the class with the whole message as its only word.
        return _as_it_was, (type(self), self.args), self.__dict__


class ParameterError(GeomgenError, ValueError):
    """The input is refused: what was written, where, what is allowed, what to do.

    >>> print(ParameterError("no unit", key="pod.wall", written="3", allowed="a length"))
    pod.wall: no unit
      written: 3
      allowed: a length

    `row` says which row of a list it is, counted from 1 and with its name: a key counts from 0.
    """

    exit_code = 2

    def __init__(
        self,
        problem: str,
        *,
        file: str | Path | None = None,
        key: str = "",
        line: int | None = None,
        written: str | None = None,
        allowed: str | None = None,
        advice: str | None = None,
        row: str = "",
    ) -> None:
        self.problem = problem
        self.row = row
        self.file = Path(file).name if file is not None else None
        self.key = key
        self.line = line
        self.written = written
        self.allowed = allowed
        self.advice = advice
        super().__init__(self._text())

    def _text(self) -> str:
        place = self.file or ""
        if self.line is not None:
            place += f", line {self.line}" if place else f"line {self.line}"
        key = f"{self.key} ({self.row})" if self.row else self.key
        head = ": ".join(part for part in (place, key, self.problem) if part)
        rows = [("written", self.written), ("allowed", self.allowed), ("do", self.advice)]
        return "\n".join([head, *(f"  {name}: {text}" for name, text in rows if text)])

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "parameter",
            "problem": self.problem,
            "file": self.file,
            "key": self.key,
            **({"row": self.row} if self.row else {}),
            "line": self.line,
            "written": self.written,
            "allowed": self.allowed,
            "advice": self.advice,
        }


@dataclass(frozen=True)
class Stand:
    """Where a key stands: a file's name and the line, or a note that it was left out."""

    key: str
    file: str | None = None
    line: int | None = None
    note: str = ""

    @property
    def words(self) -> str:
        """The key with where it stands.

        >>> Stand("pod.wall", "mine.toml", 84).words, Stand("pod.nose", note="left out").words
        ('pod.wall (mine.toml, line 84)', 'pod.nose (left out)')
        """
        where = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{self.key} ({self.note or where})"


class GeometryError(GeomgenError, RuntimeError):
    """A solid can't be built: which part, at which step, which keys to look at, where they stand.

    >>> print(GeometryError("the walls meet", part="pod", step="inner wall", look_at=["pod.wall"]))
    pod: the walls meet
      step: inner wall
      look at: pod.wall
    """

    exit_code = 3

    def __init__(
        self,
        problem: str,
        *,
        part: str = "",
        step: str = "",
        look_at: list[str] | None = None,
        stands: Sequence[Stand] = (),
    ) -> None:
        self.problem = problem
        self.part = part
        self.step = step
        self.look_at = list(look_at or [])
        self.stands = tuple(stands)
        head = f"{part}: {problem}" if part else problem
        known = {stand.key: stand.words for stand in stands}
        self.where = [known.get(key, key) for key in self.look_at]
        rows = [("step", step), ("look at", ", ".join(self.where))]
        super().__init__("\n".join([head, *(f"  {name}: {text}" for name, text in rows if text)]))

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "geometry",
            "problem": self.problem,
            "part": self.part,
            "step": self.step,
            "look_at": self.look_at,
            "where": self.where,
            "stands": [asdict(stand) for stand in self.stands],
        }

    def standing(self, stands: Sequence[Stand]) -> "GeometryError":
        """Return the same error with where its keys stand."""
        return GeometryError(
            self.problem, part=self.part, step=self.step, look_at=self.look_at, stands=stands
        )


class FaultError(GeomgenError, RuntimeError):
    """A fault of geomgen itself, told in words: of which part, at which step, and what to do.

    `kind` is the fault in one line, `frames` are Python's own, for those who mend it.

    >>> try:
    ...     1 / 0
    ... except ZeroDivisionError as error:
    ...     print(FaultError.of(error, part="pod", step="inner wall"))
    pod: a fault inside geomgen, not in your file (ZeroDivisionError: division by zero)
      step: inner wall
      do: send the parameter file to whoever keeps geomgen, with what --debug shows
    """

    ADVICE = "send the parameter file to whoever keeps geomgen, with what --debug shows"

    def __init__(self, kind: str, *, part: str = "", step: str = "", frames: str = "") -> None:
        self.kind = kind
        self.part = part
        self.step = step
        self.frames = frames
        self.problem = "a fault inside geomgen, not in your file" + (f" ({kind})" if kind else "")
        head = f"{part}: {self.problem}" if part else self.problem
        rows = [("step", step), ("do", self.ADVICE)]
        super().__init__("\n".join([head, *(f"  {name}: {text}" for name, text in rows if text)]))

    @classmethod
    def of(cls, error: BaseException, *, part: str = "", step: str = "") -> "FaultError":
        """Return an exception as a fault; one that is a fault already keeps what it says."""
        if isinstance(error, FaultError):
            return cls(
                error.kind, part=error.part or part, step=error.step or step, frames=error.frames
            )
        frames = "".join(traceback.format_exception(error))
        return cls(_in_one_line(error), part=part, step=step, frames=frames)

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`; no frames."""
        return {
            "error": "fault",
            "problem": self.problem,
            "part": self.part,
            "step": self.step,
            "advice": self.ADVICE,
        }


def _as_it_was(kind: type[GeomgenError], args: tuple[Any, ...]) -> GeomgenError:
    """Return an error without going through its `__init__`; its fields follow."""
    error: GeomgenError = kind.__new__(kind, *args)
    error.args = args
    return error


def _in_one_line(error: BaseException) -> str:
    """Return an exception's class and words; no words where they show Python's own insides.

    >>> _in_one_line(ValueError("odd")), _in_one_line(TypeError("not <class 'int'>"))
    ('ValueError: odd', 'TypeError')
    """
    name, text = type(error).__name__, str(error).strip()
    first = text.splitlines()[0] if text else ""
    shown = first and not re.search(r"[<>\\]|\.py\b|/\S*/|\w\.\w+\.\w", first)
    return f"{name}: {first[:LONGEST]}" if shown else name


def told(error: Exception) -> "GeomgenError":
    """Return what a user may be told of any exception: our own as they are, others as a fault.

    >>> told(KeyError("x")).problem
    "a fault inside geomgen, not in your file (KeyError: 'x')"
    """
    return error if isinstance(error, GeomgenError) else FaultError.of(error)


def fields_of(error: GeomgenError) -> dict[str, object]:
    """Return an error's message as named fields, for JSON and for another process."""
    as_dict = getattr(error, "as_dict", None)
    if as_dict is None:
        return {"error": "geomgen", "problem": str(error)}
    fields: dict[str, object] = as_dict()
    return fields


@contextmanager
def looking_at(*keys: str) -> Iterator[None]:
    """Name the keys to look at in every GeometryError of a block that names none itself.

    >>> try:
    ...     with looking_at("pod.wall"):
    ...         raise GeometryError("the walls meet", part="pod")
    ... except GeometryError as error:
    ...     error.look_at
    ['pod.wall']
    """
    try:
        yield
    except GeometryError as error:
        if error.look_at:
            raise
        raise GeometryError(
            error.problem, part=error.part, step=error.step, look_at=list(keys)
        ) from error


class FileWriteError(GeomgenError, OSError):
    """A file can't be written, or what was written does not prove right when read back.

    >>> print(FileWriteError("disk full", path="pod.stl", advice="free some space"))
    pod.stl: disk full
      do: free some space
    """

    exit_code = 4

    def __init__(self, problem: str, *, path: str | Path = "", advice: str = "") -> None:
        self.problem = problem
        self.path = str(path)
        self.advice = advice
        head = f"{self.path}: {problem}" if self.path else problem
        super().__init__(head + (f"\n  do: {advice}" if advice else ""))

    def __str__(self) -> str:
        """Return the message (OSError would print its own form)."""
        return str(self.args[0])

    def as_dict(self) -> dict[str, object]:
        """Return the same message as named fields, for `--json`."""
        return {
            "error": "file",
            "problem": self.problem,
            "path": self.path,
            "advice": self.advice,
        }
